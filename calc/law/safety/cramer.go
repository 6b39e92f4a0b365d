package safety

import (
	"gallipot/calc/law/rows"
)

// CramerClass is the structural class that an agency gave a substance, for
// screening by a threshold of toxicological concern.
//
// Source: cramer-classes.csv; the output of the agency stands in Row.Source.
type CramerClass struct {
	rows.Row
	INCI    string
	CAS     string
	Class   string       // I, II or III
	Others  []string     // classes other outputs of the agency give
	MW      *rows.Figure // molar mass, g/mol; nil: not stated
	Formula string       // molecular formula; empty: not stated
}

var CramerColumns = rows.Columns{
	Meaning: []string{
		"key", "inci", "cas", "cramer_class", "other_classes", "mw", "formula", "seen",
	},
	Remarks: []string{"source", "note"},
}

func ReadCramerClasses(file string, text string) ([]*CramerClass, error) {
	return rows.ReadTable(file, text, CramerColumns, func(r *rows.Record) *CramerClass {
		c := &CramerClass{
			Row: r.Head(r.Must("key")), INCI: r.Must("inci"), CAS: r.Text("cas"), Class: r.Word("cramer_class", "I",
				"II", "III"),
			Others: r.List("other_classes"), MW: r.Figure("mw"), Formula: r.Text("formula"),
		}
		if c.CAS != "" {
			r.CheckNumbers([]string{c.CAS}, nil)
		}
		for _, o := range c.Others {
			if o != "I" && o != "II" && o != "III" {
				r.Fail("other_classes: %q is no class", o)
			}
		}
		return c
	})
}

// Strictest returns the highest of the classes given: the threshold of a higher
// class is lower.
func (c *CramerClass) Strictest() string {
	class := c.Class
	for _, o := range c.Others {
		class = max(class, o) // I, II, III sort as text
	}
	return class
}
