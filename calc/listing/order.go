package listing

import (
	"cmp"
	"slices"
	"strings"

	"gallipot/calc/formula"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
)

// ListRules are what the order of a list depends on besides contents.
type ListRules struct {
	// SortedFromPct is the content from which the order is fixed, % w/w: those
	// of less may follow in any order (law table facts.csv, order-threshold).
	SortedFromPct exact.Num
	Tail          []string // names in the order wished below it; empty: by content
}

// EntryKind says what an entry of the ingredient list is.
type EntryKind string

// The kinds of entry.
const (
	EntryIngredient EntryKind = "ingredient"
	EntryScent      EntryKind = "scent"      // parfum or aroma
	EntryAllergen   EntryKind = "allergen"   // named besides parfum
	EntryColourant  EntryKind = "colourant"  // last, by CI number
	EntryUndeclared EntryKind = "undeclared" // unknown remainder: the list cannot be printed yet
)

// ListEntry is one name of the ingredient list.
type ListEntry struct {
	Name string      `json:"name"` // as printed
	Kind EntryKind   `json:"kind"`
	Pct  exact.Range `json:"pct"` // % of the whole product
	// from holds which parts of which materials the entry stands for; a scent
	// stands for all of its material.
	From []partsOf `json:"-"`

	key string // of the name, where it is known already
}

// NameKey is the key of the name.
func (e *ListEntry) NameKey() string {
	if e.key == "" {
		return ingredients.NameKey(e.Name)
	}
	return e.key
}

// partsOf is which parts of a material an entry stands for.
type partsOf struct {
	Ingredient string
	Parts      []int // places
}

// Of is which parts of a material the entry stands for; nil for none.
func (e *ListEntry) Of(ingredient string) []int {
	for i := range e.From {
		if e.From[i].Ingredient == ingredient {
			return e.From[i].Parts
		}
	}
	return nil
}

// room is where entries that stand for one part alone keep it side by side.
type room struct {
	from  []partsOf
	parts []int
}

// take notes that the entry stands for a part of a material too.
func (e *ListEntry) take(ingredient string, part int, in *room) {
	for i := range e.From {
		if f := &e.From[i]; f.Ingredient == ingredient {
			if !slices.Contains(f.Parts, part) {
				f.Parts = append(f.Parts, part)
			}
			return
		}
	}
	in.parts = append(in.parts, part)
	of := partsOf{ingredient, slices.Clip(in.parts[len(in.parts)-1:])}
	if e.From != nil {
		e.From = append(e.From, of)
		return
	}
	in.from = append(in.from, of)
	e.From = slices.Clip(in.from[len(in.from)-1:])
}

// entryKey tells entries apart.
type entryKey struct {
	kind EntryKind
	key  string // of the name
}

// Sheet is the sheet of the material that an entry stands for, the first by its id where there
// are several; nil where none is known.
func (e *ListEntry) Sheet(sheets map[string]*ingredients.Sheet) (first *ingredients.Sheet) {
	for _, from := range e.From {
		if s := sheets[from.Ingredient]; s != nil && (first == nil || s.ID < first.ID) {
			first = s
		}
	}
	return first
}

// OpenPair is a place of the list whose order the papers do not settle.
type OpenPair struct {
	First     string    `json:"first"`     // printed first, by typical content
	Second    string    `json:"second"`    // could be more
	LeastPct  exact.Num `json:"least_pct"` // smallest possible first − second, % of the product; below 0
	Materials []string  `json:"materials"` // whose composition would settle it, the most telling first
	Together  bool      `json:"together"`  // true when none of them would settle it alone
}

// List is the ingredient list of a variant.
type List struct {
	Entries []ListEntry
	Open    []OpenPair
}

// Line returns the list as printed on a label, without its heading.
func (l *List) Line() string {
	names := make([]string, len(l.Entries))
	for i, e := range l.Entries {
		names[i] = e.Name
	}
	return strings.Join(names, ", ")
}

// Has says whether there is an entry that is so.
func (l *List) Has(so func(*ListEntry) bool) bool {
	for i := range l.Entries {
		if so(&l.Entries[i]) {
			return true
		}
	}
	return false
}

// Gathered are the entries of a list before allergens are added and it is put into order:
// they are the same in every market.
type Gathered struct {
	whole     *formula.Composition
	materials map[string]*formula.Material
	entries   []ListEntry
}

// Gather makes one entry of each name.
func Gather(whole *formula.Composition, materials map[string]*formula.Material, colours colourNames) *Gathered {
	return &Gathered{whole, materials, gather(whole, materials, colours)}
}

// Order puts the ingredients of a product into the order of the law.
//
//	1 % or more: by typical content, highest first
//	below 1 %:   any order; by content, or as the maker wishes
//	allergens:   with the rest by content at 1 % or more, else behind those below 1 %
//	colourants:  last, by CI number
//
// declare are the allergens of one market. Parfum and aroma are one entry each, impurities
// and declared allergens below their threshold none. Equal contents are ordered by name.
//
// Basis: typical content of the whole product.
// Source: Regulation (EC) 1223/2009 Article 19(1)(g).
func (g *Gathered) Order(declare []AllergenTotal, rules ListRules) *List {
	n := len(g.entries)
	for i := range declare {
		if declare[i].OnLabel() {
			n++
		}
	}
	entries := append(make([]ListEntry, 0, n), g.entries...)
	entries = addAllergens(entries, declare)
	slices.SortStableFunc(entries, func(a, b ListEntry) int { return compareEntries(a, b, rules) })
	l := &List{Entries: entries}
	l.Open = openPairs(entries, g.whole.Uses(), g.materials, rules.SortedFromPct)
	return l
}

// colourNames tells which constituents are colourants and how they are named.
type colourNames interface {
	// ColourName returns the name of a colourant in the list (its CI number
	// where it has one) and true when a substance is used as a colourant.
	ColourName(inci string, functions []string) (string, bool)
	// IsSubstrate says whether a listed colourant is what other colourants are laid
	// on, such as the aluminium hydroxide of a lake.
	IsSubstrate(inci string) bool
}

// gather makes one entry of each name, without allergens.
func gather(whole *formula.Composition, materials map[string]*formula.Material,
	colours colourNames) []ListEntry {
	n := 0
	for _, share := range whole.Mixture.Shares {
		if m := materials[share.Ingredient]; m != nil {
			n += len(m.Parts)
		}
	}
	index := make(map[entryKey]int, n)
	entries := make([]ListEntry, 0, n)
	in := &room{make([]partsOf, 0, n), make([]int, 0, n)}
	for _, share := range whole.Mixture.Shares {
		m := materials[share.Ingredient]
		if m == nil {
			continue
		}
		for i, p := range m.Parts {
			name, kind := entryName(m, p, colours)
			key := entryKey{kind, p.NameKey(name)}
			at, known := index[key]
			if !known {
				at = len(entries)
				index[key] = at
				entries = append(entries, ListEntry{Name: name, Kind: kind, key: key.key})
			}
			e := &entries[at]
			e.Pct = e.Pct.Add(p.Pct.Pct(share.Pct))
			e.take(share.Ingredient, i, in)
		}
	}
	return tightenScents(entries, whole, materials)
}

// tightenScents gives parfum and aroma their exact share: all of the material,
// whatever the ranges of its parts.
func tightenScents(entries []ListEntry, whole *formula.Composition,
	materials map[string]*formula.Material) []ListEntry {
	for i := range entries {
		if entries[i].Kind != EntryScent {
			continue
		}
		var total exact.Num
		for _, share := range whole.Mixture.Shares {
			if m := materials[share.Ingredient]; m != nil && m.Sheet.IsScent() &&
				formula.ScentName(m.Sheet) == entries[i].Name {
				total = total.Add(share.Pct)
			}
		}
		entries[i].Pct = exact.Exactly(total)
	}
	return entries
}

func entryName(m *formula.Material, p formula.Part, colours colourNames) (string, EntryKind) {
	switch {
	case m.Sheet.IsScent():
		return formula.ScentName(m.Sheet), EntryScent
	case p.Undeclared:
		name := p.INCI // or that of a soap whose name nobody knows
		if name == formula.UndeclaredPart(m.Sheet.ID) {
			name = formula.UndeclaredPart(cmp.Or(m.Sheet.Name, m.Sheet.ID))
		}
		return "[" + name + "]", EntryUndeclared
	}
	name, kind := p.INCI, EntryIngredient
	if ci, ok := colours.ColourName(p.INCI, m.Sheet.Functions); ok && !carriesColour(m, p, colours) {
		name, kind = ci, EntryColourant
	}
	if p.Nano {
		name += " (nano)"
	}
	return name, kind
}

// carriesColour says whether a part does not colour itself but carries another
// colourant of its material: it is then listed under its own name.
func carriesColour(m *formula.Material, p formula.Part, colours colourNames) bool {
	if formula.IsCI(p.INCI) || !colours.IsSubstrate(p.INCI) {
		return false
	}
	return slices.ContainsFunc(m.Parts, func(o formula.Part) bool {
		_, is := colours.ColourName(o.INCI, m.Sheet.Functions)
		return is && o.INCI != p.INCI && !colours.IsSubstrate(o.INCI)
	})
}

// DeclareAlike says whether two lists of totals name the same allergens on a label, with the
// same contents.
func DeclareAlike(a, b []AllergenTotal) bool {
	i, j := 0, 0
	for {
		for ; i < len(a) && !a[i].OnLabel(); i++ {
		}
		for ; j < len(b) && !b[j].OnLabel(); j++ {
		}
		if i == len(a) || j == len(b) {
			return i == len(a) && j == len(b)
		}
		x, y := &a[i], &b[j]
		if x.LabelName != y.LabelName || !x.Whole.Min.Equal(y.Whole.Min) || !x.Whole.Typ.Equal(y.Whole.Typ) ||
			!x.Whole.Max.Equal(y.Whole.Max) {
			return false
		}
		i, j = i+1, j+1
	}
}

// addAllergens adds a name for each allergen to declare that is not in the list
// as an ingredient of its own.
func addAllergens(entries []ListEntry, declare []AllergenTotal) []ListEntry {
	named := len(entries)
	for i := range declare {
		a := &declare[i]
		if !a.OnLabel() {
			continue
		}
		var room [64]byte
		key := ingredients.AppendKey(room[:0], a.LabelName)
		alone := false
		for at := range entries[:named] {
			alone = alone || entries[at].NameKey() == string(key)
		}
		if !alone {
			entries = append(entries, ListEntry{Name: a.LabelName, Kind: EntryAllergen, Pct: a.Whole})
		}
	}
	return entries
}

// Rank groups entries: from 1 % on, below it, allergens below it, colourants.
func (e ListEntry) Rank(sortedFrom exact.Num) int {
	switch {
	case e.Kind == EntryColourant:
		return 3
	case !e.Pct.Typ.Less(sortedFrom):
		return 0
	case e.Kind == EntryAllergen:
		return 2
	}
	return 1
}

func compareEntries(a, b ListEntry, rules ListRules) int {
	rank := a.Rank(rules.SortedFromPct)
	if c := cmp.Compare(rank, b.Rank(rules.SortedFromPct)); c != 0 {
		return c
	}
	switch rank {
	case 3:
		return cmp.Compare(a.Name, b.Name)
	case 1, 2:
		if c := cmp.Compare(wished(a.Name, rules.Tail), wished(b.Name, rules.Tail)); c != 0 {
			return c
		}
	}
	if c := b.Pct.Typ.Cmp(a.Pct.Typ); c != 0 {
		return c
	}
	return cmp.Compare(a.Name, b.Name)
}

// wished is the place of a name in the maker's order; unnamed ones come last.
func wished(name string, order []string) int {
	for i, o := range order {
		if ingredients.NameKey(o) == ingredients.NameKey(name) {
			return i
		}
	}
	return len(order)
}
