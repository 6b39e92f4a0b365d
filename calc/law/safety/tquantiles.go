package safety

import (
	"strconv"

	"gallipot/calc/law/rows"
)

// TQuantile is one quantile of Student's t distribution.
//
// Source: t-quantiles.csv.
type TQuantile struct {
	rows.Row         // Key is the degrees of freedom
	Degrees  int     // degrees of freedom, at least 1
	T975     float64 // value below which 97.5 % lie: 95 % lie between −T975 and T975
}

var TColumns = rows.Columns{Meaning: []string{"degrees_of_freedom", "t_975", "seen"},
	Remarks: []string{"source", "note"}}

func ReadTQuantiles(file string, text string) ([]*TQuantile, error) {
	last := 0
	return rows.ReadTable(file, text, TColumns, func(r *rows.Record) *TQuantile {
		q := &TQuantile{Row: r.Head(r.Text("degrees_of_freedom"))}
		var err error
		if q.Degrees, err = strconv.Atoi(q.Key); err != nil || q.Degrees <= last {
			r.Fail("degrees_of_freedom: %q is no whole number above the row before", q.Key)
		}
		last = q.Degrees
		if n := r.Num("t_975"); n != nil {
			q.T975 = n.Float()
		} else {
			r.Fail("t_975 is empty")
		}
		return q
	})
}
