package table

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"gallipot/calc/law/annex"
	printed "gallipot/ingredients/names"
)

// EntryPlant is a name of a plant material in a rule that is no wider than its names.
type EntryPlant struct {
	Rule  *annex.Limit
	Name  string
	Plant *printed.Plant // what the name says of it
}

// entryPlants are those of the law: of limits.csv, and of what it leaves out of Annex II.
type entryPlants struct{ limits, annexII []EntryPlant }

// EntryPlants returns the names of plant materials in all rules, in the order of
// [Tables.EveryLimit]. Those of the law are read once for a set of tables, a maker's own
// each time.
func (t *Tables) EntryPlants() []EntryPlant {
	law := t.entryPlants()
	var own []EntryPlant
	for _, l := range t.Limits {
		if l.Own {
			own = append(own, t.plantsOf(l, l.Names)...)
		}
	}
	return slices.Concat(law.limits, own, law.annexII)
}

// plantsOf reads names of a rule.
func (t *Tables) plantsOf(l *annex.Limit, of []string) []EntryPlant {
	if l.Class != annex.NoClass {
		return nil
	}
	var out []EntryPlant
	for _, name := range of {
		if p := t.Dictionary().Names().Plant(name); p != nil {
			out = append(out, EntryPlant{l, name, p})
		}
	}
	return out
}

func (t *Tables) buildEntryPlants() entryPlants {
	var p entryPlants
	enter := func(at int, of []string) {
		if at < len(t.Limits) {
			p.limits = append(p.limits, t.plantsOf(t.Limits[at], of)...)
		} else {
			p.annexII = append(p.annexII, t.plantsOf(t.entries.rule(at-len(t.Limits)), of)...)
		}
	}
	if t.ready != nil {
		t.ready.plants.Each(func(at, of string) {
			i, _ := strconv.Atoi(at)
			enter(i, strings.Split(of, "|"))
		})
		return p
	}
	for at, l := range t.Limits {
		enter(at, l.Names)
	}
	for i := range t.entries.count {
		if l := t.entries.rule(i); l != nil {
			enter(len(t.Limits)+i, l.Names)
		}
	}
	return p
}

// readyPlants are the names of plant materials, by the place of their rule.
func (t *Tables) readyPlants() (map[string]string, error) {
	out, place := map[string]string{}, map[*annex.Limit]int{}
	for i, l := range t.Limits {
		place[l] = i
	}
	for i := range t.entries.count {
		if l := t.entries.rule(i); l != nil {
			place[l] = len(t.Limits) + i
		}
	}
	for _, e := range t.EntryPlants() {
		if strings.Contains(e.Name, "|") {
			return nil, fmt.Errorf("%q holds what parts names", e.Name)
		}
		key := placed(place[e.Rule])
		out[key] = strings.TrimPrefix(out[key]+"|"+e.Name, "|")
	}
	return out, nil
}
