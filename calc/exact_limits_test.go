package calc

import (
	"math/big"
	"slices"

	"gallipot/calc/law"
)

// exactLimit is the plain verdict on one row of the limit table.
type exactLimit struct {
	verdict string
	counted rat // the highest amount in any mixture; nil where none was added up
}

// limits judges every row that names a substance of the product, in each
// mixture, with what is there at most; the worst mixture decides. The rules of a
// row are those of limits_plain_test.go.
func (x *exactRun) limits() map[string]exactLimit {
	out := map[string]exactLimit{}
	rows, seen := []map[string]string{}, map[string]bool{}
	certain := map[string]bool{}
	var names []string
	for name, e := range x.content[0] {
		if e.total.hi.Sign() == 0 || len(x.book.limitsOf(name)) == 0 {
			continue
		}
		names = append(names, name)
		for _, c := range x.content {
			certain[name] = certain[name] || c[name] != nil && c[name].certain
		}
		for _, r := range x.book.limitsOf(name) {
			if !seen[r["key"]] {
				seen[r["key"]] = true
				rows = append(rows, r)
			}
		}
	}
	rows = slices.DeleteFunc(rows, func(r map[string]string) bool { // what is a trace alone serves no purpose
		return slices.ContainsFunc(names, func(n string) bool {
			return len(x.content[0][n].functions) == 0 && slices.ContainsFunc(x.book.limitsOf(n), func(o map[string]string) bool { return o["key"] == r["key"] })
		})
	})
	names = slices.DeleteFunc(names, func(n string) bool { return len(x.content[0][n].functions) == 0 })
	for i := range x.mixes {
		p := plainProduct{kind: x.kind, market: law.Market(x.market), day: x.day, ages: x.ages, counted: func(key string, amount *big.Rat) {
			l := out[key]
			if l.counted == nil || amount.Cmp(l.counted) > 0 {
				l.counted = new(big.Rat).Set(amount)
			}
			out[key] = l
		}}
		for _, name := range names {
			u, e := x.book.useOf(name), x.content[0][name]
			u.function, u.scent, u.pct = e.functions[0], e.scent, x.total(name)(i).hi
			p.uses = append(p.uses, u)
		}
		for key, v := range x.verdicts(rows, p) {
			l := out[key]
			if l.verdict == "" || v == "exceeded" {
				l.verdict = v
			}
			out[key] = l
		}
	}
	for _, r := range rows {
		for _, name := range names {
			key := r["key"] + "|" + name
			if l := out[key]; r["max_pct"] == "0" && l.verdict == "exceeded" && !certain[name] {
				out[key] = exactLimit{verdict: "undecided"}
			}
		}
	}
	return out
}

// verdicts judges the rows that name something of the product; factors are looked
// for in the whole table.
func (x *exactRun) verdicts(rows []map[string]string, p plainProduct) map[string]string {
	return plainVerdicts(rows, x.book.limits, p, x.book.dict)
}
