package safety

import (
	"gallipot/calc/law/rows"
	"gallipot/ingredients/exact"
)

// StabilityItem is one figure or rule of stability testing, microbiology, shelf
// life and batch records.
//
// Source: stability-micro.csv.
type StabilityItem struct {
	rows.Row         // Key is the id, such as L1 or C3
	Topic     string // limit, challenge A, low risk, stability condition, …
	Item      string
	Value     string     // as printed: a number, a range or a word
	Number    *exact.Num // Value where it is one plain number, in Unit
	Unit      string
	Condition string

	Low, High *exact.Num  // bounds of the value, in Unit; nil: none
	BoundOpen bool        // the bound itself does not keep it
	Organisms []string    // organisms or groups of them that the row is about
	Day       int         // day of a challenge test; 0: none
	NoRise    int         // day since which counts may not rise; 0: not asked
	LowRisk   LowRiskKind // what a row of the low-risk case is
	Weeks     []exact.Num
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

var StabilityColumns = rows.Columns{Meaning: []string{"id", "topic", "item", "value", "unit", "condition",
	"low", "high", "bound_open", "organisms", "day", "no_rise_from_day", "low_risk", "weeks", "seen"},
	Remarks: []string{"source", "note"}}

func ReadStability(file string, text string) ([]*StabilityItem, error) {
	return rows.ReadTable(file, text, StabilityColumns, func(r *rows.Record) *StabilityItem {
		s := &StabilityItem{
			Row: r.Head(r.Text("id")), Topic: r.Must("topic"), Item: r.Must("item"), Value: r.Text("value"),
			Unit: r.Text("unit"), Condition: r.Text("condition"), Low: r.Num("low"), High: r.Num("high"),
			BoundOpen: r.Mark("bound_open"),
			Organisms: r.List("organisms"), Day: r.Whole("day"), NoRise: r.Whole("no_rise_from_day"),
			LowRisk: LowRiskKind(r.Word("low_risk", string(NoLowRisk), string(LowRiskFigure), string(LowRiskAlone),
				string(LowRiskSupports), string(LowRiskRemark))),
		}
		if _, number := rows.ParseFigure(s.Value); number { // others are words, such as "absent"
			n, err := exact.ParseNum(s.Value)
			if err != nil {
				r.FailIn("value", err)
			}
			s.Number = &n
		}
		for _, item := range r.List("weeks") {
			n, err := exact.ParseNum(item)
			if err != nil {
				r.FailIn("weeks", err)
			}
			s.Weeks = append(s.Weeks, n)
		}
		return s
	})
}
