package law

import (
	"cmp"
	"slices"
	"strings"

	"gallipot/ingredients"
)

// Match says how a limit row was found for a substance.
type Match struct {
	Limit *Limit
	By    string // name, linked, cas or ec: the surest that fits, in this order
}

// LimitsOf returns the rows of all markets and times that name a substance, in
// the order of the table, the maker's own rows last: by its name and synonyms,
// its CAS numbers and its EC numbers. Where the caller knows no CAS number, those
// the dictionary gives the name are taken.
//
// A class entry (see [Class]) may apply without being found here, and one
// number may stand for several preparations: By says what a match rests on.
func (t *Tables) LimitsOf(inci string, cas, ec []string) []Match {
	key := limitsKey{inci, strings.Join(cas, ";"), strings.Join(ec, ";")}
	if found, ok := t.memory.limits.Load(key); ok {
		return slices.Clone(found.([]Match))
	}
	found := t.findLimits(inci, cas, ec)
	t.memory.limits.Store(key, found)
	return slices.Clone(found)
}

func (t *Tables) findLimits(inci string, cas, ec []string) []Match {
	n := t.names()
	if s := n.dict.Known(inci); s != nil && len(cas) == 0 {
		cas = s.CAS
	}
	by := map[*Limit]string{}
	add := func(rows []*Limit, how string) {
		for _, l := range rows {
			if by[l] == "" {
				by[l] = how
			}
		}
	}
	for k := range n.same(inci) {
		add(t.byName[k], "name")
	}
	for k := range n.same(inci) {
		add(t.byLinked[k], ByLinkedName)
	}
	for _, c := range cas {
		add(t.byCAS[c], "cas")
	}
	for _, e := range ec {
		add(t.byEC[e], "ec")
	}
	var out []Match
	for l, how := range by {
		out = append(out, Match{l, how})
	}
	slices.SortFunc(out, func(a, b Match) int { return cmp.Compare(t.place[a.Limit], t.place[b.Limit]) })
	return out
}

// Rule is a limit row that rules one use, with the answer to whether its
// condition holds.
type Rule struct {
	Match
	Answer Answer
}

// Rules returns the rows in force for a substance, a market and a day whose
// condition holds or is undecided in s, in the order of the table.
//
// A prohibition is left out where an entry that it excepts holds, and is
// undecided where that entry is. listed says whether any row in force names the
// substance at all: listed with no rule means that the tables have no line for
// this type of product, which is not a pass.
func (t *Tables) Rules(inci string, cas, ec []string, m Market, day ingredients.Date, s Situation) (rules []Rule, listed bool) {
	s = s.Complete()
	for _, match := range t.LimitsOf(inci, cas, ec) {
		if !match.Limit.In(m, day) {
			continue
		}
		listed = true
		if a := match.Limit.Judge(s); a.Verdict != DoesNot {
			rules = append(rules, Rule{match, a})
		}
	}
	return lift(rules), listed
}

// lift takes out the prohibitions that another rule of the list excepts.
func lift(rules []Rule) []Rule {
	var out []Rule
	for _, r := range rules {
		var excepted []Answer
		for _, other := range rules {
			if slices.Contains(r.Limit.Excepted, other.Limit.Annex+"/"+other.Limit.Entry) && !other.Limit.Prohibited() {
				excepted = append(excepted, other.Answer)
			}
		}
		r.Answer = allOf([]Answer{r.Answer, anyOf(excepted).not()})
		if r.Answer.Verdict != DoesNot {
			out = append(out, r)
		}
	}
	return out
}

// IsPreservative says whether the preservative annex of a market lists a
// substance on a day.
func (t *Tables) IsPreservative(inci, cas string, m Market, day ingredients.Date) bool {
	return t.listed("V", inci, cas, m, day)
}

// IsUVFilter says whether the UV filter annex of a market lists a substance on
// a day.
func (t *Tables) IsUVFilter(inci, cas string, m Market, day ingredients.Date) bool {
	return t.listed("VI", inci, cas, m, day)
}

func (t *Tables) listed(annex, inci, cas string, m Market, day ingredients.Date) bool {
	key := listedKey{annex, inci, cas, m, day}
	if is, ok := t.memory.listed.Load(key); ok {
		return is.(bool)
	}
	is := slices.ContainsFunc(t.LimitsOf(inci, one(cas), nil), func(match Match) bool {
		return match.Limit.Annex == annex && match.Limit.In(m, day) && match.Limit.Sum.Kind != SumLabel
	})
	t.memory.listed.Store(key, is)
	return is
}
