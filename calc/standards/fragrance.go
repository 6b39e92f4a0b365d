package standards

import (
	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// FragranceStatus says how a use stands against its certificate.
type FragranceStatus string

// The states of a fragrance use.
const (
	FragranceKept         FragranceStatus = "kept"
	FragranceExceeded     FragranceStatus = "exceeded"
	FragranceNotPermitted FragranceStatus = "not permitted"  // the certificate closes this category
	FragranceNoLimit      FragranceStatus = "no limit"       // the certificate sets none
	FragranceNotCovered   FragranceStatus = "not covered"    // the category is not on the certificate
	FragranceNoPaper      FragranceStatus = "no certificate" // none was supplied
)

// FragranceUse is one scent or oil in the mixture where there is most of it,
// against its certificate.
type FragranceUse struct {
	Ingredient string
	Category   string
	Portion    string     // "" for the whole product
	UsePct     exact.Num  // % of that mixture
	LimitPct   *exact.Num // % of the finished product; nil when there is no figure
	Ratio      *exact.Num // use ÷ limit; nil when there is no figure
	Status     FragranceStatus
	Amendment  int // of the certificate; 0 when there is none
	Dated      exact.Date
	Pos        exact.Pos       // line of the certificate, or the sheet
	shares     []formula.Share // the formula lines that add up to UsePct
}

// FragranceSum is the screening sum of one mixture.
type FragranceSum struct {
	Portion string    // "" for the whole product
	Ratio   exact.Num // Σ use ÷ limit
	Count   int       // how many scents with a figure are in it
}

// Fragrances compares each scent and oil with its certificate for the category
// of the product type, on the whole product and on each portion.
//
//	use ÷ limit ≤ 1 for each; Σ use ÷ limit ≤ 1 for several together
//
// The sum is a cautious screen: no certificate covers a blend, and the sum
// assumes that all share the substance that binds. Failing it does not fail the
// Standards; the assessor may sum by substance.
//
// Units: % w/w of the finished product; ratios without unit.
// Findings: stop "fragrance-over", stop "fragrance-not-permitted"; ask
// "fragrance-sum", "no-certificate", "category-not-covered",
// "old-amendment", "newer-amendment"; note "swallowed-fragrance".
// Source: fragrance conformity certificates as supplied; worked cases in
// testdata/published/fragrance.csv.
func Fragrances(in *formula.Input, comps []*formula.Composition,
	materials map[string]*formula.Material) ([]FragranceUse, []FragranceSum, []finding.Finding) {
	var uses []FragranceUse
	var findings []finding.Finding
	for _, u := range comps[0].Uses() {
		m := materials[u.Ingredient]
		if m == nil || !m.Sheet.IsScent() && m.Sheet.FragranceLimits == nil && !in.Scents(m.Sheet) {
			continue
		}
		use := fragranceUse(in, m.Sheet, comps)
		uses = append(uses, use)
		findings = append(findings, fragranceFindings(in, comps, m.Sheet, use)...)
	}
	sums := screeningSums(in, comps, uses)
	for _, s := range sums {
		if s.Count > 1 && exact.Int(1).Less(s.Ratio) {
			findings = append(findings, sumFinding(in, s, uses))
			break // the worst mixture comes first
		}
	}
	return uses, sums, findings
}

func fragranceUse(in *formula.Input, s *ingredients.Sheet, comps []*formula.Composition) FragranceUse {
	use := FragranceUse{Ingredient: s.ID, Category: in.Type.FragranceCategory, Pos: s.Pos}
	for _, c := range comps {
		for _, u := range c.Uses() {
			if u.Ingredient == s.ID && use.UsePct.Less(u.Pct) {
				use.UsePct, use.Portion, use.shares = u.Pct, c.Mixture.Name, formula.SharesOf(c.Mixture, s.ID)
			}
		}
	}
	if s.FragranceLimits == nil {
		use.Status = FragranceNoPaper
		return use
	}
	use.Amendment, use.Dated = s.FragranceLimits.Amendment, s.FragranceLimits.Dated
	limit, ok := s.FragranceLimits.Limit(use.Category)
	use.Pos = s.FragranceLimits.Pos
	if ok {
		use.Pos = limit.Pos
	}
	switch {
	case !ok:
		use.Status = FragranceNotCovered
	case limit.NotPermitted, !limit.NoLimit && limit.MaxPct.IsZero():
		use.Status = FragranceNotPermitted
	case limit.NoLimit:
		use.Status = FragranceNoLimit
	default:
		ratio := use.UsePct.Quo(limit.MaxPct)
		use.LimitPct, use.Ratio = &limit.MaxPct, &ratio
		use.Status = FragranceKept
		if limit.MaxPct.Less(use.UsePct) {
			use.Status = FragranceExceeded
		}
	}
	if in.Date.Before(use.Dated) && (use.Status == FragranceKept || use.Status == FragranceNoLimit) {
		use.Status = FragranceNoPaper // not yet; its limits bind all the same
	}
	return use
}

// terms are the formula lines that add up to the use; the last one of several says
// what they come to.
func (u FragranceUse) terms(in *formula.Input) (out []finding.Term) {
	for i, s := range u.shares {
		v := formula.With().Num("share", s.Pct, "%", finding.FourDigits).Is("material", in.Material(s.Ingredient))
		if len(u.shares) > 1 && i == len(u.shares)-1 {
			v = v.Num("together", u.UsePct, "%", finding.FourDigits)
		}
		out = append(out, finding.Term{Pos: s.Pos, Key: "use-of", Values: v})
	}
	return out
}

func fragranceFindings(in *formula.Input, comps []*formula.Composition, s *ingredients.Sheet,
	use FragranceUse) []finding.Finding {
	var fs []finding.Finding
	add := func(sev finding.Severity, code, form string, v finding.Values) *finding.Finding {
		f := in.OnMaterial(finding.NewFinding(sev, code, use.Pos, v), s.ID).As(form).By(finding.TheMaker)
		switch sev {
		case finding.Stop:
			f = f.And(formula.With().Source("law", certificateSource(s, use.Pos)))
			f.Sum = use.terms(in)
			most := use.UsePct
			f.Grade = &most
		case finding.Ask:
			f = f.By(s.Asked()).At(s.Pos.File, "fragrance_limits", nil)
		}
		fs = append(fs, f)
		return &fs[len(fs)-1]
	}
	typeName := formula.LowerFirst(in.Type.Name)
	switch use.Status {
	case FragranceExceeded:
		way, settle := in.Least(formula.MixtureNamed(comps, use.Portion), s.ID, use.UsePct, *use.LimitPct)
		f := add(finding.Stop, "fragrance-over", "",
			formula.PortionNamed(formula.With().Num("use", use.UsePct, "%", finding.FourDigits), use.Portion).
				Num("limit", *use.LimitPct, "%", finding.AsIs).Name("category", use.Category).Term("way",
				"reduce", way))
		f.Settle = settle
	case FragranceNotPermitted:
		add(finding.Stop, "fragrance-not-permitted", "", formula.With().Quote("type", typeName).
			Name("category", use.Category))
	case FragranceNotCovered:
		add(finding.Ask, "category-not-covered", "", formula.With().Quote("type", typeName).
			Name("category", use.Category))
	case FragranceNoPaper:
		if s.FragranceLimits != nil {
			add(finding.Ask, "no-certificate", "later", formula.With().Day("dated", use.Dated).Day("day", in.Date).
				Name("category", use.Category))
			break
		}
		add(finding.Ask, "no-certificate", "", formula.With().Name("code", s.Supplier.Code).
			Name("category", use.Category))
	}
	if use.Category == "1" || use.Category == "6" {
		add(finding.Note, "swallowed-fragrance", "", formula.With().Name("category", use.Category))
	}
	newest := law.NewestAmendment(in.Law)
	if use.Amendment != 0 && use.Amendment < newest {
		use.Pos = s.FragranceLimits.Pos
		add(finding.Ask, "old-amendment", "", formula.With().Count("amendment", use.Amendment).
			Count("newest", newest))
	}
	if use.Amendment > newest {
		fs = append(fs, finding.NewFinding(finding.Ask, "newer-amendment", s.FragranceLimits.Pos,
			finding.With().Count("amendment", use.Amendment).Count("newest", newest)).OnValue(s.Named()).
			By(finding.TheMaker))
	}
	return fs
}

// screeningSums adds use ÷ limit in each mixture, the highest first.
func screeningSums(in *formula.Input, comps []*formula.Composition, uses []FragranceUse) []FragranceSum {
	limits := map[string]exact.Num{}
	for _, u := range uses {
		if u.LimitPct != nil {
			limits[u.Ingredient] = *u.LimitPct
		}
	}
	var sums []FragranceSum
	for _, c := range comps {
		s := FragranceSum{Portion: c.Mixture.Name}
		for _, u := range c.Uses() {
			if limit, ok := limits[u.Ingredient]; ok {
				s.Ratio = s.Ratio.Add(u.Pct.Quo(limit))
				s.Count++
			}
		}
		at := 0
		for at < len(sums) && !sums[at].Ratio.Less(s.Ratio) {
			at++
		}
		sums = append(sums[:at], append([]FragranceSum{s}, sums[at:]...)...)
	}
	return sums
}

func sumFinding(in *formula.Input, s FragranceSum, uses []FragranceUse) finding.Finding {
	f := in.OnProduct(finding.NewFinding(finding.Ask, "fragrance-sum", in.Product.Pos,
		formula.PortionNamed(formula.With().Num("ratio", s.Ratio, "", finding.FourDigits), s.Portion).
			Num("share", formula.Hundred.Quo(s.Ratio), "%", finding.ThreeDown))).
		By(finding.TheAssessor)
	ratio := s.Ratio
	f.Grade = &ratio
	for _, u := range uses {
		if u.Ratio != nil {
			f.Sum = append(f.Sum, finding.Term{Pos: u.Pos, Key: "use-by-limit", Values: formula.With().
				Is("material", in.Material(u.Ingredient)).
				Num("use", u.UsePct, "%", finding.FourDigits).Num("limit", *u.LimitPct, "%", finding.AsIs).
				Num("ratio", *u.Ratio, "", finding.FourDigits)})
		}
	}
	return f
}

// certificateSource is a certificate as what a limit rests on.
func certificateSource(s *ingredients.Sheet, pos exact.Pos) finding.Values {
	v := formula.With().Name("supplier", formula.SupplierName(s))
	if n := s.FragranceLimits.Amendment; n > 0 {
		v = v.Count("amendment", n)
	}
	v = v.Day("dated", s.FragranceLimits.Dated).Name("file", pos.File)
	return finding.Values{{Kind: finding.KindTerm, Text: "certificate", List: v}}
}
