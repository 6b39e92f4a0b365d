package law

import "gallipot/ingredients"

// StabilityItem is one figure or rule of stability testing, microbiology, shelf
// life and batch records.
//
// Source: stability-micro.csv.
type StabilityItem struct {
	Row              // Key is the id, such as L1 or C3
	Topic     string // limit, challenge A, low risk, stability condition, …
	Item      string
	Value     string           // as printed: a number, a range or a word
	Number    *ingredients.Num // Value where it is one plain number, in Unit
	Unit      string
	Condition string

	Low, High *ingredients.Num // bounds of the value, in Unit; nil: none
	BoundOpen bool             // the bound itself does not keep it
	Organisms []string         // organisms or groups of them that the row is about
	Day       int              // day of a challenge test; 0: none
	NoRise    int              // day since which counts may not rise; 0: not asked
	LowRisk   LowRiskKind      // what a row of the low-risk case is
	Weeks     []ingredients.Num
}

// LowRiskKind says what a row of the low-risk case is.
type LowRiskKind string

// The kinds of low-risk row.
const (
	NoLowRisk       LowRiskKind = ""         // no row of that case
	LowRiskFigure   LowRiskKind = "figure"   // a bound makes the case
	LowRiskAlone    LowRiskKind = "alone"    // the item makes the case
	LowRiskSupports LowRiskKind = "supports" // the item only supports a case
	LowRiskRemark   LowRiskKind = "remark"   // a remark on the others
)

var stabilityColumns = columns{meaning: []string{"id", "topic", "item", "value", "unit", "condition", "low", "high", "bound_open", "organisms", "day", "no_rise_from_day", "low_risk", "weeks", "seen"},
	remarks: []string{"source", "note"}}

func readStability(file string, data []byte) ([]*StabilityItem, error) {
	return readTable(file, data, stabilityColumns, func(r *record) *StabilityItem {
		s := &StabilityItem{
			Row: r.head(r.text("id")), Topic: r.must("topic"), Item: r.must("item"), Value: r.text("value"),
			Unit: r.text("unit"), Condition: r.text("condition"), Low: r.num("low"), High: r.num("high"), BoundOpen: r.mark("bound_open"),
			Organisms: r.list("organisms"), Day: r.whole("day"), NoRise: r.whole("no_rise_from_day"),
			LowRisk: LowRiskKind(r.word("low_risk", string(NoLowRisk), string(LowRiskFigure), string(LowRiskAlone), string(LowRiskSupports), string(LowRiskRemark))),
		}
		if n, err := ingredients.ParseNum(s.Value); err == nil {
			s.Number = &n
		}
		for _, item := range r.list("weeks") {
			n, err := ingredients.ParseNum(item)
			if err != nil {
				r.failIn("weeks", err)
			}
			s.Weeks = append(s.Weeks, n)
		}
		return s
	})
}
