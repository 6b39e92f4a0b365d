package law

import (
	"cmp"
	"slices"
	"strings"

	"gallipot/calc/law/annex"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/ingredients/exact"
)

// Match says how a limit row was found for a substance.
type Match struct {
	Limit *annex.Limit
	By    string // name, linked, cas or ec: the surest that fits, in this order
}

// LimitsOf returns the rows of all markets and times that name a substance, in
// the order of the table, the maker's own rows last: by its name and synonyms,
// its CAS numbers and its EC numbers. Where the caller knows no CAS number, those
// the dictionary gives the name are taken.
//
// A class entry (see [Class]) may apply without being found here, and one
// number may stand for several preparations: By says what a match rests on.
func LimitsOf(t *table.Tables, inci string, cas, ec []string) []Match {
	key := table.LimitsKey{INCI: inci, CAS: strings.Join(cas, ";"), EC: strings.Join(ec, ";")}
	if found, ok := t.Memory.Limits.Load(key); ok {
		return slices.Clone(found.([]Match))
	}
	found := findLimits(t, inci, cas, ec)
	t.Memory.Limits.Store(key, found)
	return slices.Clone(found)
}

func findLimits(t *table.Tables, inci string, cas, ec []string) []Match {
	n := t.Names()
	if s := n.Dict.Known(inci); s != nil && len(cas) == 0 {
		cas = s.CAS
	}
	by := map[*annex.Limit]string{}
	add := func(rows []*annex.Limit, how string) {
		for _, l := range rows {
			if by[l] == "" {
				by[l] = how
			}
		}
	}
	rules := t.ByLimit()
	for k := range n.Same(inci) {
		add(rules.Named(k), "name")
	}
	for k := range n.Same(inci) {
		add(rules.Linked(k), table.ByLinkedName)
	}
	for _, c := range cas {
		add(rules.CAS(c), "cas")
	}
	for _, e := range ec {
		add(rules.EC(e), "ec")
	}
	var out []Match
	for l, how := range by {
		out = append(out, Match{l, how})
	}
	place := func(m Match) int {
		at, _ := rules.Place(m.Limit)
		return at
	}
	slices.SortFunc(out, func(a, b Match) int { return cmp.Compare(place(a), place(b)) })
	return out
}

// IsPreservative says whether the preservative annex of a market lists a
// substance on a day.
func IsPreservative(t *table.Tables, inci, cas string, m rows.Market, day exact.Date) bool {
	return listed(t, "V", inci, cas, m, day)
}

// IsUVFilter says whether the UV filter annex of a market lists a substance on
// a day.
func IsUVFilter(t *table.Tables, inci, cas string, m rows.Market, day exact.Date) bool {
	return listed(t, "VI", inci, cas, m, day)
}

func listed(t *table.Tables, which, inci, cas string, m rows.Market, day exact.Date) bool {
	key := table.ListedKey{Annex: which, INCI: inci, CAS: cas, Market: m, Day: day}
	if is, ok := t.Memory.Listed.Load(key); ok {
		return is.(bool)
	}
	is := slices.ContainsFunc(LimitsOf(t, inci, table.One(cas), nil), func(match Match) bool {
		return match.Limit.Annex == which && match.Limit.In(m, day) && match.Limit.Sum.Kind != annex.SumLabel
	})
	t.Memory.Listed.Store(key, is)
	return is
}
