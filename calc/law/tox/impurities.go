package tox

import (
	"regexp"
	"strings"

	"gallipot/calc/law/rows"
	"gallipot/ingredients/exact"
)

// Impurity is one that an assessor looks for in a kind of raw material.
//
// Source: expected-impurities.csv; most usual limits are trade practice, unverified.
type Impurity struct {
	rows.Row
	Kind     string // of raw material, in words of the trade
	Name     string
	CAS      []string
	Usual    *exact.Num // in Unit, of LimitOf; nil: no figure known, ask
	Unit     string
	Absent   bool   // must be absent
	LimitOf  string // material, product or "" where neither is said: never compare across
	Banned   bool   // prohibited: traces by Article 17 alone
	Basis    string
	patterns []*regexp.Regexp
}

func readImpurities(file string, data []byte) ([]*Impurity, error) {
	columns := rows.Columns{Meaning: []string{"key", "patterns", "functions", "impurity", "cas",
		"usual_limit", "unit", "absent", "limit_of", "banned", "seen"},
		Remarks: []string{"kind", "basis", "source", "note"}}
	known := map[string]*regexp.Regexp{} // rows of one kind have the same patterns
	return rows.ReadTable(file, data, columns, func(r *rows.Record) *Impurity {
		i := &Impurity{
			Row: r.Head(r.Must("key")), Kind: r.Must("kind"), Name: r.Must("impurity"), CAS: r.Numbers("cas"), Usual: r.Num("usual_limit"), Unit: r.Text("unit"),
			Absent: r.Mark("absent"), LimitOf: r.Word("limit_of", "", "material",
				"product"), Banned: r.Mark("banned"), Basis: r.Text("basis"),
		}
		r.CheckNumbers(i.CAS, nil)
		for _, p := range r.List("patterns") {
			if known[p] == nil {
				known[p] = patternOf(p)
			}
			i.patterns = append(i.patterns, known[p])
		}
		if len(i.patterns) == 0 {
			r.Fail("patterns is empty")
		}
		if i.Usual != nil && i.Unit == "" {
			r.Fail("a usual limit needs a unit")
		}
		return i
	})
}

// patternOf reads a pattern of names: * stands for any text, # for digits, […] for one of
// the signs in it.
func patternOf(pattern string) *regexp.Regexp {
	var b strings.Builder
	b.WriteString("(?i)^")
	for i := 0; i < len(pattern); i++ {
		switch c := pattern[i]; c {
		case '*':
			b.WriteString(".*")
		case '#':
			b.WriteString("[0-9]+")
		case '[':
			end := strings.IndexByte(pattern[i:], ']')
			if end < 2 {
				b.WriteString(`\[`)
				continue
			}
			b.WriteString("[" + regexp.QuoteMeta(pattern[i+1:i+end]) + "]")
			i += end
		default:
			b.WriteString(regexp.QuoteMeta(pattern[i : i+1]))
		}
	}
	return regexp.MustCompile(b.String() + "$")
}

// Expected returns the impurities to look for in a raw material with a name; none where
// no kind fits, which is no sign of purity.
func (t *Tables) Expected(inci string) []*Impurity {
	var out []*Impurity
	for _, i := range t.impurities {
		for _, p := range i.patterns {
			if p.MatchString(inci) {
				out = append(out, i)
				break
			}
		}
	}
	return out
}
