package annex

import (
	"strings"

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

	// cited is how an annex, or an entry of one, is cited for this market; entryCited
	// an entry in a row that holds for several markets and whose source is the text of
	// another: empty where it is this market's own. {entry} and {to} stand in them.
	cited, entryCited string
}

// Cite returns the law of this market for an annex, such as V, or an entry, such as
// V/29, with the day up to which it is in the tables.
func (s *LawState) Cite(entry string) string { return s.fill(s.cited, entry) }

func (s *LawState) fill(text, entry string) string {
	return strings.NewReplacer("{entry}", entry, "{to}", s.ConsolidatedTo.String()).Replace(text)
}

var LawStateColumns = rows.Columns{
	Meaning: []string{"market", "consolidated_to", "acts_in", "not_wholly_read", "not_in", "drafts", "seen"},
	Remarks: []string{"cited", "entry_cited", "source", "note"},
}

func ReadLawStates(file string, text string) ([]*LawState, error) {
	return rows.ReadTable(file, text, LawStateColumns, func(r *rows.Record) *LawState {
		return &LawState{
			Row: r.Head(r.Must("market")), Market: rows.Market(r.Word("market", string(rows.EU),
				string(rows.GB))), ConsolidatedTo: r.Date("consolidated_to"),
			ActsIn: r.Bars("acts_in"), NotWhollyRead: r.Bars("not_wholly_read"), NotIn: r.Bars("not_in"),
			Drafts: r.Bars("drafts"), cited: r.Must("cited"), entryCited: r.Text("entry_cited"),
		}
	})
}
