package ingredients

import (
	"maps"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Dictionary knows substances by name: which names mean the same substance,
// and which CAS and EC numbers belong to it. It is filled from the law and
// reference tables (see calc/law) and never changed after that.
type Dictionary struct {
	byKey map[string]*Substance
	byCAS map[string][]*Substance
	byEC  map[string][]*Substance

	preparation func(name string) bool
}

// SetPreparation tells the dictionary which names are those of one preparation of
// a plant, such as an oil or an extract, of which several can share a number.
func (d *Dictionary) SetPreparation(is func(name string) bool) { d.preparation = is }

// IsPreparation says whether a name is that of one preparation of a plant.
func (d *Dictionary) IsPreparation(name string) bool {
	return d.preparation != nil && d.preparation(name)
}

// Substance is one entry of the dictionary.
type Substance struct {
	INCI string   // canonical name as it stands in an ingredient list
	CAS  []string // every CAS number the tables give it
	EC   []string // every EC number the tables give it
}

// NewDictionary returns an empty dictionary.
func NewDictionary() *Dictionary {
	return &Dictionary{byKey: map[string]*Substance{}, byCAS: map[string][]*Substance{}, byEC: map[string][]*Substance{}}
}

// NameKey folds a name for comparison: letter case, spaces and the
// apostrophes, dots and hyphens that suppliers set differently.
func NameKey(name string) string {
	if folded(name) {
		return name
	}
	var room [64]byte // most names fit
	key, space := room[:0], false
	for _, r := range name {
		switch r {
		case ' ', '\t', '\u00a0', '-', '–':
			space = len(key) > 0
			continue
		case '.', '\'', '’', '´':
			continue
		}
		if space {
			key, space = append(key, ' '), false
		}
		key = utf8.AppendRune(key, unicode.ToLower(r))
	}
	return string(key)
}

// folded says whether a name of plain letters is its own key already.
func folded(name string) bool {
	for i := range len(name) {
		switch c := name[i]; {
		case c >= utf8.RuneSelf, 'A' <= c && c <= 'Z', c == '\t', c == '-', c == '.', c == '\'':
			return false
		case c == ' ' && (i == 0 || i == len(name)-1 || name[i-1] == ' '):
			return false
		}
	}
	return true
}

// Add enters a substance or adds numbers and synonyms to one that is there.
// A synonym that already names another substance is left with that one.
func (d *Dictionary) Add(inci string, cas, ec []string, synonyms ...string) {
	key := NameKey(inci)
	s := d.byKey[key]
	if s == nil {
		s = &Substance{INCI: inci}
		d.byKey[key] = s
	}
	for _, c := range cas {
		if !slices.Contains(s.CAS, c) {
			s.CAS = append(s.CAS, c)
			d.byCAS[c] = append(d.byCAS[c], s)
		}
	}
	for _, e := range ec {
		if !slices.Contains(s.EC, e) {
			s.EC = append(s.EC, e)
			d.byEC[e] = append(d.byEC[e], s)
		}
	}
	for _, n := range synonyms {
		if k := NameKey(n); d.byKey[k] == nil {
			d.byKey[k] = s
		}
	}
}

// Lookup returns the substance of a name, or nil.
func (d *Dictionary) Lookup(name string) *Substance { return d.byKey[NameKey(name)] }

// ByCAS returns the substances that carry a CAS number, in the order they were
// entered: one number may stand for several names.
func (d *Dictionary) ByCAS(cas string) []*Substance { return d.byCAS[cas] }

// ByEC returns the substances that carry an EC number.
func (d *Dictionary) ByEC(ec string) []*Substance { return d.byEC[ec] }

// Canonical returns the canonical INCI name of a name, or the name itself where
// the dictionary does not know it.
func (d *Dictionary) Canonical(name string) string {
	if s := d.Lookup(name); s != nil {
		return s.INCI
	}
	return strings.TrimSpace(name)
}

// Names returns all canonical names, sorted.
func (d *Dictionary) Names() []string {
	set := map[string]bool{}
	for _, s := range d.byKey {
		set[s.INCI] = true
	}
	return slices.Sorted(maps.Keys(set))
}
