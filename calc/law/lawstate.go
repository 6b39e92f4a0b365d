package law

import "gallipot/ingredients"

// LawState says up to which day and with which acts the tables hold the annexes
// of a market.
//
// Source: law-state.csv.
type LawState struct {
	Row            // Key is the market
	Market         Market
	ConsolidatedTo ingredients.Date
	ActsIn         []string // acts worked in
	NotWhollyRead  []string // those of them whose text was not wholly read
	NotIn          []string // known and not worked in
	Drafts         []string // drafts that stand in the tables as such
}

var lawStateColumns = columns{
	meaning: []string{"market", "consolidated_to", "acts_in", "not_wholly_read", "not_in", "drafts", "seen"},
	remarks: []string{"source", "note"},
}

func readLawStates(file string, data []byte) ([]*LawState, error) {
	return readTable(file, data, lawStateColumns, func(r *record) *LawState {
		return &LawState{
			Row: r.head(r.must("market")), Market: Market(r.word("market", string(EU), string(GB))), ConsolidatedTo: r.date("consolidated_to"),
			ActsIn: r.bars("acts_in"), NotWhollyRead: r.bars("not_wholly_read"), NotIn: r.bars("not_in"), Drafts: r.bars("drafts"),
		}
	})
}

// StateOf returns the state of the annexes of a market; NI has that of the EU. It
// panics on a market the table has not, which the tests rule out.
func (t *Tables) StateOf(m Market) *LawState {
	for _, s := range t.states {
		if s.Market == m.Annexes() {
			return s
		}
	}
	panic("law: no state of " + string(m))
}
