package annex

import (
	"strings"

	"gallipot/calc/law/rows"
	"gallipot/ingredients/exact"
)

// Allergen is one declarable fragrance allergen of one market: a label name
// with the substances whose contents are added under it.
//
// Source: allergens.csv; Annex III entries as each row says.
type Allergen struct {
	rows.Row              // Key is unique within a market
	LabelName string      // name to print
	Entry     string      // entry of Annex III
	Market    rows.Market // EU or GB; NI follows EU
	Regime    string      // list that brought the duty: 2003-list or 2023-1545

	Members   []Member // substances counted under the label name
	Botanical bool     // oils and extracts, declared beside their constituents

	// Thresholds in % w/w of the finished product; a content that exceeds them
	// is declared, one that equals them is not. nil on prohibited rows.
	LeaveOnPct  *exact.Num
	RinseOffPct *exact.Num

	OtherLimits string     // maximum amounts that bind apart from labelling, in words
	From        exact.Date // first day the duty binds newly placed product
	Until       exact.Date // last day non-compliant stock may be made available; zero: not stated
	Prohibited  bool       // presence is a breach, not a label matter
}

// Member is one substance of an allergen entry. CAS and EC are empty where the
// law gives none: the member then counts by name.
type Member struct {
	Name, CAS, EC string
}

// Threshold returns the content in % w/w above which the allergen is declared;
// 0 for a prohibited one, whose presence is a breach at any content.
func (a *Allergen) Threshold(rinseOff bool) exact.Num {
	switch {
	case a.Prohibited:
		return exact.Int(0)
	case rinseOff:
		return *a.RinseOffPct
	}
	return *a.LeaveOnPct
}

var AllergenColumns = rows.Columns{Meaning: []string{"key", "label_name", "annex_iii_entry", "market",
	"regime", "substances", "botanical", "threshold_leave_on_pct", "threshold_rinse_off_pct", "applies_from",
	"transition_end", "prohibited", "seen"},
	Remarks: []string{"other_limits", "source", "note"}}

func ReadAllergens(file string, text string) ([]*Allergen, error) {
	return rows.ReadTable(file, text, AllergenColumns, parseAllergen)
}

func parseAllergen(r *rows.Record) *Allergen {
	a := &Allergen{
		Row: r.Head(r.Text("key")), LabelName: r.Must("label_name"), Entry: r.Must("annex_iii_entry"),
		Market: rows.Market(r.Word("market", "EU", "GB")), Regime: r.Must("regime"), Members: members(r,
			"substances"),
		Botanical: r.Yes("botanical"), LeaveOnPct: r.Pct("threshold_leave_on_pct"),
		RinseOffPct: r.Pct("threshold_rinse_off_pct"),
		OtherLimits: r.Text("other_limits"), From: r.Date("applies_from"), Until: r.Date("transition_end"),
		Prohibited: r.Yes("prohibited"),
	}
	if missing := a.LeaveOnPct == nil || a.RinseOffPct == nil; missing != a.Prohibited {
		r.Fail("a row has both thresholds, or is prohibited and has none")
	}
	if a.From.IsZero() {
		r.Fail("applies_from is empty")
	}
	return a
}

// members reads name|CAS|EC;… where a hyphen stands for none.
func members(r *rows.Record, col string) []Member {
	var out []Member
	for _, item := range r.List(col) {
		p := strings.Split(item, "|")
		if len(p) != 3 {
			r.Fail("%s: %q is not name|CAS|EC", col, item)
			continue
		}
		for i := range p {
			if p[i] = strings.TrimSpace(p[i]); p[i] == "-" {
				p[i] = ""
			}
		}
		m := Member{p[0], p[1], p[2]}
		if m.Name == "" {
			r.Fail("%s: %q has no name", col, item)
		}
		if m.CAS != "" {
			r.CheckNumbers([]string{m.CAS}, nil)
		}
		if m.EC != "" {
			r.CheckNumbers(nil, []string{m.EC})
		}
		out = append(out, m)
	}
	if len(out) == 0 {
		r.Fail("%s is empty", col)
	}
	return out
}
