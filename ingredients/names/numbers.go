package names

import (
	"cmp"
	"slices"
	"strings"

	"gallipot/ingredients/namelist"
)

// byNumber decides a name that is in no list by the numbers printed beside it. A
// number that is one substance's names it, and that is asked about. A number of
// several, or of a plant, names nothing: it is asked about.
func (r *Resolver) byNumber(reading *Reading, list []number) {
	printed := reading.Names[0]
	var candidates []Named
	for _, n := range list {
		candidates = append(candidates, r.numbered(n)...)
	}
	ask := Ask{Name: printed.Name, Others: namesOf(candidates)}
	switch {
	case len(candidates) == 0:
		ask.Code, ask.Others = AskUnknown, nil
	case slices.ContainsFunc(candidates, isMaterial):
		ask.Code = AskPlantNumber
	case !r.allSame(candidates[0], candidates):
		ask.Code = AskNumberFits
		if len(list) > 1 { // each named by a number of its own
			reading.Within = append(reading.Within, candidates...)
		}
	default:
		ask.Code = AskByNumber
		// a colour index number is for what colours
		n := candidates[max(0, slices.IndexFunc(candidates, func(c Named) bool { return c.CI == "" }))]
		for _, other := range candidates {
			n.alsoAll(other.Name)
			n.alsoAll(other.Also...)
		}
		n.alsoAll(printed.Name)
		n.Nano = n.Nano || printed.Nano
		reading.Names = []Named{n}
		ask.Others = []string{n.Name}
	}
	if len(candidates) > 0 {
		ask.Number = cmp.Or(list[0].cas, list[0].ec)
	}
	reading.Asks = append(reading.Asks, ask)
}

// numbered returns the substances that the lists give a number to: those of the
// law, or those of the inventory where the law has none.
func (r *Resolver) numbered(n number) []Named {
	var out []Named
	add := func(name string, source sourceKind) {
		if strings.HasPrefix(name, "(") {
			return // (impurity) and the like: no name
		}
		made := r.named(name, source)
		if !slices.ContainsFunc(out, func(o Named) bool { return o.Name == made.Name }) {
			out = append(out, made)
		}
	}
	if r.law != nil {
		for _, name := range r.law.Numbered(n.cas, n.ec) {
			add(name, inLaw)
		}
	}
	listed := r.inventory.ByCAS(n.cas)
	if n.cas == "" {
		listed = r.inventory.ByEC(n.ec)
	}
	if len(out) == 0 || r.plantNumber(n.cas) {
		for _, name := range listed {
			add(name, inInventory)
		}
	}
	return out
}

// isMaterial says whether a name is that of a part or preparation of a plant,
// which shares its number with the others.
func isMaterial(n Named) bool { return n.Plant != nil }

// plantNumber says whether a CAS number is given to parts or preparations of a
// plant.
func (r *Resolver) plantNumber(cas string) bool {
	of := func(name string) bool { return r.words.plantIn(name) != nil }
	if r.law != nil && slices.ContainsFunc(r.law.Numbered(cas, ""), of) {
		return true
	}
	return slices.ContainsFunc(r.inventory.ByCAS(cas), of)
}

// PlantNumber says whether a CAS number is given to parts or preparations of a
// plant, by the law or the inventory: such a number says nothing of the part.
func (r *Resolver) PlantNumber(cas string) bool { return cas != "" && r.plantNumber(cas) }

// OfficialNumbers returns the CAS numbers that the inventory gives an official name.
func (r *Resolver) OfficialNumbers(name string) []string {
	e, _ := r.inventory.Entry(name)
	return e.CAS
}

// nearName is a name near to one that is in no list.
type nearName struct {
	Name string  // as it would be counted and printed
	Via  string  // the near name itself, where it is another name of it
	Near float32 // 1 for the same letters, 0 for nothing in common
}

// farther is how much less near than the nearest a name may be to be offered.
const farther = 0.15

// Nearest returns at most n names that may be meant by a text that is in no
// list, the nearest first.
func (r *Resolver) Nearest(text string, n int) []nearName {
	rest := r.words.dropQualifiers(withoutMarks(Read(text)))
	plain := withoutBrackets(textOf(rest))
	if plain == "" {
		plain = text
	}
	var out []nearName
	add := func(name, via string, near float32) {
		if !slices.ContainsFunc(out, func(o nearName) bool { return o.Name == name }) {
			out = append(out, nearName{name, via, near})
		}
	}
	type hit struct {
		text string
		to   []string
		near float32
	}
	var hits []hit
	for _, h := range r.inventory.Nearest(plain, n) {
		hits = append(hits, hit{h.Text, h.Official, h.Near})
	}
	for _, list := range []*namelist.List{r.customary.list, r.extra()} {
		if list == nil {
			continue
		}
		for _, h := range list.Nearest(plain, n) {
			if f, ok := r.whole(h.Name); ok {
				hits = append(hits, hit{h.Name, namesOf(f.names), h.Near})
			}
		}
	}
	slices.SortStableFunc(hits, func(a, b hit) int { return cmp.Compare(b.near, a.near) })
	for _, h := range hits {
		if h.near < hits[0].near-farther {
			break
		}
		for _, to := range h.to {
			named := r.named(to, inNone)
			add(named.Name, h.text, h.near)
		}
	}
	return out[:min(n, len(out))]
}
