package ingredients

import (
	"cmp"
	"maps"
	"slices"
	"sync"
	"unicode"
	"unicode/utf8"

	"gallipot/ingredients/inventory"
	"gallipot/ingredients/namelist"
	"gallipot/ingredients/names"
)

// Dictionary knows substances by name: which names mean the same substance,
// and which CAS and EC numbers belong to it. It is filled from the law and
// reference tables (see calc/law) and never changed after the first name is
// resolved. Names that the tables lack are read with the inventory and the
// customary names behind it (see [names.Resolver]).
type Dictionary struct {
	byKey map[string]*Substance
	byCAS map[string][]*Substance
	byEC  map[string][]*Substance

	prohibited map[string][]string // letters → names in the list of prohibited substances

	ready struct {
		prohibited        func(letters string) []string // nil: not worked out
		canonical, folded namelist.Sorted
	}

	resolver func() *names.Resolver
}

// Substance is one entry of the dictionary.
type Substance struct {
	INCI string   // canonical name as it stands in an ingredient list
	CAS  []string // every CAS number the tables give it
	EC   []string // every EC number the tables give it
}

// NewDictionary returns an empty dictionary.
func NewDictionary() *Dictionary {
	d := &Dictionary{byKey: map[string]*Substance{}, byCAS: map[string][]*Substance{},
		byEC:       map[string][]*Substance{},
		prohibited: map[string][]string{}}
	d.resolver = sync.OnceValue(func() *names.Resolver {
		inv, err := inventory.Open()
		if err != nil {
			panic(err) // what is embedded is wrong, whatever the input
		}
		r, err := names.New(inv, d)
		if err != nil {
			panic(err)
		}
		return r
	})
	return d
}

// Names is the resolver of printed names over this dictionary.
func (d *Dictionary) Names() *names.Resolver { return d.resolver() }

// Resolve says what a name means as a supplier prints it, with the numbers
// printed beside it.
func (d *Dictionary) Resolve(printed, cas, ec string) names.Reading {
	return d.resolver().Resolve(printed, cas, ec)
}

// NameKey folds a name for comparison: letter case, spaces and the
// apostrophes, dots and hyphens that suppliers set differently.
func NameKey(name string) string {
	if folded(name) {
		return name
	}
	var room [64]byte // most names fit
	return string(AppendKey(room[:0], name))
}

// AppendKey adds what NameKey returns, for a look-up that keeps nothing of it.
func AppendKey(key []byte, name string) []byte {
	from, space := len(key), false
	for _, r := range name {
		if 'a' <= r && r <= 'z' && !space { // most letters of most names
			key = append(key, byte(r))
			continue
		}
		switch r {
		case ' ', '\t', '\u00a0', '-', '\u2010', '\u2011', '–':
			space = len(key) > from
			continue
		case '.', '\'', '’', '´':
			continue
		}
		if space {
			key, space = append(key, ' '), false
		}
		if r < utf8.RuneSelf {
			if 'A' <= r && r <= 'Z' {
				r += 'a' - 'A'
			}
			key = append(key, byte(r))
			continue
		}
		key = utf8.AppendRune(key, unicode.ToLower(r))
	}
	return key
}

// HasKey says whether a name has a key, without making it.
func HasKey(name, key string) bool {
	if folded(name) {
		return name == key
	}
	var room [64]byte
	return string(AppendKey(room[:0], name)) == key
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

// AddProhibited enters a name of the list of prohibited substances. It is known as
// it stands, and makes no substance: the entry it belongs to may name a class.
func (d *Dictionary) AddProhibited(name string) {
	if k := Letters(name); !slices.Contains(d.prohibited[k], name) {
		d.prohibited[k] = append(d.prohibited[k], name)
	}
}

// Prohibited returns the names of the list of prohibited substances that a text
// spells, as they stand there: signs between the letters aside, in British or
// American spelling.
func (d *Dictionary) Prohibited(printed string) []string {
	letters := Letters(printed)
	if d.ready.prohibited != nil {
		return d.ready.prohibited(letters)
	}
	return d.prohibited[letters]
}

// Letters returns the letters of a name as the list of prohibited substances is searched for
// them: without signs, in American spelling.
func Letters(name string) string { return namelist.Key(names.InventorySpelling(name)) }

// Ready gives the dictionary what was worked out of the tables it is filled from: names of
// the list of prohibited substances by their letters, in place of those entered by
// [Dictionary.AddProhibited]; what names of tables are merged under; and the names that
// letters spell.
func (d *Dictionary) Ready(prohibited func(letters string) []string, canonical, folded namelist.Sorted) {
	d.ready.prohibited, d.ready.canonical, d.ready.folded = prohibited, canonical, folded
}

// Folded returns the names that letters spell, where that was worked out before.
func (d *Dictionary) Folded() namelist.Sorted { return d.ready.folded }

// CanonicalOf is [Dictionary.Canonical] for a name that stands in a table.
func (d *Dictionary) CanonicalOf(name string) string {
	if known, ok := d.ready.canonical.Find(name); ok {
		return cmp.Or(known, name) // most stand for themselves
	}
	return d.Canonical(name)
}

// Lookup returns the substance of a name, or nil.
func (d *Dictionary) Lookup(name string) *Substance {
	var room [64]byte
	return d.byKey[string(AppendKey(room[:0], name))]
}

// ByCAS returns the substances that carry a CAS number, in the order they were
// entered: one number may stand for several names.
func (d *Dictionary) ByCAS(cas string) []*Substance { return d.byCAS[cas] }

// ByEC returns the substances that carry an EC number.
func (d *Dictionary) ByEC(ec string) []*Substance { return d.byEC[ec] }

// Canonical returns the name a printed name is merged, looked up and printed
// under: the one of the tables, else that of the inventory in the form usual on a
// label, else the name itself.
func (d *Dictionary) Canonical(name string) string { return d.Resolve(name, "", "").First().Name }

// Known returns the substance that a printed name stands for, or nil where the
// tables have none of that name; [Dictionary.Lookup] takes the name letter by
// letter.
func (d *Dictionary) Known(name string) *Substance {
	if s := d.Lookup(name); s != nil {
		return s
	}
	return d.Lookup(d.Canonical(name))
}

// Numbered returns the names that a CAS number stands for or, without one, those
// of an EC number.
func (d *Dictionary) Numbered(cas, ec string) []string {
	var list []string
	found := d.byCAS[cas]
	if cas == "" {
		found = d.byEC[ec]
	}
	for _, s := range found {
		if !slices.Contains(list, s.INCI) {
			list = append(list, s.INCI)
		}
	}
	return list
}

// Numbers returns the CAS numbers that the tables give a name.
func (d *Dictionary) Numbers(name string) []string {
	if s := d.Lookup(name); s != nil {
		return s.CAS
	}
	return nil
}

// Spelled returns the name that a spelling stands for.
func (d *Dictionary) Spelled(printed string) (string, bool) {
	if s := d.Lookup(printed); s != nil {
		return s.INCI, true
	}
	return "", false
}

// Spellings yields every spelling, folded as by [NameKey], with the name it stands
// for, in order.
func (d *Dictionary) Spellings(yield func(spelling, inci string)) {
	for _, key := range slices.Sorted(maps.Keys(d.byKey)) {
		yield(key, d.byKey[key].INCI)
	}
}

// All returns all canonical names, sorted.
func (d *Dictionary) All() []string {
	set := map[string]bool{}
	for _, s := range d.byKey {
		set[s.INCI] = true
	}
	return slices.Sorted(maps.Keys(set))
}
