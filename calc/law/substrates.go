package law

import "gallipot/ingredients"

// substrate is a listed colourant that others are laid on: as part of a lake or a
// coated pigment it does not colour, and is listed under its own name.
//
// Source: substrates.csv; common practice.
type substrate struct {
	Row // Key is the ingredient name
}

var substrateColumns = columns{meaning: []string{"inci", "seen"}, remarks: []string{"source", "note"}}

func readSubstrates(file string, data []byte) ([]*substrate, error) {
	return readTable(file, data, substrateColumns, func(r *record) *substrate { return &substrate{Row: r.head(r.must("inci"))} })
}

// IsSubstrate says whether a substance is one that colourants are laid on.
func (t *Tables) IsSubstrate(inci string) bool {
	key := ingredients.NameKey(inci)
	for _, s := range t.substrates {
		if ingredients.NameKey(s.Key) == key || t.names().same(inci)[ingredients.NameKey(s.Key)] {
			return true
		}
	}
	return false
}
