package judge

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

// Case is a document with what a correct reading of it contains.
type Case struct {
	Name string // of the document's file
	Data []byte
	want []byte
}

// Cases reads the documents of a folder that have an expected reading beside them.
func Cases(dir string) ([]Case, error) {
	expected, err := filepath.Glob(filepath.Join(dir, "*.expected.json"))
	if err != nil {
		return nil, err
	}
	slices.Sort(expected)
	var out []Case
	for _, e := range expected {
		want, err := os.ReadFile(e)
		if err != nil {
			return nil, err
		}
		stem := strings.TrimSuffix(e, ".expected.json")
		files, err := filepath.Glob(stem + ".*")
		if err != nil {
			return nil, err
		}
		files = slices.DeleteFunc(files, func(f string) bool { return strings.HasSuffix(f, ".json") })
		if len(files) != 1 {
			return nil, fmt.Errorf("%s has no document beside it", e)
		}
		data, err := os.ReadFile(files[0])
		if err != nil {
			return nil, err
		}
		out = append(out, Case{filepath.Base(files[0]), data, want})
	}
	return out, nil
}

// Judge compares an answer, as JSON, with what a correct reading contains.
func (c Case) Judge(answer []byte) (Score, error) {
	want, err := parse(c.want)
	if err != nil {
		return Score{}, fmt.Errorf("%s: what is expected: %w", c.Name, err)
	}
	got, err := parse(answer)
	if err != nil {
		return Score{}, fmt.Errorf("%s: the answer: %w", c.Name, err)
	}
	var total Score
	said := key(string(answer))
	left := got.Products
	of := make([]*product, len(want.Products))
	take := func(i, j int) {
		p := left[j]
		of[i] = &p
		left = slices.Delete(slices.Clone(left), j, j+1)
	}
	for i, p := range want.Products {
		if j := slices.IndexFunc(left, func(q product) bool {
			a, b := key(q.Name), key(p.Name)
			return a != "" && (strings.Contains(b, a) || strings.Contains(a, b))
		}); j >= 0 {
			take(i, j)
		}
	}
	for i := range want.Products {
		if of[i] == nil && len(left) > 0 {
			take(i, 0)
		}
	}
	for i, p := range want.Products {
		var lines []line
		if of[i] != nil {
			lines = of[i].lines()
		}
		if len(p.Variants) > 0 { // variants given as products count as lines of the one
			for _, q := range left {
				lines = append(lines, newLines(lines, q.lines())...)
			}
			left = nil
		}
		total.Add(best(p, lines, want.MayRefuse && len(lines) == 0, said))
		total.Add(sentences(p, string(answer)))
	}
	for _, q := range left {
		if truthy(q.Ask) || truthy(q.Old) {
			continue
		}
		for _, l := range q.lines() {
			if l.figured() && !l.asked() {
				total.Wrong++
				total.Notes = append(total.Notes, "wrong, not in the document: "+l.Name)
			}
		}
	}
	return total, nil
}

func newLines(have, more []line) []line {
	var out []line
	for _, l := range more {
		if !slices.ContainsFunc(have, func(g line) bool {
			return key(l.Name) == key(g.Name) && same(l.Amount, g.Amount) && textOf(l.QS) == textOf(g.QS)
		}) {
			out = append(out, l)
		}
	}
	return out
}

// best judges a product under each column of the document and keeps the best.
func best(p product, got []line, refused bool, said string) Score {
	columns := []string{""}
	for _, l := range p.lines() {
		for _, a := range l.alternatives {
			if !slices.Contains(columns, a.Reading) {
				columns = append(columns, a.Reading)
			}
		}
	}
	slices.Sort(columns)
	var out Score
	for i, c := range columns {
		s := judgeProduct(p, got, c, refused, said)
		if i == 0 || s.Wrong < out.Wrong || s.Wrong == out.Wrong && s.Right > out.Right {
			out = s
		}
	}
	return out
}

// sentences counts the expected questions and warnings of which half of the telling
// words stand in one of ours, in any words between.
func sentences(p product, answer string) Score {
	var s Score
	var ours [][]string
	for _, l := range strings.Split(answer, "\n") {
		ours = append(ours, strings.Fields(key(l)))
	}
	for _, want := range append(slices.Clone(p.Warnings), p.Asks...) {
		words := telling(want)
		most := 0
		for _, l := range ours {
			n := 0
			for _, w := range words {
				if slices.ContainsFunc(l, func(x string) bool { return stem(x) == stem(w) }) {
					n++
				}
			}
			most = max(most, n)
		}
		if most*2 >= len(words) {
			s.Said++
		} else {
			s.Silent++
			s.Notes = append(s.Notes, "not said: "+want)
		}
	}
	return s
}

func telling(s string) []string {
	var out []string
	for _, w := range strings.Fields(key(s)) {
		if len(w) > 3 || strings.ContainsAny(w, "0123456789") || w == "ph" {
			out = append(out, w)
		}
	}
	return out
}

func stem(w string) string { return w[:min(len(w), 5)] }
