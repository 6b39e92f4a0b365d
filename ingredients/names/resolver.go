package names

import (
	"errors"
	"maps"
	"slices"
	"strings"
	"sync"

	"gallipot/ingredients/inventory"
	"gallipot/ingredients/namelist"
)

// tables are the names that the tables of law know, handed in from above.
type tables interface {
	// Spelled returns the name that a spelling stands for, signs and all.
	Spelled(printed string) (name string, ok bool)
	// Spellings yields every spelling with the name it stands for.
	Spellings(yield func(spelling, name string))
	// Folded returns the names that letters spell, where that was worked out before from
	// all spellings, as [Resolver.Folded] does; else nothing.
	Folded() namelist.Sorted
	// Prohibited returns the names of the list of prohibited substances that a text
	// spells, as they stand there. Such a name stands for itself: it renames nothing.
	Prohibited(printed string) []string
	// Numbered returns the names a CAS or EC number stands for.
	Numbered(cas, ec string) []string
	// Numbers returns the CAS numbers of a name.
	Numbers(name string) []string
}

// Resolver says what printed names mean. It is safe for use by several at a time.
type Resolver struct {
	inventory *inventory.Inventory
	words     *vocabulary
	customary *customaryNames
	law       tables
	spelled   func() map[string]string // key → name of the tables
	extra     func() *namelist.List    // names of the law alone, for near names
	functions func() *functionTable
	mu        sync.Mutex
	memory    map[question]Reading
	brackets  map[string]inside // by their text
}

type question struct{ text, cas, ec string }

// remembered bounds the memory of a resolver.
const remembered = 20_000

// New makes a resolver over the inventory, the customary names and the names of
// the tables above; law may be nil. Lists are read when first asked for.
//
// It fails for an embedded table of another form.
func New(inv *inventory.Inventory, law tables) (*Resolver, error) {
	words, unread := readVocabulary()
	customary, err := openCustomary(customaryPacked)
	if err = errors.Join(unread, err); err != nil {
		return nil, err
	}
	r := &Resolver{inventory: inv, words: words, customary: customary, law: law, memory: map[question]Reading{},
		brackets: map[string]inside{}}
	r.spelled = sync.OnceValue(r.readSpellings)
	r.extra = sync.OnceValue(r.buildExtra)
	r.functions = sync.OnceValue(r.readFunctions)
	return r, nil
}

func (r *Resolver) readSpellings() map[string]string {
	m := map[string]string{}
	if r.law == nil {
		return m
	}
	enter := func(m map[string]string, key, name string) {
		if old, met := m[key]; !met || len(name) < len(old) || len(name) == len(old) && name < old {
			m[key] = name // Camphor rather than (+)-Camphor
		}
	}
	american := map[string]string{}
	r.law.Spellings(func(spelling, name string) {
		enter(m, namelist.Key(spelling), name)
		if other := respelled(spelling); other != "" {
			enter(american, namelist.Key(other), name)
		}
	})
	for key, name := range american {
		if m[key] == "" {
			m[key] = name
		}
	}
	return m
}

// buildExtra lists the names of the law that neither the inventory nor the trade has.
func (r *Resolver) buildExtra() *namelist.List {
	set := map[string]string{}
	if r.law != nil {
		r.law.Spellings(func(spelling, _ string) {
			if k := namelist.Key(spelling); set[k] == "" && !strings.HasPrefix(spelling, "(") {
				set[k] = spelling
			}
		})
	}
	var list []string
	for _, k := range slices.Sorted(maps.Keys(set)) {
		if len(r.inventory.Find(set[k])) == 0 && len(r.customary.list.Find(set[k])) == 0 {
			list = append(list, set[k])
		}
	}
	return listOf(list)
}

// listOf lists names for finding near ones; nil for more than a list takes.
func listOf(names []string) *namelist.List {
	data, _, err := namelist.Build(names)
	if err != nil {
		return nil
	}
	list, err := namelist.Open(string(data))
	if err != nil {
		panic(err) // just built
	}
	return list
}

// inLaw returns the name of the tables that a text spells.
func (r *Resolver) inLaw(text string) (string, bool) {
	if r.law == nil {
		return "", false
	}
	if name, ok := r.law.Spelled(text); ok {
		return name, true
	}
	if folded := r.law.Folded(); folded != "" {
		return folded.Find(namelist.Key(text))
	}
	name, ok := r.spelled()[namelist.Key(text)]
	return name, ok
}

// Folded returns the names of the tables by the letters that spell them.
func (r *Resolver) Folded() map[string]string { return r.spelled() }

// found is what the lists say of a text as a whole.
type found struct {
	names []Named // several where the name is one of several substances
	all   bool    // it is all of them: a mixture
}

// whole looks a text up as it stands.
func (r *Resolver) whole(text string) (found, bool) {
	key := namelist.Key(text)
	if key == "" {
		return found{}, false
	}
	c := r.customary.find(text)
	if c != nil && len(c.Names) > 1 {
		f := found{all: c.isMixture()}
		for _, n := range c.Names {
			f.names = append(f.names, r.named(n, customary))
		}
		return f, true
	}
	if name, ok := r.inLaw(text); ok {
		n := r.named(name, inLaw)
		n.alsoAll(text)
		if c != nil && !c.coloursOnly() && len(r.law.Numbers(name)) == 0 {
			// Costus root oil: a Standard's name, without a number, for the oil of an entry
			n.alsoAll(c.Names...)
		}
		if namelist.Key(n.Name) != key {
			n.alsoAll(r.officialOf(text)...)
		}
		return found{names: []Named{n}}, true
	}
	if c != nil && !c.coloursOnly() {
		n := r.named(c.Names[0], customary)
		if r.isClass(c.Names[0]) { // one of a class that the law names: it keeps its own name
			n = r.member(text, c.Names[0])
		}
		n.alsoAll(text)
		return found{names: []Named{n}}, true
	}
	listed := r.inventory.Find(text)
	if len(listed) == 0 {
		if slices.ContainsFunc(Read(text), func(p piece) bool { return p.Kind == Bracket }) {
			return found{}, false // see [Resolver.one]
		}
		return r.prohibited(text)
	}
	source := otherName
	if listed[0].Kind == inventory.Official {
		source = inInventory
	}
	var f found
	for _, o := range listed[0].Official {
		n := r.named(o, source)
		n.alsoAll(text)
		f.add(n)
	}
	return f, true
}

// prohibited looks a text up among the names of prohibited substances, which no
// other list has: as a whole, for their commas join nothing.
func (r *Resolver) prohibited(text string) (found, bool) {
	if r.law == nil {
		return found{}, false
	}
	list := r.law.Prohibited(text)
	if len(list) == 0 {
		return found{}, false
	}
	n := Named{Name: list[0], Source: inLaw, Plant: r.words.plantIn(list[0])}
	n.alsoAll(text)
	return found{names: []Named{n}}, true
}

func (f *found) add(n Named) {
	for _, old := range f.names {
		if namelist.Key(old.Name) == namelist.Key(n.Name) {
			return
		}
	}
	f.names = append(f.names, n)
}

// officialOf returns the official names a text leads to, where it leads to one.
func (r *Resolver) officialOf(text string) []string {
	if l := r.inventory.Find(text); len(l) > 0 && len(l[0].Official) == 1 {
		return l[0].Official
	}
	return nil
}

// named makes the substance of a name that a list leads to: under the name of
// the law where it has one, else in the form usual on a label.
func (r *Resolver) named(name string, source sourceKind) Named {
	if plain, nano := dropNano(Read(name)); nano {
		n := r.named(textOf(plain), source)
		n.Nano = true
		n.alsoAll(name)
		return n
	}
	n := Named{Name: name, Source: source}
	if o := r.officialOf(name); o != nil {
		n.Official = o[0]
	}
	for range 2 { // Water is a name of the inventory, and Aqua that of the label
		if law, ok := r.inLaw(n.Name); ok {
			n.rename(law)
			r.plainLawName(&n)
			break
		}
		c := r.customary.find(n.Name)
		if c == nil || len(c.Names) > 1 {
			break
		}
		if c.coloursOnly() {
			n.alsoAll(c.Names[0])
			break
		}
		n.rename(c.Names[0])
	}
	if n.Name != name {
		if o := r.officialOf(n.Name); o != nil {
			n.alsoAll(n.Official)
			n.Official = o[0]
		}
	}
	if _, law := r.inLaw(n.Name); !law && n.Official != "" {
		n.Name = r.words.display(n.Official)
	} else if !law && strings.ToUpper(n.Name) == n.Name {
		n.Name = r.words.display(n.Name)
	}
	n.alsoAll(n.Official)
	n.Plant = r.words.plantIn(n.Name)
	n.CI = colourIndex(n.Name)
	return n
}

// plainLawName takes the name without its bracket where the law has it too, under
// a number of both: Methyl 2-Octynoate (methyl heptine carbonate).
func (r *Resolver) plainLawName(n *Named) {
	plain, ok := r.inLaw(withoutBrackets(n.Name))
	if !ok || plain == n.Name {
		return
	}
	mine, other := r.law.Numbers(n.Name), r.law.Numbers(plain)
	if len(mine) == 0 || len(other) == 0 ||
		slices.ContainsFunc(mine, func(c string) bool { return slices.Contains(other, c) }) {
		n.rename(plain)
	}
}

// isClass says whether a name is neither of a substance of the law nor of the
// inventory: that of a class, such as Lead and its compounds.
func (r *Resolver) isClass(name string) bool {
	if plain, nano := dropNano(Read(name)); nano {
		name = textOf(plain)
	}
	_, law := r.inLaw(name)
	return !law && r.officialOf(name) == nil
}

// member is a substance under its printed name that belongs to a class.
func (r *Resolver) member(printed, class string) Named {
	n := Named{Name: strings.Join(strings.Fields(printed), " "), Source: customary, Also: []string{class}}
	n.Plant = r.words.plantIn(n.Name)
	return n
}

// numbersOf returns the CAS numbers that the lists give a name.
func (r *Resolver) numbersOf(n Named) []string {
	var cas []string
	if r.law != nil {
		cas = append(cas, r.law.Numbers(n.Name)...)
	}
	if n.Official != "" {
		if e, ok := r.inventory.Entry(n.Official); ok {
			cas = append(cas, e.CAS...)
		}
	}
	return cas
}

// Plant reads plant, part and preparation from a name; nil where it names none.
func (r *Resolver) Plant(name string) *Plant { return r.words.plantIn(name) }

// customary returns the row of a customary name, or nil.
func (r *Resolver) Customary(name string) *CustomaryName { return r.customary.find(name) }

// Inventory is the inventory the resolver reads.
func (r *Resolver) Inventory() *inventory.Inventory { return r.inventory }
