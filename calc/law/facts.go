package law

import (
	"strings"

	"gallipot/ingredients"
)

// Fact is one fixed figure of published guidance: a default, a factor, a
// threshold.
//
// Source: facts.csv.
type Fact struct {
	Row
	Value  string           // as printed
	Number ingredients.Num  // the value, in Unit; 0 where the value is a date
	Date   ingredients.Date // the value where Unit is "date"
	Unit   string
}

// Float returns the value as a float, for exposure figures.
func (f *Fact) Float() float64 { return f.Number.Float() }

var factColumns = columns{meaning: []string{"key", "value", "unit", "seen"},
	remarks: []string{"source", "note"}}

func readFacts(file string, data []byte) ([]*Fact, error) {
	return readTable(file, data, factColumns, func(r *record) *Fact {
		f := &Fact{Row: r.head(r.text("key")), Value: r.must("value"), Unit: r.must("unit")}
		if f.Unit == "date" {
			f.Date = r.date("value")
			return f
		}
		top, bottom, quotient := strings.Cut(f.Value, "/")
		n, err := ingredients.ParseNum(top)
		if err != nil {
			r.fail("value: %v", err)
		}
		f.Number = n
		if quotient {
			d, err := ingredients.ParseNum(bottom)
			if err != nil || d.IsZero() {
				r.fail("value: %q is no quotient", f.Value)
				return f
			}
			f.Number = n.Quo(d)
		}
		return f
	})
}
