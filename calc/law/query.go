package law

import (
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

// AllergenRows returns every row of all markets and times, prohibited ones too,
// in the order of the table.
func (t *Tables) AllergenRows() []*Allergen { return slices.Clone(t.allergens) }

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

// Exposure returns the exposure row with the given key.
func (t *Tables) Exposure(key string) (*Exposure, bool) {
	e, ok := t.byExposure[key]
	return e, ok
}

// Exposures returns all exposure rows in the order of the table.
func (t *Tables) Exposures() []*Exposure { return slices.Clone(t.exposure) }

// Tox returns the toxicological values for a substance, found by name or, where
// no row has the name, by CAS number.
func (t *Tables) Tox(inci string, cas ...string) []*Tox {
	places := t.lookups().tox
	at := places.of(t.names().same(inci))
	if len(at) == 0 {
		at = places.numbered(cas)
	}
	var out []*Tox
	for _, i := range at {
		out = append(out, t.tox[i])
	}
	return out
}

// ToxRows returns all toxicological rows in the order of the table.
func (t *Tables) ToxRows() []*Tox { return slices.Clone(t.tox) }

// FragranceStandards returns the rows of the fragrance Standards for a
// substance, by name or CAS number.
func (t *Tables) FragranceStandards(inci string, cas ...string) []*FragranceStandard {
	places := t.lookups().standards
	var out []*FragranceStandard
	for _, i := range inOrder(append(places.of(t.names().same(inci)), places.numbered(cas)...)) {
		out = append(out, t.standards[i])
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

// NewestAmendment returns the number of the newest known IFRA amendment.
func (t *Tables) NewestAmendment() int { return int(t.Fact("ifra-amendment-newest").Float()) }

// LowRiskCriteria returns the criteria under which a product is at low risk of
// microbial growth.
func (t *Tables) LowRiskCriteria() []*StabilityItem { return t.StabilityTopic("low risk") }

// StabilityTopic returns the rows of one topic of the stability table.
func (t *Tables) StabilityTopic(topic string) []*StabilityItem {
	var out []*StabilityItem
	for _, s := range t.stability {
		if s.Topic == topic {
			out = append(out, s)
		}
	}
	return out
}
