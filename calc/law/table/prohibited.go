package table

import (
	"cmp"
	"slices"
	"strings"

	"gallipot/calc/law/annex"
	"gallipot/calc/law/rows"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
)

// How a prohibition was found, the surest first.
const (
	byIngredientName = "name"   // an ingredient name or a name in the law
	ByLinkedName     = "linked" // an ingredient that an official list ties to a class entry
	byCASNumber      = "cas"
	byECNumber       = "ec"
)

var prohibitedRank = []string{byIngredientName, ByLinkedName, byCASNumber, byECNumber}

// prohibitionMatch says how an entry of Annex II was found for a substance.
type prohibitionMatch struct {
	Prohibition *annex.Prohibition
	By          string // the surest way that fits: see [ByIngredientName]
}

func (t *Tables) buildProhibitions() *prohibitions {
	f := &prohibitions{map[string][]int{}, map[string][]int{}, map[string][]int{}, map[string][]int{}}
	for i, p := range t.entries.all() {
		for _, n := range p.Names {
			enter(f.byName, ingredients.NameKey(n), i)
		}
		for _, n := range p.ChemicalNames {
			enter(f.byName, ingredients.NameKey(n), i)
		}
		for _, n := range p.Linked {
			enter(f.byLinked, ingredients.NameKey(n), i)
		}
		for _, c := range p.CAS {
			enter(f.byCAS, c, i)
		}
		for _, e := range append(slices.Clone(p.EC), p.MisprintedEC...) {
			enter(f.byEC, e, i)
		}
	}
	return f
}

// Prohibitions returns every entry of Annex II of all markets and times, in the
// order of the table.
func (t *Tables) Prohibitions() []*annex.Prohibition { return t.entries.all() }

// ProhibitionsOf returns the entries of all markets and times that name a
// substance, in the order of the table: by its name and synonyms, then by its
// numbers. A number alone is weaker than a name: it may stand for several parts
// of a plant, see [Prohibition.SharedNumber].
func (t *Tables) ProhibitionsOf(inci string, cas, ec []string) []prohibitionMatch {
	f := t.prohibitions()
	by := map[int]string{}
	add := func(places []int, how string) {
		for _, i := range places {
			if old, ok := by[i]; !ok || slices.Index(prohibitedRank, how) < slices.Index(prohibitedRank, old) {
				by[i] = how
			}
		}
	}
	if strings.TrimSpace(inci) != "" {
		for k := range t.Names().Same(inci) { // its own key is among them
			add(f.byName[k], byIngredientName)
			add(f.byLinked[k], ByLinkedName)
		}
	}
	for _, c := range cas {
		add(f.byCAS[c], byCASNumber)
	}
	for _, e := range ec {
		add(f.byEC[e], byECNumber)
	}
	out := make([]prohibitionMatch, 0, len(by))
	for i, how := range by {
		out = append(out, prohibitionMatch{t.entries.row(i), how})
	}
	slices.SortFunc(out,
		func(a, b prohibitionMatch) int { return cmp.Compare(a.Prohibition.Line, b.Prohibition.Line) })
	return out
}

// coverage counts the entries of Annex II that the tables hold for a market.
type coverage struct {
	Entries    int // numbers with a ban, one for each
	Empty      int // numbers without one: moved or deleted
	Unnumbered int // substances whose number in this market was not read
	Drafts     int // announced, not law
	Unverified int // rows that were not read in their source
	Newest     exact.Date
	NewestRow  *annex.Prohibition // of the newest date in force or to come that is law
}

// ProhibitedCoverage says how much of Annex II the tables hold for a market.
func (t *Tables) ProhibitedCoverage(m rows.Market) coverage {
	var c coverage
	seen := map[string]bool{}
	for _, p := range t.entries.all() {
		if !p.For(m) {
			continue
		}
		if p.FromMemory() {
			c.Unverified++
		}
		switch p.State {
		case annex.StateEmpty:
			c.Empty++
			continue
		case annex.StateDraft:
			c.Drafts++
			continue
		case annex.StateElsewhere:
			continue
		}
		switch {
		case !annex.Numbered(p.Entry):
			c.Unnumbered++
		case !seen[p.Entry]:
			seen[p.Entry] = true
			c.Entries++
		}
		if c.Newest.Before(p.From) {
			c.Newest, c.NewestRow = p.From, p
		}
	}
	return c
}
