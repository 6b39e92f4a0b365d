package law

import (
	"gallipot/calc/law/safety"
	"gallipot/calc/law/table"
	"gallipot/ingredients"
)

// CramerOf returns the classes of a substance by its name and synonyms or, where
// no row has the name, by CAS number: those given or, where there are none, those
// that the dictionary ties to the name.
func CramerOf(t *table.Tables, inci string, cas ...string) []*safety.CramerClass {
	places := t.CramerPlaces()
	same := map[string]bool{ingredients.NameKey(inci): true}
	for k := range t.Names().Same(inci) {
		same[k] = true
	}
	at := places.Of(same)
	if s := t.Dictionary().Known(inci); s != nil && len(cas) == 0 {
		cas = s.CAS
	}
	if len(at) == 0 {
		at = places.Numbered(cas)
	}
	var out []*safety.CramerClass
	for _, i := range at {
		out = append(out, t.Cramer[i])
	}
	return out
}
