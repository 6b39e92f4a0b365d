package trade

import (
	"strings"

	"gallipot/calc/law/rows"
	"gallipot/ingredients/exact"
)

// Fact is one fixed figure of published guidance: a default, a factor, a
// threshold.
//
// Source: facts.csv.
type Fact struct {
	rows.Row
	Value  string     // as printed
	Number exact.Num  // the value, in Unit; 0 where the value is a date
	Date   exact.Date // the value where Unit is "date"
	Unit   string
}

// Float returns the value as a float, for exposure figures.
func (f *Fact) Float() float64 { return f.Number.Float() }

var FactColumns = rows.Columns{Meaning: []string{"key", "value", "unit", "seen"},
	Remarks: []string{"source", "note"}}

func ReadFacts(file string, text string) ([]*Fact, error) {
	return rows.ReadTable(file, text, FactColumns, func(r *rows.Record) *Fact {
		f := &Fact{Row: r.Head(r.Text("key")), Value: r.Must("value"), Unit: r.Must("unit")}
		if f.Unit == "date" {
			f.Date = r.Date("value")
			return f
		}
		top, bottom, quotient := strings.Cut(f.Value, "/")
		n, err := exact.ParseNum(top)
		if err != nil {
			r.Fail("value: %v", err)
		}
		f.Number = n
		if quotient {
			d, err := exact.ParseNum(bottom)
			if err != nil || d.IsZero() {
				r.Fail("value: %q is no quotient", f.Value)
				return f
			}
			f.Number = n.Quo(d)
		}
		return f
	})
}
