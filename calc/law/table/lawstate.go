package table

import (
	"gallipot/calc/law/rows"
	"gallipot/ingredients/exact"
)

// lawState says up to which day and with which acts the tables hold the annexes
// of a market.
//
// Source: law-state.csv.
type lawState struct {
	rows.Row       // Key is the market
	Market         rows.Market
	ConsolidatedTo exact.Date
	ActsIn         []string // acts worked in
	NotWhollyRead  []string // those of them whose text was not wholly read
	NotIn          []string // known and not worked in
	Drafts         []string // drafts that stand in the tables as such
}

var lawStateColumns = rows.Columns{
	Meaning: []string{"market", "consolidated_to", "acts_in", "not_wholly_read", "not_in", "drafts", "seen"},
	Remarks: []string{"source", "note"},
}

func readLawStates(file string, data []byte) ([]*lawState, error) {
	return rows.ReadTable(file, data, lawStateColumns, func(r *rows.Record) *lawState {
		return &lawState{
			Row: r.Head(r.Must("market")), Market: rows.Market(r.Word("market", string(rows.EU), string(rows.GB))), ConsolidatedTo: r.Date("consolidated_to"),
			ActsIn: r.Bars("acts_in"), NotWhollyRead: r.Bars("not_wholly_read"), NotIn: r.Bars("not_in"), Drafts: r.Bars("drafts"),
		}
	})
}

// StateOf returns the state of the annexes of a market; NI has that of the EU. It
// panics on a market the table has not, which the tests rule out.
func (t *Tables) StateOf(m rows.Market) *lawState {
	for _, s := range t.states {
		if s.Market == m.Annexes() {
			return s
		}
	}
	panic("law: no state of " + string(m))
}
