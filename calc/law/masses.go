package law

import (
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/ingredients"
)

// MassOf returns the molar mass of a substance, g/mol: its own where the tables
// hold it, else that of a toxicological row for this substance alone; nil where
// only a row for several molecules has one.
func MassOf(t *table.Tables, inci string, cas ...string) *rows.Figure {
	if m := t.ByMass[ingredients.NameKey(inci)]; m != nil {
		return &m.MW
	}
	for _, row := range Tox(t, inci, cas...) {
		if row.MW != nil && len(row.INCI) <= 1 {
			return row.MW
		}
	}
	for _, c := range CramerOf(t, inci, cas...) {
		if c.MW != nil {
			return c.MW
		}
	}
	return nil
}
