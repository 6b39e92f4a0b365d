package law

import (
	"cmp"
	"slices"

	"gallipot/ingredients"
)

// ProductType returns the type with the given key.
func (t *Tables) ProductType(key string) (*ProductType, bool) {
	p, ok := t.byType[key]
	return p, ok
}

// ProductTypes returns all product types in the order of the table.
func (t *Tables) ProductTypes() []*ProductType { return slices.Clone(t.types) }

// Allergens returns the allergens whose labelling duty binds a newly placed
// product on a day, in the order of the table. Prohibited ones are left out.
func (t *Tables) Allergens(m Market, day ingredients.Date) []*Allergen {
	return t.allergensWhere(func(a *Allergen) bool { return a.Market == m.Annexes() && !a.Prohibited && !day.Before(a.From) })
}

// AllergensLater returns the allergens whose duty starts after a day.
func (t *Tables) AllergensLater(m Market, day ingredients.Date) []*Allergen {
	return t.allergensWhere(func(a *Allergen) bool { return a.Market == m.Annexes() && !a.Prohibited && day.Before(a.From) })
}

// AllergensProhibited returns the former label names that may not be present at
// all in a product placed on a day.
func (t *Tables) AllergensProhibited(m Market, day ingredients.Date) []*Allergen {
	return t.allergensWhere(func(a *Allergen) bool { return a.Market == m.Annexes() && a.Prohibited && !day.Before(a.From) })
}

func (t *Tables) allergensWhere(keep func(*Allergen) bool) []*Allergen {
	var out []*Allergen
	for _, a := range t.allergens {
		if keep(a) {
			out = append(out, a)
		}
	}
	return out
}

// Limits returns every limit of every market and time, in the order of the
// table, the maker's own rows last.
func (t *Tables) Limits() []*Limit { return slices.Clone(t.limits) }

// LimitsFor returns the limits in force for a newly placed product on a day.
func (t *Tables) LimitsFor(m Market, day ingredients.Date) []*Limit {
	var out []*Limit
	for _, l := range t.limits {
		if l.In(m, day) {
			out = append(out, l)
		}
	}
	return out
}

// LimitsLater returns the limits that come into force after a day.
func (t *Tables) LimitsLater(m Market, day ingredients.Date) []*Limit {
	var out []*Limit
	for _, l := range t.limits {
		if l.For(m) && day.Before(l.From) {
			out = append(out, l)
		}
	}
	return out
}

// Match says how a limit row was found for a substance.
type Match struct {
	Limit *Limit
	By    string // name, cas or ec: the surest that fits, in this order
}

// LimitsOf returns the rows of all markets and times that name a substance, by
// its INCI name and its synonyms, its CAS numbers and its EC numbers, in the
// order of the table. Class entries (see [Limit.Class]) may apply without being
// found here, and a number may stand for several preparations: By says what the
// match rests on.
func (t *Tables) LimitsOf(inci string, cas, ec []string) []Match {
	by := map[*Limit]string{}
	add := func(rows []*Limit, how string) {
		for _, l := range rows {
			if by[l] == "" {
				by[l] = how
			}
		}
	}
	add(t.byName[ingredients.NameKey(inci)], "name")
	for _, n := range t.namesOf(inci) {
		add(t.byName[n], "name")
	}
	for _, c := range cas {
		add(t.byCAS[c], "cas")
	}
	for _, e := range ec {
		add(t.byEC[e], "ec")
	}
	var out []Match
	for l, how := range by {
		out = append(out, Match{l, how})
	}
	slices.SortFunc(out, func(a, b Match) int {
		return cmp.Or(cmp.Compare(boolInt(a.Limit.Own), boolInt(b.Limit.Own)), cmp.Compare(a.Limit.File, b.Limit.File), cmp.Compare(a.Limit.Line, b.Limit.Line))
	})
	return out
}

func boolInt(b bool) int {
	if b {
		return 1
	}
	return 0
}

// Applies is a limit row that may rule one use, with the answer to whether its
// condition holds.
type Applies struct {
	Match
	Answer Answer
}

// Rules returns the rows in force for a substance, a market and a day whose
// condition holds or is undecided in s, in the order of the table. listed says
// whether any row in force names the substance at all: a substance that is
// listed while nothing is returned has no line for this type of product, which
// is not a pass.
func (t *Tables) Rules(inci string, cas, ec []string, m Market, day ingredients.Date, s Situation) (rules []Applies, listed bool) {
	s = s.Complete()
	for _, match := range t.LimitsOf(inci, cas, ec) {
		if !match.Limit.In(m, day) {
			continue
		}
		listed = true
		if a := match.Limit.Judge(s); a.Verdict != DoesNot {
			rules = append(rules, Applies{match, a})
		}
	}
	return rules, listed
}

// Group returns the rows in force of one sum group, in the order of the table.
func (t *Tables) Group(name string, m Market, day ingredients.Date) []*Limit {
	var out []*Limit
	for _, l := range t.limits {
		if name != "" && l.SumGroup == name && l.In(m, day) {
			out = append(out, l)
		}
	}
	return out
}

// Exposure returns the exposure row with the given key.
func (t *Tables) Exposure(key string) (*Exposure, bool) {
	e, ok := t.byExposure[key]
	return e, ok
}

// Exposures returns all exposure rows in the order of the table.
func (t *Tables) Exposures() []*Exposure { return slices.Clone(t.exposure) }

// Tox returns the toxicological values for a substance, found by INCI name or,
// where no row has the name, by CAS number.
func (t *Tables) Tox(inci string, cas ...string) []*Tox {
	var byName, byCAS []*Tox
	for _, x := range t.tox {
		switch {
		case t.sameName(inci, append([]string{x.Substance}, x.INCI...)):
			byName = append(byName, x)
		case x.CAS != "" && slices.Contains(cas, x.CAS):
			byCAS = append(byCAS, x)
		}
	}
	if byName != nil {
		return byName
	}
	return byCAS
}

// ToxRows returns all toxicological rows in the order of the table.
func (t *Tables) ToxRows() []*Tox { return slices.Clone(t.tox) }

// FragranceStandards returns the rows of the fragrance Standards for a
// substance, by name or CAS number.
func (t *Tables) FragranceStandards(inci string, cas ...string) []*FragranceStandard {
	var out []*FragranceStandard
	for _, s := range t.standards {
		if t.sameName(inci, []string{s.Substance}) || slices.ContainsFunc(s.CAS, func(c string) bool { return slices.Contains(cas, c) }) {
			out = append(out, s)
		}
	}
	return out
}

// FragranceCategories returns the rows of the fragrance categories.
func (t *Tables) FragranceCategories() []*FragranceCategory { return slices.Clone(t.categories) }

// Standards returns all rows of the fragrance Standards.
func (t *Tables) Standards() []*FragranceStandard { return slices.Clone(t.standards) }

// Materials returns the common raw materials.
func (t *Tables) Materials() []*Material { return slices.Clone(t.materials) }

// Dossier returns the items of the product file and the safety report.
func (t *Tables) Dossier() []*DossierItem { return slices.Clone(t.dossier) }

// Stability returns the figures of stability testing and microbiology.
func (t *Tables) Stability() []*StabilityItem { return slices.Clone(t.stability) }

// Fats returns the oils, fats and waxes with their saponification values.
func (t *Tables) Fats() []*Fat { return slices.Clone(t.fats) }

// Facts returns all fixed figures of guidance.
func (t *Tables) Facts() []*Fact { return slices.Clone(t.facts) }

// Fact returns one fixed figure of guidance. It panics on an unknown key, which
// is a programmer's mistake: keys are written in code, values in the table.
func (t *Tables) Fact(key string) *Fact {
	if f := t.byFact[key]; f != nil {
		return f
	}
	panic("law: no fact " + key)
}
