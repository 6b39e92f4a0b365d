package table

import (
	"gallipot/calc/law/rows"
	"gallipot/ingredients"
)

// substrate is a listed colourant that others are laid on: as part of a lake or a
// coated pigment it does not colour, and is listed under its own name.
//
// Source: substrates.csv; common practice.
type substrate struct {
	rows.Row // Key is the ingredient name
}

var substrateColumns = rows.Columns{Meaning: []string{"inci", "seen"}, Remarks: []string{"source", "note"}}

func readSubstrates(file string, data []byte) ([]*substrate, error) {
	return rows.ReadTable(file, data, substrateColumns, func(r *rows.Record) *substrate { return &substrate{Row: r.Head(r.Must("inci"))} })
}

// IsSubstrate says whether a substance is one that colourants are laid on.
func (t *Tables) IsSubstrate(inci string) bool {
	key := ingredients.NameKey(inci)
	for _, s := range t.substrates {
		if ingredients.NameKey(s.Key) == key || t.Names().Same(inci)[ingredients.NameKey(s.Key)] {
			return true
		}
	}
	return false
}
