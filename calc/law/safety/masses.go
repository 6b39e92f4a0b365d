package safety

import (
	"gallipot/calc/law/rows"
)

// MolarMass is the molar mass of one molecule of which a toxicological row speaks
// together with others.
//
// Source: molar-masses.csv; computed from the formula.
type MolarMass struct {
	rows.Row             // Key is the ingredient name
	MW       rows.Figure // g/mol
	Formula  string
}

var MolarMassColumns = rows.Columns{Meaning: []string{"inci", "mw", "formula", "seen"},
	Remarks: []string{"source", "note"}}

func ReadMolarMasses(file string, text string) ([]*MolarMass, error) {
	return rows.ReadTable(file, text, MolarMassColumns, func(r *rows.Record) *MolarMass {
		m := &MolarMass{Row: r.Head(r.Must("inci")), Formula: r.Must("formula")}
		if f := r.Figure("mw"); f != nil {
			m.MW = *f
		} else {
			r.Fail("mw is empty")
		}
		return m
	})
}
