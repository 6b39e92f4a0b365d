package law

import (
	"slices"

	"gallipot/calc/law/annex"
	"gallipot/calc/law/duties"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/safety"
	"gallipot/calc/law/table"
	"gallipot/calc/law/trade"
	"gallipot/ingredients/exact"
)

// ProductType returns the type with the given key.
func ProductType(t *table.Tables, key string) (*trade.ProductType, bool) {
	p, ok := t.ByType[key]
	return p, ok
}

// ProductTypes returns all product types in the order of the table.
func ProductTypes(t *table.Tables) []*trade.ProductType { return slices.Clone(t.Types) }

// Allergens returns the allergens whose labelling duty binds a newly placed
// product on a day, in the order of the table. Prohibited ones are left out.
func Allergens(t *table.Tables, m rows.Market, day exact.Date) []*annex.Allergen {
	return allergensWhere(t, func(a *annex.Allergen) bool {
		return a.Market == m.Annexes() && !a.Prohibited &&
			!day.Before(a.From)
	})
}

// AllergenRows returns every row of all markets and times, prohibited ones too,
// in the order of the table.
func AllergenRows(t *table.Tables) []*annex.Allergen { return slices.Clone(t.Allergens) }

// AllergensLater returns the allergens whose duty starts after a day.
func AllergensLater(t *table.Tables, m rows.Market, day exact.Date) []*annex.Allergen {
	return allergensWhere(t, func(a *annex.Allergen) bool {
		return a.Market == m.Annexes() && !a.Prohibited &&
			day.Before(a.From)
	})
}

func allergensWhere(t *table.Tables, keep func(*annex.Allergen) bool) []*annex.Allergen {
	var out []*annex.Allergen
	for _, a := range t.Allergens {
		if keep(a) {
			out = append(out, a)
		}
	}
	return out
}

// Limits returns every limit of every market and time, in the order of the
// table, the maker's own rows last.
func Limits(t *table.Tables) []*annex.Limit { return slices.Clone(t.Limits) }

// Exposure returns the exposure row with the given key.
func Exposure(t *table.Tables, key string) (*safety.Exposure, bool) {
	e, ok := t.ByExposure[key]
	return e, ok
}

// Tox returns the toxicological values for a substance, found by name or, where
// no row has the name, by CAS number.
func Tox(t *table.Tables, inci string, cas ...string) []*safety.Tox {
	places := t.Lookups().Tox
	at := places.Of(t.Names().Same(inci))
	if len(at) == 0 {
		at = places.Numbered(cas)
	}
	var out []*safety.Tox
	for _, i := range at {
		out = append(out, t.Tox[i])
	}
	return out
}

// FragranceStandards returns the rows of the fragrance Standards for a
// substance, by name or CAS number.
func FragranceStandards(t *table.Tables, inci string, cas ...string) []*trade.FragranceStandard {
	places := t.Lookups().Standards
	var out []*trade.FragranceStandard
	for _, i := range table.InOrder(append(places.Of(t.Names().Same(inci)), places.Numbered(cas)...)) {
		out = append(out, t.Standards[i])
	}
	return out
}

// StandardsFor returns the rows of the fragrance Standards that hold for a substance:
// those that have its name or number, and those that count substances of an entry
// which has it.
func StandardsFor(t *table.Tables, inci string, cas, ec []string) []*trade.FragranceStandard {
	entries := map[string]bool{}
	for _, m := range LimitsOf(t, inci, cas, ec) {
		entries[m.Limit.Annex+"/"+m.Limit.Entry] = true
	}
	out := FragranceStandards(t, inci, cas...)
	for _, s := range t.Standards {
		if !slices.Contains(out, s) && slices.ContainsFunc(s.Entries, func(e string) bool { return entries[e] }) {
			out = append(out, s)
		}
	}
	return out
}

// Standards returns all rows of the fragrance Standards.
func Standards(t *table.Tables) []*trade.FragranceStandard { return slices.Clone(t.Standards) }

// Materials returns the common raw materials.
func Materials(t *table.Tables) []*trade.Material { return slices.Clone(t.Materials) }

// Dossier returns the items of the product file and the safety report.
func Dossier(t *table.Tables) []*duties.DossierItem { return slices.Clone(t.Dossier) }

// Stability returns the figures of stability testing and microbiology.
func Stability(t *table.Tables) []*safety.StabilityItem { return slices.Clone(t.Stability) }

// Facts returns all fixed figures of guidance.
func Facts(t *table.Tables) []*trade.Fact { return slices.Clone(t.Facts) }

// Fact returns one fixed figure of guidance. It panics on an unknown key, which
// is a programmer's mistake: keys are written in code, values in the table.
func Fact(t *table.Tables, key string) *trade.Fact {
	if f := t.ByFact[key]; f != nil {
		return f
	}
	panic("law: no fact " + key)
}

// NewestAmendment returns the number of the newest known IFRA amendment.
func NewestAmendment(t *table.Tables) int { return int(Fact(t, "ifra-amendment-newest").Float()) }

// LowRiskCriteria returns the criteria under which a product is at low risk of
// microbial growth.
func LowRiskCriteria(t *table.Tables) []*safety.StabilityItem { return StabilityTopic(t, "low risk") }

// StabilityTopic returns the rows of one topic of the stability table.
func StabilityTopic(t *table.Tables, topic string) []*safety.StabilityItem {
	var out []*safety.StabilityItem
	for _, s := range t.Stability {
		if s.Topic == topic {
			out = append(out, s)
		}
	}
	return out
}
