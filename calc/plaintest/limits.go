package plaintest

import (
	"math/big"
	"slices"
)

// Limit is the plain verdict on one row of the limit table.
type Limit struct {
	Verdict string
	Counted Rat // the highest amount in any mixture; nil where none was added up
}

// Limits judges every row that names a substance of the product, in each
// mixture, with what is there at most; the worst mixture decides. The rules of a
// row are those of limits_plain_test.go.
func (x *Run) Limits() map[string]Limit {
	out := map[string]Limit{}
	tableRows, seen := []map[string]string{}, map[string]bool{}
	certain := map[string]bool{}
	var names []string
	for name, e := range x.Content[0] {
		if e.Total.Hi.Sign() == 0 || len(x.book.limitsOf(name)) == 0 {
			continue
		}
		names = append(names, name)
		for _, c := range x.Content {
			certain[name] = certain[name] || c[name] != nil && c[name].certain
		}
		for _, r := range x.book.limitsOf(name) {
			if !seen[r["key"]] {
				seen[r["key"]] = true
				tableRows = append(tableRows, r)
			}
		}
	}
	tableRows = slices.DeleteFunc(tableRows, func(r map[string]string) bool { // what is a trace alone serves no purpose
		return slices.ContainsFunc(names, func(n string) bool {
			return len(x.Content[0][n].functions) == 0 && slices.ContainsFunc(x.book.limitsOf(n),
				func(o map[string]string) bool { return o["key"] == r["key"] })
		})
	})
	names = slices.DeleteFunc(names, func(n string) bool { return len(x.Content[0][n].functions) == 0 })
	for i := range x.Mixes {
		p := Product{Kind: x.Kind, Market: x.Market, Day: x.Day, Ages: x.Ages,
			Counted: func(key string, amount *big.Rat) {
				l := out[key]
				if l.Counted == nil || amount.Cmp(l.Counted) > 0 {
					l.Counted = new(big.Rat).Set(amount)
				}
				out[key] = l
			}}
		for _, name := range names {
			u, e := x.book.useOf(name), x.Content[0][name]
			u.Function, u.Scent, u.Pct = e.functions[0], e.scent, x.total(name)(i).Hi
			p.Uses = append(p.Uses, u)
		}
		for key, v := range x.verdicts(tableRows, p) {
			l := out[key]
			if l.Verdict == "" || v == "exceeded" {
				l.Verdict = v
			}
			out[key] = l
		}
	}
	for _, r := range tableRows {
		for _, name := range names {
			key := r["key"] + "|" + name
			if l := out[key]; r["max_pct"] == "0" && l.Verdict == "exceeded" && !certain[name] {
				out[key] = Limit{Verdict: "undecided"}
			}
		}
	}
	return out
}

// verdicts judges the rows that name something of the product; factors are looked
// for in the whole table.
func (x *Run) verdicts(rows []map[string]string, p Product) map[string]string {
	return x.book.rules.Verdicts(rows, x.book.limits, p)
}
