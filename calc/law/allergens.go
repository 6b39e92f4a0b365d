package law

import (
	"strings"

	"gallipot/ingredients"
)

// Allergen is one declarable fragrance allergen of one market: a label name
// with the substances whose contents are added under it.
//
// Source: allergens.csv; Annex III entries as each row says.
type Allergen struct {
	Row              // Key is unique within a market
	LabelName string // name to print
	Entry     string // entry of Annex III
	Market    Market // EU or GB; NI follows EU
	Regime    string // list that brought the duty: 2003-list or 2023-1545

	Members   []Member // substances counted under the label name
	Botanical bool     // oils and extracts, declared beside their constituents

	// Thresholds in % w/w of the finished product; a content that exceeds them
	// is declared, one that equals them is not. nil on prohibited rows.
	LeaveOnPct  *ingredients.Num
	RinseOffPct *ingredients.Num

	OtherLimits string           // maximum amounts that bind apart from labelling, in words
	From        ingredients.Date // first day the duty binds newly placed product
	Until       ingredients.Date // last day non-compliant stock may be made available; zero: not stated
	Prohibited  bool             // presence is a breach, not a label matter
}

// Member is one substance of an allergen entry. CAS and EC are empty where the
// law gives none: the member then counts by name.
type Member struct {
	Name, CAS, EC string
}

// Threshold returns the content in % w/w above which the allergen is declared;
// 0 for a prohibited one, whose presence is a breach at any content.
func (a *Allergen) Threshold(rinseOff bool) ingredients.Num {
	switch {
	case a.Prohibited:
		return ingredients.Int(0)
	case rinseOff:
		return *a.RinseOffPct
	}
	return *a.LeaveOnPct
}

var allergenColumns = columns{meaning: []string{"key", "label_name", "annex_iii_entry", "market", "regime", "substances", "botanical", "threshold_leave_on_pct", "threshold_rinse_off_pct", "applies_from", "transition_end", "prohibited", "seen"},
	remarks: []string{"other_limits", "source", "note"}}

func readAllergens(file string, data []byte) ([]*Allergen, error) {
	return readTable(file, data, allergenColumns, parseAllergen)
}

func parseAllergen(r *record) *Allergen {
	a := &Allergen{
		Row: r.head(r.text("key")), LabelName: r.must("label_name"), Entry: r.must("annex_iii_entry"),
		Market: Market(r.word("market", "EU", "GB")), Regime: r.must("regime"), Members: r.members("substances"),
		Botanical: r.yes("botanical"), LeaveOnPct: r.pct("threshold_leave_on_pct"), RinseOffPct: r.pct("threshold_rinse_off_pct"),
		OtherLimits: r.text("other_limits"), From: r.date("applies_from"), Until: r.date("transition_end"), Prohibited: r.yes("prohibited"),
	}
	if missing := a.LeaveOnPct == nil || a.RinseOffPct == nil; missing != a.Prohibited {
		r.fail("a row has both thresholds, or is prohibited and has none")
	}
	if a.From.IsZero() {
		r.fail("applies_from is empty")
	}
	return a
}

// members reads name|CAS|EC;… where a hyphen stands for none.
func (r *record) members(col string) []Member {
	var out []Member
	for _, item := range r.list(col) {
		p := strings.Split(item, "|")
		if len(p) != 3 {
			r.fail("%s: %q is not name|CAS|EC", col, item)
			continue
		}
		for i := range p {
			if p[i] = strings.TrimSpace(p[i]); p[i] == "-" {
				p[i] = ""
			}
		}
		m := Member{p[0], p[1], p[2]}
		if m.Name == "" {
			r.fail("%s: %q has no name", col, item)
		}
		if m.CAS != "" {
			r.checkNumbers([]string{m.CAS}, nil)
		}
		if m.EC != "" {
			r.checkNumbers(nil, []string{m.EC})
		}
		out = append(out, m)
	}
	if len(out) == 0 {
		r.fail("%s is empty", col)
	}
	return out
}
