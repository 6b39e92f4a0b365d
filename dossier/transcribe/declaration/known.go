package declaration

import (
	"iter"
	"maps"
	"slices"
	"strings"

	"gallipot/calc/law/annex"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/pieces"
)

// Known finds the declarable allergens by name and number.
type Known struct {
	words   *lexicon.Lexicon
	byName  map[string]lexicon.Allergen
	ByCAS   map[string]lexicon.Allergen
	numbers map[string][]string // key → CAS numbers
	list    map[string]string   // key → list that brought the duty
	banned  map[string]bool
}

// NewKnown takes the allergens of the law's table and the printed names of the
// lexicon.
func NewKnown(words *lexicon.Lexicon, all []*annex.Allergen) *Known {
	d := &Known{words: words, byName: map[string]lexicon.Allergen{}, ByCAS: map[string]lexicon.Allergen{},
		list: map[string]string{}, banned: map[string]bool{}, numbers: map[string][]string{}}
	twice := map[string]bool{}
	for _, a := range all {
		if a.Market != "EU" {
			continue
		}
		d.list[a.Key], d.banned[a.Key] = a.Regime, a.Prohibited
		d.byName[lexicon.Fold(a.LabelName)] = lexicon.Allergen{Key: a.Key}
		for _, m := range a.Members {
			what := lexicon.Allergen{Key: a.Key}
			if known, ok := words.Allergen(pieces.PlainName(m.Name)); ok && known.Key == a.Key {
				what = known
			}
			if _, ok := d.byName[lexicon.Fold(m.Name)]; !ok {
				d.byName[lexicon.Fold(m.Name)] = what
			}
			if m.CAS == "" {
				continue
			}
			d.numbers[a.Key] = append(d.numbers[a.Key], m.CAS)
			if old, ok := d.ByCAS[m.CAS]; ok && old.Key != a.Key {
				twice[m.CAS] = true // one number under two entries tells nothing
				continue
			}
			d.ByCAS[m.CAS] = what
		}
	}
	for cas := range twice {
		delete(d.ByCAS, cas)
	}
	return d
}

// Names gives the names that are known, folded.
func (d *Known) Names() iter.Seq[string] {
	return func(yield func(string) bool) {
		for n := range maps.Keys(d.byName) {
			if !yield(n) {
				return
			}
		}
		d.words.AllergenNames()(yield)
	}
}

// Find says which allergen a printed name or its numbers mean. clash is true where
// name and numbers mean different ones.
func (d *Known) Find(name string, cas []string) (a lexicon.Allergen, ok, clash bool) {
	byName, named := d.ByName(name)
	var byNumber lexicon.Allergen
	numbered, mixed := false, false
	for _, c := range cas {
		x, ok := d.ByCAS[c]
		if !ok {
			continue
		}
		if numbered && x.Key != byNumber.Key {
			mixed = true
		}
		if !numbered || x.Member == "" {
			byNumber = x
		}
		if numbered && x.Member != byNumber.Member && x.Key == byNumber.Key {
			byNumber.Member = "" // several members under one row: the whole
		}
		numbered = true
	}
	switch {
	case named && numbered:
		return byName, true, byName.Key != byNumber.Key && !d.has(byName.Key, cas)
	case named:
		return byName, true, false
	case numbered && !mixed:
		return byNumber, true, false
	}
	return a, false, mixed
}

// has one that was not understood: layouts that print the name over its number and
// content. Where one has none, the layout is another, and all are asked about.
func (d *Known) has(key string, cas []string) bool {
	return slices.ContainsFunc(cas, func(c string) bool { return slices.Contains(d.numbers[key], c) })
}

// ByName says which allergen a printed name means.
func (d *Known) ByName(name string) (lexicon.Allergen, bool) {
	for _, n := range []string{name, pieces.PlainName(name),
		strings.Join(strings.Fields(strings.ReplaceAll(name, "-\n", "-")), " ")} {
		folded := lexicon.Fold(n)
		if folded == "" {
			continue
		}
		if a, ok := d.words.Allergen(n); ok {
			return a, true
		}
		if a, ok := d.byName[folded]; ok {
			return a, true
		}
		tight := strings.ReplaceAll(folded, " ", "")
		if a, ok := d.words.Allergen(tight); ok {
			return a, true
		}
	}
	return lexicon.Allergen{}, false
}
