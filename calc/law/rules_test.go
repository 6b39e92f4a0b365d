package law

import (
	"gallipot/calc/law/annex"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/ingredients/exact"
	"slices"
)

// Rules over the tables by themselves, as the published cases ask for them; what
// limits of a product add to that is in calc/limits.

// rule is a limit row that rules one use, with the answer to whether its
// condition holds.
type rule struct {
	Match
	Answer Answer
}

// rulesOf returns the rows in force for a substance, a market and a day whose
// condition holds or is undecided in s, in the order of the table.
//
// A prohibition is left out where an entry that it excepts holds, and is
// undecided where that entry is. listed says whether any row in force names the
// substance at all: listed with no rule means that the tables have no line for
// this type of product, which is not a pass.
func rulesOf(t *table.Tables, inci string, cas, ec []string, m rows.Market, day exact.Date,
	s Situation) (rules []rule, listed bool) {
	s = s.Complete()
	for _, match := range LimitsOf(t, inci, cas, ec) {
		if !match.Limit.In(m, day) {
			continue
		}
		listed = true
		if a := JudgeLimit(match.Limit, s); a.Verdict != DoesNot {
			rules = append(rules, rule{match, a})
		}
	}
	return lift(rules), listed
}

// lift takes out the prohibitions that another rule of the list excepts.
func lift(rules []rule) []rule {
	var out []rule
	for _, r := range rules {
		var excepted []Answer
		for _, other := range rules {
			if slices.Contains(r.Limit.Excepted, other.Limit.Annex+"/"+other.Limit.Entry) && !other.Limit.Prohibited() {
				excepted = append(excepted, other.Answer)
			}
		}
		r.Answer = allOf([]Answer{r.Answer, anyOf(excepted).Not()})
		if r.Answer.Verdict != DoesNot {
			out = append(out, r)
		}
	}
	return out
}

// allergensProhibited returns the former label names that may not be present at
// all in a product placed on a day.
func allergensProhibited(t *table.Tables, m rows.Market, day exact.Date) []*annex.Allergen {
	return allergensWhere(t, func(a *annex.Allergen) bool { return a.Market == m.Annexes() && a.Prohibited && !day.Before(a.From) })
}

// limitsWhere returns the limits that fit, in the order of the table.
func limitsWhere(t *table.Tables, fits func(*annex.Limit) bool) []*annex.Limit {
	var out []*annex.Limit
	for _, l := range t.Limits {
		if fits(l) {
			out = append(out, l)
		}
	}
	return out
}

// limitsFor returns the limits in force for a newly placed product on a day.
func limitsFor(t *table.Tables, m rows.Market, day exact.Date) []*annex.Limit {
	return limitsWhere(t, func(l *annex.Limit) bool { return l.In(m, day) })
}

// limitsLater returns the limits that come into force after a day.
func limitsLater(t *table.Tables, m rows.Market, day exact.Date) []*annex.Limit {
	return limitsWhere(t, func(l *annex.Limit) bool { return l.For(m) && day.Before(l.From) })
}
