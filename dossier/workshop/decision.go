package workshop

import (
	"slices"

	"gallipot/ingredients/exact"
	"gallipot/ingredients/source"
)

// Decision is what a person answerable has settled in writing about something that
// is asked: by its code and subject, as check prints them.
type Decision struct {
	Code     string
	Subject  string   // "" for whatever of the code has the values
	Variants []string // empty: all
	Markets  []string // empty: all
	// Values is the mark of the values that were decided on; "" where it was not
	// written down, and then nothing is settled.
	Values   string
	Text, By string
	Date     exact.Date
	Until    exact.Date // the day the question opens again; zero: none is named
	Pos      exact.Pos  // the code
}

const decisionExample = "{code: open-order, subject: …, values: …, decision: …, by: …, date: 2026-03-31, until: 2027-03-31}"

// readDecisions reads the decisions of a product, or those of the workshop where
// variants is nil.
func readDecisions(v source.Node, variants []string) (list []Decision) {
	v.EachIn("decision", decisionExample, func(m *source.Mapping) {
		m.Need("code", "code: the code in square brackets that check prints")
		m.Need("decision", "decision: what was decided, and why")
		m.Need("by", "by: who decided")
		m.Need("date", "date: 2026-03-31")
		d := Decision{
			Code: m.At("code").Text(), Subject: m.At("subject").Text(), Values: m.At("values").Text(),
			Text: m.At("decision").Prose(),
			By:   m.At("by").Text(), Date: m.At("date").Date(), Until: m.At("until").Date(),
			Pos: m.At("code").Pos(),
		}
		if variants != nil {
			d.Variants = readChoices(m.At("variant"),
				slices.DeleteFunc(slices.Clone(variants), func(id string) bool { return id == "" }))
		}
		d.Markets = readChoices(m.At("market"), marketWords)
		list = append(list, d)
	})
	return list
}

// readChoices reads one word or a list of words out of those allowed.
func readChoices(v source.Node, allowed []string) (out []string) {
	take := func(n source.Node) {
		if word := n.Choice(allowed...); word != "" && !slices.Contains(out, word) {
			out = append(out, word)
		}
	}
	switch {
	case v.IsList():
		v.Each("word", "[GB]", take)
	case v.Present():
		take(v)
	}
	return out
}
