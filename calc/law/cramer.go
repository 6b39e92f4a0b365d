package law

import "gallipot/ingredients"

// CramerClass is the structural class that an agency gave a substance, for
// screening by a threshold of toxicological concern.
//
// Source: cramer-classes.csv; the output of the agency stands in Row.Source.
type CramerClass struct {
	Row
	INCI    string
	CAS     string
	Class   string   // I, II or III
	Others  []string // classes other outputs of the agency give
	MW      *Figure  // molar mass, g/mol; nil: not stated
	Formula string   // molecular formula; empty: not stated
}

var cramerColumns = columns{
	meaning: []string{
		"key", "inci", "cas", "cramer_class", "other_classes", "mw", "formula", "seen",
	},
	remarks: []string{"source", "note"},
}

func readCramerClasses(file string, data []byte) ([]*CramerClass, error) {
	return readTable(file, data, cramerColumns, func(r *record) *CramerClass {
		c := &CramerClass{
			Row: r.head(r.must("key")), INCI: r.must("inci"), CAS: r.text("cas"), Class: r.word("cramer_class", "I", "II", "III"),
			Others: r.list("other_classes"), MW: r.figure("mw"), Formula: r.text("formula"),
		}
		if c.CAS != "" {
			r.checkNumbers([]string{c.CAS}, nil)
		}
		for _, o := range c.Others {
			if o != "I" && o != "II" && o != "III" {
				r.fail("other_classes: %q is no class", o)
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

// CramerOf returns the classes of a substance by its name and synonyms or, where
// no row has the name, by CAS number.
func (t *Tables) CramerOf(inci string, cas ...string) []*CramerClass {
	places := t.cramerPlaces()
	same := map[string]bool{ingredients.NameKey(inci): true}
	for k := range t.names().same(inci) {
		same[k] = true
	}
	at := places.of(same)
	if len(at) == 0 {
		at = places.numbered(cas)
	}
	var out []*CramerClass
	for _, i := range at {
		out = append(out, t.cramer[i])
	}
	return out
}

// CramerRows returns all classes in the order of the table.
func (t *Tables) CramerRows() []*CramerClass { return append([]*CramerClass(nil), t.cramer...) }

func (t *Tables) buildCramerPlaces() placesOf {
	p := newPlaces()
	for i, c := range t.cramer {
		enter(p.byName, ingredients.NameKey(c.INCI), i)
		if c.CAS != "" {
			enter(p.byCAS, c.CAS, i)
		}
	}
	return p
}
