package law

import "gallipot/ingredients"

// MolarMass is the molar mass of one molecule of which a toxicological row speaks
// together with others.
//
// Source: molar-masses.csv; computed from the formula.
type MolarMass struct {
	Row            // Key is the ingredient name
	MW      Figure // g/mol
	Formula string
}

var molarMassColumns = columns{meaning: []string{"inci", "mw", "formula", "seen"}, remarks: []string{"source", "note"}}

func readMolarMasses(file string, data []byte) ([]*MolarMass, error) {
	return readTable(file, data, molarMassColumns, func(r *record) *MolarMass {
		m := &MolarMass{Row: r.head(r.must("inci")), Formula: r.must("formula")}
		if f := r.figure("mw"); f != nil {
			m.MW = *f
		} else {
			r.fail("mw is empty")
		}
		return m
	})
}

// MassOf returns the molar mass of a substance, g/mol: its own where the tables
// hold it, else that of a toxicological row for this substance alone; nil where
// only a row for several molecules has one.
func (t *Tables) MassOf(inci string, cas ...string) *Figure {
	if m := t.byMass[ingredients.NameKey(inci)]; m != nil {
		return &m.MW
	}
	for _, row := range t.Tox(inci, cas...) {
		if row.MW != nil && len(row.INCI) <= 1 {
			return row.MW
		}
	}
	for _, c := range t.CramerOf(inci, cas...) {
		if c.MW != nil {
			return c.MW
		}
	}
	return nil
}
