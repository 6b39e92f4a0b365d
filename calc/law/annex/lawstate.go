package annex

import (
	"gallipot/calc/law/rows"
	"gallipot/ingredients/exact"
)

// LawState says up to which day and with which acts the tables hold the annexes
// of a market.
//
// Source: law-state.csv.
type LawState struct {
	rows.Row       // Key is the market
	Market         rows.Market
	ConsolidatedTo exact.Date
	ActsIn         []string // acts worked in
	NotWhollyRead  []string // those of them whose text was not wholly read
	NotIn          []string // known and not worked in
	Drafts         []string // drafts that stand in the tables as such
}

var LawStateColumns = rows.Columns{
	Meaning: []string{"market", "consolidated_to", "acts_in", "not_wholly_read", "not_in", "drafts", "seen"},
	Remarks: []string{"source", "note"},
}

func ReadLawStates(file string, text string) ([]*LawState, error) {
	return rows.ReadTable(file, text, LawStateColumns, func(r *rows.Record) *LawState {
		return &LawState{
			Row: r.Head(r.Must("market")), Market: rows.Market(r.Word("market", string(rows.EU),
				string(rows.GB))), ConsolidatedTo: r.Date("consolidated_to"),
			ActsIn: r.Bars("acts_in"), NotWhollyRead: r.Bars("not_wholly_read"), NotIn: r.Bars("not_in"),
			Drafts: r.Bars("drafts"),
		}
	})
}
