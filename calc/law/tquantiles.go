package law

import (
	"gallipot/calc/law/duties"
	"gallipot/calc/law/safety"
	"gallipot/calc/law/table"
	"gallipot/ingredients/exact"
)

// TQuantile returns the row for a number of degrees of freedom, or that of the
// next lower one in the table, whose value is larger: the cautious side. It is
// nil below 1.
func TQuantile(t *table.Tables, degrees int) *safety.TQuantile {
	var best *safety.TQuantile
	for _, q := range t.TQuantiles {
		if q.Degrees <= degrees {
			best = q
		}
	}
	return best
}

// StabilityRow returns one row of the stability table. It panics on an unknown
// key, which is a programmer's mistake: keys are written in code, values in the
// table.
func StabilityRow(t *table.Tables, key string) *safety.StabilityItem {
	for _, s := range t.Stability {
		if s.Key == key {
			return s
		}
	}
	panic("law: no stability row " + key)
}

// StabilityNumber returns the figure of a row of the stability table. It panics
// where the row has none.
func StabilityNumber(t *table.Tables, key string) exact.Num {
	if n := StabilityRow(t, key).Number; n != nil {
		return *n
	}
	panic("law: no figure in stability row " + key)
}

// DossierItem returns one item of the dossier contents. It panics on an unknown
// key, as StabilityRow does.
func DossierItem(t *table.Tables, key string) *duties.DossierItem {
	for _, d := range t.Dossier {
		if d.Key == key {
			return d
		}
	}
	panic("law: no dossier item " + key)
}
