package tox

import (
	"slices"

	"gallipot/calc/law/rows"
)

// Dose is one published dose per area of skin without sensitisation.
//
// Source: sensitisation.csv.
type Dose struct {
	rows.Row
	Name     string
	CAS      string
	UgCM2    rows.Figure // µg/cm²
	Weighted bool        // by weight of evidence; false: no effect seen in one human study
	PureOnly bool        // of the pure substance; its oxidised forms sensitise at far lower doses
}

func readDoses(file string, text string) ([]*Dose, error) {
	columns := rows.Columns{Meaning: []string{"key", "name", "cas", "dose_ug_cm2", "kind", "pure_only",
		"seen"}, Remarks: []string{"source", "note"}}
	return rows.ReadTable(file, text, columns, func(r *rows.Record) *Dose {
		d := &Dose{Row: r.Head(r.Must("key")), Name: r.Must("name"), CAS: r.Text("cas"),
			Weighted: r.Word("kind", "weight-of-evidence",
				"human-no-effect") == "weight-of-evidence", PureOnly: r.Mark("pure_only")}
		if f := r.Figure("dose_ug_cm2"); f != nil && f.Value > 0 {
			d.UgCM2 = *f
		} else {
			r.Fail("dose_ug_cm2 is not above 0")
		}
		return d
	})
}

// DoseOf returns the published dose to hold a substance against: the lowest by weight of
// evidence or, where there is none, the lowest of one human study. Nil: none published
// here.
func (t *Tables) DoseOf(cas ...string) *Dose {
	var best *Dose
	for _, d := range t.doses().must() {
		if d.CAS == "" || !slices.Contains(cas, d.CAS) {
			continue
		}
		if best == nil || d.Weighted && !best.Weighted || d.Weighted == best.Weighted &&
			d.UgCM2.Value < best.UgCM2.Value {
			best = d
		}
	}
	return best
}
