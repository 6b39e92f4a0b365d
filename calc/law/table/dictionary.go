package table

import (
	"maps"
	"slices"
	"strings"

	"gallipot/calc/law/annex"
	"gallipot/calc/law/trade"
	"gallipot/ingredients"
	"gallipot/ingredients/namelist"
)

// Dictionary returns the substances the tables know, built once.
//
// A name gets a CAS or EC number only where a row ties exactly that number to
// exactly that name; a row of several names and as many numbers in another
// order would otherwise make a false contradiction. Label names of allergen
// groups are no synonyms of their members, and a colour number is no synonym
// of the substance used for another purpose.
func (t *Tables) Dictionary() *ingredients.Dictionary { return t.Names().Dict }

func (t *Tables) buildNames() *names {
	n := &names{
		Dict: t.dictionary(), other: map[*ingredients.Substance][]string{},
		loose:  map[string]map[string]bool{},
		labels: map[string]string{}, allergenCAS: map[string]bool{},
	}
	for _, m := range t.Materials {
		for _, c := range m.Constituents {
			n.Dict.Add(c.INCI, One(c.CAS), nil)
		}
	}
	for _, x := range t.Tox {
		// the others are in the capitals of the inventory
		if len(x.INCI) == 1 && x.INCI[0] != impurity && x.Typed == nil {
			n.Dict.Add(x.INCI[0], One(x.CAS), nil)
		}
	}
	for _, s := range t.synonyms {
		n.Dict.Add(s.INCI, nil, nil, s.Synonym)
	}
	for _, f := range t.Fats {
		n.Dict.Add(f.Names()[0], f.CAS, nil, f.Names()[1:]...)
		for _, soap := range append(f.Soaps(false), f.Soaps(true)...) {
			n.Dict.Add(soap.INCI, nil, nil)
		}
	}
	for _, l := range t.Limits {
		if !l.Own {
			n.addLimit(l)
		}
	}
	if t.ready == nil {
		for _, p := range t.entries.all() {
			for _, name := range namesInLaw(p) {
				n.Dict.AddProhibited(name)
			}
		}
	}
	n.addAllergens(t.Allergens)
	n.addStandards(t.Standards, t.ready)
	for _, s := range t.synonyms {
		sub := n.Dict.Lookup(s.Synonym)
		n.other[sub] = append(n.other[sub], ingredients.NameKey(s.Synonym))
	}
	n.colour = colourEntries(t.Limits)
	return n
}

// impurity stands in the toxicology table for substances that are no
// ingredients.
const impurity = "(impurity)"

func One(s string) []string {
	if s == "" {
		return nil
	}
	return []string{s}
}

// remembered bounds what is kept of names that were asked for.
const remembered = 20_000

// Same returns the keys of all names that mean the same substance. Callers only
// read them.
func (n *names) Same(inci string) map[string]bool {
	var room [64]byte
	n.mu.RLock()
	keys, ok := n.known[string(ingredients.AppendKey(room[:0], inci))]
	n.mu.RUnlock()
	if ok {
		return keys
	}
	key := ingredients.NameKey(inci)
	keys = map[string]bool{key: true}
	first := n.Dict.Resolve(inci, "", "").First()
	for _, name := range append([]string{first.Name}, first.Also...) {
		keys[ingredients.NameKey(name)] = true
		for _, other := range n.Dict.Prohibited(name) {
			keys[ingredients.NameKey(other)] = true
		}
		if s := n.Dict.Lookup(name); s != nil {
			keys[ingredients.NameKey(s.INCI)] = true
			for _, k := range n.other[s] {
				keys[k] = true
			}
		}
	}
	n.mu.Lock()
	defer n.mu.Unlock()
	if n.known == nil || len(n.known) >= remembered {
		n.known = map[string]map[string]bool{}
	}
	n.known[key] = keys
	return keys
}

func (n *names) tie(name, number string) {
	k := ingredients.NameKey(name)
	if n.loose[k] == nil {
		n.loose[k] = map[string]bool{}
	}
	n.loose[k][number] = true
}

func (n *names) addLimit(l *annex.Limit) {
	switch {
	case l.Class == annex.ClassNames:
		return
	case l.Annex == "IV" && strings.HasPrefix(l.Names[0], "CI "):
		n.Dict.Add(l.Names[0], l.CAS, l.EC, l.TradeNames...)
	case len(l.Names) == 1:
		n.Dict.Add(l.Names[0], l.CAS, l.EC)
	case l.Paired:
		for i, name := range l.Names {
			n.Dict.Add(name, l.CAS[i:i+1], l.EC[i:i+1])
		}
	default:
		for _, name := range l.Names {
			n.Dict.Add(name, nil, nil)
			for _, c := range l.CAS {
				n.tie(name, c)
			}
		}
	}
}

// addAllergens enters the members, each with its own numbers. A label name is
// the name of its member only where every market has the same single one.
func (n *names) addAllergens(rows []*annex.Allergen) {
	single := map[string]*annex.Member{}
	for _, a := range rows {
		n.labels[ingredients.NameKey(a.LabelName)] = a.LabelName
		for i, m := range a.Members {
			n.Dict.Add(m.Name, One(m.CAS), One(m.EC))
			n.labels[ingredients.NameKey(m.Name)] = m.Name
			if m.CAS != "" {
				n.tie(a.LabelName, m.CAS)
				n.allergenCAS[m.CAS] = true
			}
			k := ingredients.NameKey(a.LabelName)
			switch old, met := single[k]; {
			case len(a.Members) > 1 || a.Botanical || m.CAS == "" || met && (old == nil || *old != m):
				single[k] = nil
			case !met:
				single[k] = &a.Members[i]
			}
		}
	}
	for _, a := range rows {
		if m := single[ingredients.NameKey(a.LabelName)]; m != nil {
			n.Dict.Add(a.LabelName, One(m.CAS), One(m.EC))
		} else {
			n.Dict.Add(a.LabelName, nil, nil)
		}
	}
}

// addStandards enters the substances of the fragrance Standards, as another
// spelling where a name of the same letters is there.
func (n *names) addStandards(rows []*trade.FragranceStandard, done *ready) {
	n.standards = map[string]string{}
	spelled := map[string]*ingredients.Substance{}
	if done == nil {
		n.Dict.Spellings(func(spelling, inci string) {
			if k := namelist.Key(spelling); spelled[k] == nil {
				spelled[k] = n.Dict.Lookup(inci)
			}
		})
	}
	for _, row := range rows {
		if n.Dict.Lookup(row.Substance) != nil {
			continue
		}
		same := spelled[namelist.Key(row.Substance)]
		if done != nil {
			if inci, ok := done.standards.Find(row.Substance); ok {
				same = n.Dict.Lookup(inci)
			}
		}
		if same == nil {
			n.Dict.Add(row.Substance, nil, nil)
		} else {
			n.standards[row.Substance] = same.INCI
			n.Dict.Add(same.INCI, nil, nil, row.Substance)
			n.other[same] = append(n.other[same], ingredients.NameKey(row.Substance))
		}
	}
}

// colourEntries maps each name of the colourant annex that one entry alone has
// to the name it is listed under: the CI number where the entry has one.
func colourEntries(limits []*annex.Limit) map[string]string {
	out, entry := map[string]string{}, map[string]string{}
	for _, l := range limits {
		if l.Annex != "IV" {
			continue
		}
		for _, name := range l.Names {
			k := ingredients.NameKey(name)
			switch old, met := entry[k]; {
			case met && old != l.Entry:
				out[k] = ""
			case strings.HasPrefix(l.Names[0], "CI "):
				out[k] = l.Names[0]
			default:
				out[k] = name
			}
			entry[k] = l.Entry
		}
	}
	return out
}

// ColourIndex returns the name under which the colourant annex lists a
// substance, a CI number for most, such as CI 77891 for titanium dioxide. It
// fails for a name that no entry or more than one entry has.
func (t *Tables) ColourIndex(inci string) (string, bool) {
	n := t.Names()
	first := ""
	for k := range n.Same(inci) {
		if n.colour[k] != "" && (first == "" || k < first) {
			first = k
		}
	}
	return n.colour[first], first != ""
}

// CASFits says whether a CAS number may stand for a name: it does where the
// dictionary gives it to the name, where a label name or an entry of several
// names covers it, or where nothing is known of the name or of its numbers.
// others are the names the number stands for, sorted.
func (t *Tables) CASFits(inci, cas string) (ok bool, others []string) {
	n := t.Names()
	for _, s := range n.Dict.ByCAS(cas) {
		others = append(others, s.INCI)
	}
	slices.Sort(others)
	s := n.Dict.Known(inci)
	return s == nil || len(s.CAS) == 0 || slices.Contains(s.CAS, cas) ||
		n.loose[ingredients.NameKey(inci)][cas] || n.loose[ingredients.NameKey(s.INCI)][cas], others
}

// AllergenKnown says whether any market's list, at any time, has an allergen
// under that name or CAS number.
func (t *Tables) AllergenKnown(inci, cas string) bool {
	n := t.Names()
	for k := range n.Same(inci) {
		if n.labels[k] != "" {
			return true
		}
	}
	return cas != "" && n.allergenCAS[cas]
}

// AllergenNames returns the label and member names of all allergens, sorted.
func (t *Tables) AllergenNames() []string { return slices.Sorted(maps.Values(t.Names().labels)) }

// dictionary returns a new dictionary, with what is ready of it.
func (t *Tables) dictionary() *ingredients.Dictionary {
	d := ingredients.NewDictionary()
	if t.ready != nil {
		d.Ready(t.prohibitedOf, t.ready.canonical, t.ready.folded)
	}
	return d
}

// prohibitedOf finds the names in the list of prohibited substances that have the letters.
func (t *Tables) prohibitedOf(letters string) []string {
	var names []string
	for i := range t.ready.entries.of(bare(letters)) {
		for _, name := range namesInLaw(t.entries.row(i)) {
			if ingredients.Letters(name) == letters && !slices.Contains(names, name) {
				names = append(names, name)
			}
		}
	}
	return names
}

// namesInLaw are the names of an entry that are known as they stand.
func namesInLaw(p *annex.Prohibition) []string { return slices.Concat(p.Names, p.ChemicalNames) }
