package law

import (
	"regexp"
	"slices"

	"gallipot/ingredients"
)

// synonym is one pair of names that mean the same substance.
//
// Source: synonyms.csv.
type synonym struct {
	Row            // Key is the synonym
	INCI    string // canonical name
	Synonym string // other name
}

var synonymColumns = []string{"inci", "synonym", "source", "seen", "note"}

func readSynonyms(file string, data []byte) ([]*synonym, error) {
	return readTable(file, data, synonymColumns, func(r *record) *synonym {
		return &synonym{Row: r.head(r.text("synonym")), INCI: r.must("inci"), Synonym: r.must("synonym")}
	})
}

// Dictionary returns the substances the tables know, built once.
//
// A name gets a CAS or EC number only where a row ties exactly that number to
// exactly that name; a row of several names and as many numbers in another
// order would otherwise make a false contradiction. Label names of allergen
// groups are no synonyms of their members, and a colour number is no synonym
// of the substance used for another purpose.
func (t *Tables) Dictionary() *ingredients.Dictionary { return t.dict() }

func (t *Tables) buildDictionary() *ingredients.Dictionary {
	d := ingredients.NewDictionary()
	for _, m := range t.materials {
		for _, c := range m.Constituents {
			d.Add(c.INCI, one(c.CAS), nil)
		}
	}
	for _, x := range t.tox {
		if len(x.INCI) == 1 && x.INCI[0] != "(impurity)" {
			d.Add(x.INCI[0], one(x.CAS), nil)
		}
	}
	for _, s := range t.synonyms {
		d.Add(s.INCI, nil, nil, s.Synonym)
	}
	for _, f := range t.fats {
		d.Add(f.INCI, f.CAS, nil)
	}
	for _, l := range t.limits {
		addLimit(d, l)
	}
	for _, a := range t.allergens {
		for _, m := range a.Members {
			d.Add(m.Name, one(m.CAS), one(m.EC))
		}
	}
	return d
}

func one(s string) []string {
	if s == "" {
		return nil
	}
	return []string{s}
}

// colourName matches names under which a colourant is traded and nothing else.
var colourName = regexp.MustCompile(`^(Acid|Basic|Direct|Food|Pigment|Solvent|Vat|Natural|Reactive|Disperse) (Black|Blue|Brown|Green|Orange|Red|Violet|White|Yellow) |^(Ext\. )?(FD&C|D&C) `)

func addLimit(d *ingredients.Dictionary, l *Limit) {
	switch {
	case l.Class() || l.Own:
		return
	case l.Annex == "IV":
		var other []string
		for _, n := range l.Names[1:] {
			if colourName.MatchString(n) {
				other = append(other, n)
			}
		}
		d.Add(l.Names[0], l.CAS, l.EC, other...)
	case len(l.Names) == 1:
		d.Add(l.Names[0], l.CAS, l.EC)
	case len(l.Names) == len(l.CAS) && len(l.Names) == len(l.EC):
		for i, n := range l.Names {
			d.Add(n, l.CAS[i:i+1], l.EC[i:i+1])
		}
	default:
		for _, n := range l.Names {
			d.Add(n, nil, nil)
		}
	}
}

// CASFits says whether a CAS number may stand for a name: it does where the
// dictionary gives it to the name, or knows nothing of the name, or knows no
// number for it. others are the names the number stands for.
func (t *Tables) CASFits(inci, cas string) (ok bool, others []string) {
	d := t.Dictionary()
	for _, s := range d.ByCAS(cas) {
		others = append(others, s.INCI)
	}
	slices.Sort(others)
	s := d.Lookup(inci)
	return s == nil || len(s.CAS) == 0 || slices.Contains(s.CAS, cas), others
}

// namesOf returns the keys of the names that mean the same substance.
func (t *Tables) namesOf(inci string) []string {
	d := t.Dictionary()
	s := d.Lookup(inci)
	if s == nil {
		return nil
	}
	keys := []string{ingredients.NameKey(s.INCI)}
	for _, syn := range t.synonyms {
		if d.Lookup(syn.Synonym) == s {
			keys = append(keys, ingredients.NameKey(syn.Synonym))
		}
	}
	return keys
}

func (t *Tables) sameName(inci string, names []string) bool {
	want := append(t.namesOf(inci), ingredients.NameKey(inci))
	return slices.ContainsFunc(names, func(n string) bool { return slices.Contains(want, ingredients.NameKey(n)) })
}
