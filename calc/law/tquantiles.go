package law

import (
	"strconv"

	"gallipot/ingredients"
)

// TQuantile is one quantile of Student's t distribution.
//
// Source: t-quantiles.csv.
type TQuantile struct {
	Row             // Key is the degrees of freedom
	Degrees int     // degrees of freedom, at least 1
	T975    float64 // value below which 97.5 % lie: 95 % lie between −T975 and T975
}

var tColumns = columns{meaning: []string{"degrees_of_freedom", "t_975", "seen"},
	remarks: []string{"source", "note"}}

func readTQuantiles(file string, data []byte) ([]*TQuantile, error) {
	last := 0
	return readTable(file, data, tColumns, func(r *record) *TQuantile {
		q := &TQuantile{Row: r.head(r.text("degrees_of_freedom"))}
		var err error
		if q.Degrees, err = strconv.Atoi(q.Key); err != nil || q.Degrees <= last {
			r.fail("degrees_of_freedom: %q is no whole number above the row before", q.Key)
		}
		last = q.Degrees
		if n := r.num("t_975"); n != nil {
			q.T975 = n.Float()
		} else {
			r.fail("t_975 is empty")
		}
		return q
	})
}

// TQuantile returns the row for a number of degrees of freedom, or that of the
// next lower one in the table, whose value is larger: the cautious side. It is
// nil below 1.
func (t *Tables) TQuantile(degrees int) *TQuantile {
	var best *TQuantile
	for _, q := range t.tQuantiles {
		if q.Degrees <= degrees {
			best = q
		}
	}
	return best
}

// StabilityRow returns one row of the stability table. It panics on an unknown
// key, which is a programmer's mistake: keys are written in code, values in the
// table.
func (t *Tables) StabilityRow(key string) *StabilityItem {
	for _, s := range t.stability {
		if s.Key == key {
			return s
		}
	}
	panic("law: no stability row " + key)
}

// StabilityNumber returns the figure of a row of the stability table. It panics
// where the row has none.
func (t *Tables) StabilityNumber(key string) ingredients.Num {
	if n := t.StabilityRow(key).Number; n != nil {
		return *n
	}
	panic("law: no figure in stability row " + key)
}

// DossierItem returns one item of the dossier contents. It panics on an unknown
// key, as StabilityRow does.
func (t *Tables) DossierItem(key string) *DossierItem {
	for _, d := range t.dossier {
		if d.Key == key {
			return d
		}
	}
	panic("law: no dossier item " + key)
}
