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
		if m == nil || !m.Sheet.IsScent() && m.Sheet.FragranceLimits == nil && !usedAsFragrance(m.Sheet) {
			continue
		}
		use := fragranceUse(in, m.Sheet, comps)
		uses = append(uses, use)
		findings = append(findings, fragranceFindings(in, m.Sheet, use)...)
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
func (u FragranceUse) terms() (out []ingredients.Term) {
	for i, s := range u.shares {
		text := s.Pct.Sig(4) + " % of " + s.Ingredient
		if len(u.shares) > 1 && i == len(u.shares)-1 {
			text += ", together " + u.UsePct.Sig(4) + " %"
		}
		out = append(out, ingredients.Term{Pos: s.Pos, Text: text})
	}
	return out
}

// certificateWords say what a limit of a certificate rests on.
func certificateWords(s *ingredients.Sheet, pos ingredients.Pos) string {
	words := "fragrance conformity certificate of " + supplierName(s)
	if n := s.FragranceLimits.Amendment; n > 0 {
		words += ", amendment " + itoa(n)
	}
	if d := s.FragranceLimits.Dated; !d.IsZero() {
		words += ", dated " + d.String()
	}
	return words + ", as entered in " + pos.File
}

func fragranceFindings(in *Input, s *ingredients.Sheet, use FragranceUse) []ingredients.Finding {
	var fs []ingredients.Finding
	add := func(sev ingredients.Severity, code, fix, format string, args ...any) {
		f := ingredients.Findingf(sev, code, use.Pos, format, args...).On(s.ID)
		if sev == ingredients.Stop {
			f.Sum, f.Why = use.terms(), certificateWords(s, use.Pos)
		}
		f.Fix = fix
		if sev == ingredients.Ask {
			f.Ask = s.Supplier.Name
		}
		fs = append(fs, f)
	}
	switch use.Status {
	case FragranceExceeded:
		add(ingredients.Stop, "fragrance-over", "at most "+use.LimitPct.Exact()+" % of "+s.ID+" in "+placeName(use.Portion),
			"%s is %s %% of %s, its certificate allows %s %% in category %s", s.ID, use.UsePct.Sig(4), placeName(use.Portion), use.LimitPct.Exact(), use.Category)
	case FragranceNotPermitted:
		add(ingredients.Stop, "fragrance-not-permitted", "take another fragrance for this product type",
			"%s may not be used in category %s (%s)", s.ID, use.Category, in.Type.Name)
	case FragranceNotCovered:
		add(ingredients.Ask, "category-not-covered", "ask "+supplierName(s)+" for the certificate line of category "+use.Category,
			"the certificate of %s has no line for category %s (%s): not assessed, so no limit is known", s.ID, use.Category, in.Type.Name)
	case FragranceNoPaper:
		if s.FragranceLimits != nil {
			add(ingredients.Ask, "no-certificate", "correct the date, or ask "+supplierName(s)+" for the certificate there is",
				"the certificate of %s is dated %s, after %s: that category %s allows it is not shown yet", s.ID, use.Dated, in.Date, use.Category)
			break
		}
		add(ingredients.Ask, "no-certificate", "ask "+supplierName(s)+" for the fragrance conformity certificate of "+s.Name+codeText(s),
			"%s has no fragrance conformity certificate: the most allowed in category %s is unknown", s.ID, use.Category)
	}
	if use.Category == "1" || use.Category == "6" {
		add(ingredients.Note, "swallowed-fragrance", "keep the supplier's statement on food-grade suitability with the sheet",
			"%s may be swallowed with this product (category %s): besides its limit it must be suitable as a flavouring", s.ID, use.Category)
	}
	newest := in.Law.NewestAmendment()
	if use.Amendment != 0 && use.Amendment < newest {
		use.Pos = s.FragranceLimits.Pos
		add(ingredients.Ask, "old-amendment", "ask "+supplierName(s)+" for a certificate to amendment "+itoa(newest),
			"the certificate of %s is to amendment %d, the newest known is %d: its limits and categories may have changed", s.ID, use.Amendment, newest)
	}
	if use.Amendment > newest {
		fs = append(fs, ingredients.NewFinding(ingredients.Ask, "newer-amendment", s.FragranceLimits.Pos,
			ingredients.With().Count("amendment", use.Amendment).Count("newest", newest)).OnMaterial(s).By(ingredients.TheMaker))
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
	f := ingredients.Findingf(ingredients.Ask, "fragrance-sum", in.Product.Pos,
		"several fragrances together use %s of what their certificates allow in %s, more than 1", s.Ratio.Sig(4), placeName(s.Portion)).
		On(in.Product.ID).AskOf("the assessor").
		WithWhy("cautious screen: it assumes that all share the substance that sets their limits; failing it is not failing the Standards").
		WithFix("lower them to %s %% of their amounts, or let the assessor sum by substance from the compositions", downText(hundred.Quo(s.Ratio), 3))
	for _, u := range uses {
		if u.Ratio != nil {
			f.Sum = append(f.Sum, ingredients.Term{Pos: u.Pos, Text: u.Ingredient + " at most " + u.UsePct.Sig(4) + " % ÷ " + u.LimitPct.Exact() + " % = " + u.Ratio.Sig(4)})
		}
	}
	return f
}
