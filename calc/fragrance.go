package calc

import (
	"slices"

	"gallipot/ingredients"
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
	Portion    string           // "" for the whole product
	UsePct     ingredients.Num  // % of that mixture
	LimitPct   *ingredients.Num // % of the finished product; nil when there is no figure
	Ratio      *ingredients.Num // use ÷ limit; nil when there is no figure
	Status     FragranceStatus
	Amendment  int // of the certificate; 0 when there is none
	Dated      ingredients.Date
	Pos        ingredients.Pos // line of the certificate, or the sheet
	shares     []Share         // the formula lines that add up to UsePct
}

// FragranceSum is the screening sum of one mixture.
type FragranceSum struct {
	Portion string          // "" for the whole product
	Ratio   ingredients.Num // Σ use ÷ limit
	Count   int             // how many scents with a figure are in it
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
func Fragrances(in *Input, comps []*Composition, materials map[string]*Material) ([]FragranceUse, []FragranceSum, []ingredients.Finding) {
	var uses []FragranceUse
	var findings []ingredients.Finding
	for _, u := range useOf(comps[0].Mixture) {
		m := materials[u.ingredient]
		if m == nil || !m.Sheet.IsScent() && m.Sheet.FragranceLimits == nil && !in.scents(m.Sheet) {
			continue
		}
		use := fragranceUse(in, m.Sheet, comps)
		uses = append(uses, use)
		findings = append(findings, fragranceFindings(in, comps, m.Sheet, use)...)
	}
	sums := screeningSums(in, comps, uses)
	for _, s := range sums {
		if s.Count > 1 && ingredients.Int(1).Less(s.Ratio) {
			findings = append(findings, sumFinding(in, s, uses))
			break // the worst mixture comes first
		}
	}
	return uses, sums, findings
}

func fragranceUse(in *Input, s *ingredients.Sheet, comps []*Composition) FragranceUse {
	use := FragranceUse{Ingredient: s.ID, Category: in.Type.FragranceCategory, Pos: s.Pos}
	for _, c := range comps {
		for _, u := range useOf(c.Mixture) {
			if u.ingredient == s.ID && use.UsePct.Less(u.pct) {
				use.UsePct, use.Portion, use.shares = u.pct, c.Mixture.Name, sharesOf(c.Mixture, s.ID)
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

// sharesOf returns the lines of a mixture that bring a material.
func sharesOf(mix Mixture, id string) []Share {
	return slices.DeleteFunc(slices.Clone(mix.Shares), func(s Share) bool { return s.Ingredient != id })
}

// terms are the formula lines that add up to the use; the last one of several says
// what they come to.
func (u FragranceUse) terms(in *Input) (out []ingredients.Term) {
	for i, s := range u.shares {
		v := with().Num("share", s.Pct, "%", ingredients.FourDigits).Is("material", in.material(s.Ingredient))
		if len(u.shares) > 1 && i == len(u.shares)-1 {
			v = v.Num("together", u.UsePct, "%", ingredients.FourDigits)
		}
		out = append(out, ingredients.Term{Pos: s.Pos, Key: "use-of", Values: v})
	}
	return out
}

func fragranceFindings(in *Input, comps []*Composition, s *ingredients.Sheet, use FragranceUse) []ingredients.Finding {
	var fs []ingredients.Finding
	add := func(sev ingredients.Severity, code, form string, v ingredients.Values) *ingredients.Finding {
		f := in.onMaterial(ingredients.NewFinding(sev, code, use.Pos, v), s.ID).As(form).By(ingredients.TheMaker)
		switch sev {
		case ingredients.Stop:
			f = f.And(with().Source("law", certificateSource(s, use.Pos)))
			f.Sum = use.terms(in)
			most := use.UsePct
			f.Grade = &most
		case ingredients.Ask:
			f = f.By(s.Asked()).At(s.Pos.File, "fragrance_limits", nil)
		}
		fs = append(fs, f)
		return &fs[len(fs)-1]
	}
	typeName := lowerFirst(in.Type.Name)
	switch use.Status {
	case FragranceExceeded:
		way, settle := in.least(mixtureNamed(comps, use.Portion), s.ID, use.UsePct, *use.LimitPct)
		f := add(ingredients.Stop, "fragrance-over", "", portion(with().Num("use", use.UsePct, "%", ingredients.FourDigits), use.Portion).
			Num("limit", *use.LimitPct, "%", ingredients.AsIs).Name("category", use.Category).Term("way", "reduce", way))
		f.Settle = settle
	case FragranceNotPermitted:
		add(ingredients.Stop, "fragrance-not-permitted", "", with().Quote("type", typeName).Name("category", use.Category))
	case FragranceNotCovered:
		add(ingredients.Ask, "category-not-covered", "", with().Quote("type", typeName).Name("category", use.Category))
	case FragranceNoPaper:
		if s.FragranceLimits != nil {
			add(ingredients.Ask, "no-certificate", "later", with().Day("dated", use.Dated).Day("day", in.Date).Name("category", use.Category))
			break
		}
		add(ingredients.Ask, "no-certificate", "", with().Name("code", s.Supplier.Code).Name("category", use.Category))
	}
	if use.Category == "1" || use.Category == "6" {
		add(ingredients.Note, "swallowed-fragrance", "", with().Name("category", use.Category))
	}
	newest := in.Law.NewestAmendment()
	if use.Amendment != 0 && use.Amendment < newest {
		use.Pos = s.FragranceLimits.Pos
		add(ingredients.Ask, "old-amendment", "", with().Count("amendment", use.Amendment).Count("newest", newest))
	}
	if use.Amendment > newest {
		fs = append(fs, ingredients.NewFinding(ingredients.Ask, "newer-amendment", s.FragranceLimits.Pos,
			ingredients.With().Count("amendment", use.Amendment).Count("newest", newest)).OnValue(s.Named()).By(ingredients.TheMaker))
	}
	return fs
}

// screeningSums adds use ÷ limit in each mixture, the highest first.
func screeningSums(in *Input, comps []*Composition, uses []FragranceUse) []FragranceSum {
	limits := map[string]ingredients.Num{}
	for _, u := range uses {
		if u.LimitPct != nil {
			limits[u.Ingredient] = *u.LimitPct
		}
	}
	var sums []FragranceSum
	for _, c := range comps {
		s := FragranceSum{Portion: c.Mixture.Name}
		for _, u := range useOf(c.Mixture) {
			if limit, ok := limits[u.ingredient]; ok {
				s.Ratio = s.Ratio.Add(u.pct.Quo(limit))
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

func sumFinding(in *Input, s FragranceSum, uses []FragranceUse) ingredients.Finding {
	f := in.onProduct(ingredients.NewFinding(ingredients.Ask, "fragrance-sum", in.Product.Pos,
		portion(with().Num("ratio", s.Ratio, "", ingredients.FourDigits), s.Portion).Num("share", hundred.Quo(s.Ratio), "%", ingredients.ThreeDown))).
		By(ingredients.TheAssessor)
	ratio := s.Ratio
	f.Grade = &ratio
	for _, u := range uses {
		if u.Ratio != nil {
			f.Sum = append(f.Sum, ingredients.Term{Pos: u.Pos, Key: "use-by-limit", Values: with().Is("material", in.material(u.Ingredient)).
				Num("use", u.UsePct, "%", ingredients.FourDigits).Num("limit", *u.LimitPct, "%", ingredients.AsIs).Num("ratio", *u.Ratio, "", ingredients.FourDigits)})
		}
	}
	return f
}

// certificateSource is a certificate as what a limit rests on.
func certificateSource(s *ingredients.Sheet, pos ingredients.Pos) ingredients.Values {
	v := with().Name("supplier", supplierName(s))
	if n := s.FragranceLimits.Amendment; n > 0 {
		v = v.Count("amendment", n)
	}
	v = v.Day("dated", s.FragranceLimits.Dated).Name("file", pos.File)
	return ingredients.Values{{Kind: ingredients.KindTerm, Text: "certificate", List: v}}
}
