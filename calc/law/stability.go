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
}

var stabilityColumns = columns{meaning: []string{"id", "topic", "item", "value", "unit", "condition", "seen"},
	remarks: []string{"source", "note"}}

func readStability(file string, data []byte) ([]*StabilityItem, error) {
	return readTable(file, data, stabilityColumns, func(r *record) *StabilityItem {
		s := &StabilityItem{
			Row: r.head(r.text("id")), Topic: r.must("topic"), Item: r.must("item"), Value: r.text("value"),
			Unit: r.text("unit"), Condition: r.text("condition"),
		}
		if n, err := ingredients.ParseNum(s.Value); err == nil {
			s.Number = &n
		}
		return s
	})
}
