package trade

import (
	"gallipot/calc/law/rows"
)

// Substrate is a listed colourant that others are laid on: as part of a lake or a
// coated pigment it does not colour, and is listed under its own name.
//
// Source: substrates.csv; common practice.
type Substrate struct {
	rows.Row // Key is the ingredient name
}

var SubstrateColumns = rows.Columns{Meaning: []string{"inci", "seen"}, Remarks: []string{"source", "note"}}

func ReadSubstrates(file string, text string) ([]*Substrate, error) {
	return rows.ReadTable(file, text, SubstrateColumns,
		func(r *rows.Record) *Substrate { return &Substrate{Row: r.Head(r.Must("inci"))} })
}
