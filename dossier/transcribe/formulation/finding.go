package formulation

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"slices"
	"strings"
	"sync"
)

//go:embed wording.csv
var wordingTable string

// finding is something to say about a formula: a code of wording.csv and values.
type finding struct {
	code   string
	values []string // name, value, name, value …
}

func say(code string, values ...string) finding { return finding{code, values} }

// wording gives kind and sentence of each code.
var wording = sync.OnceValue(func() map[string][2]string {
	rows, err := csv.NewReader(strings.NewReader(wordingTable)).ReadAll()
	if err != nil {
		panic(fmt.Sprintf("wording.csv: %v", err)) // built in
	}
	out := map[string][2]string{}
	for _, r := range rows[1:] {
		out[r[0]] = [2]string{r[1], r[2]}
	}
	return out
})

// kind is "ask" or "warning".
func (f finding) kind() string { return wording()[f.code][0] }

// text is the sentence.
func (f finding) text() string {
	pairs := make([]string, 0, len(f.values))
	for i := 0; i+1 < len(f.values); i += 2 {
		pairs = append(pairs, "{"+f.values[i]+"}", f.values[i+1])
	}
	s, ok := wording()[f.code]
	if !ok {
		return f.code + " " + strings.Join(f.values, " ")
	}
	return strings.ReplaceAll(strings.NewReplacer(pairs...).Replace(s[1]), " ()", "")
}

// Sentence says a code with its values.
func Sentence(code string, values ...string) string { return say(code, values...).text() }

// Say says something about the document as a whole.
func (r *Reading) Say(code string, values ...string) {
	f := say(code, values...)
	if f.kind() == "ask" {
		r.Asks = append(r.Asks, f.text())
	} else {
		r.Warnings = append(r.Warnings, f.text())
	}
}

// Unsay takes a finding about the product back.
func (p *Product) Unsay(code string) {
	p.found = slices.DeleteFunc(p.found, func(f finding) bool { return f.code == code })
}

// SayAll keeps the findings about a further part of the product.
func (p *Product) SayAll(part *Product) { p.found = append(p.found, part.found...) }

// Say keeps a finding about the product.
func (p *Product) Say(code string, values ...string) { p.found = append(p.found, say(code, values...)) }

// Tell words the findings.
func (p *Product) Tell() {
	p.Warnings, p.Asks = []string{}, []string{}
	seen := map[string]bool{}
	for _, f := range p.found {
		s := f.text()
		if seen[s] {
			continue
		}
		seen[s] = true
		if f.kind() == "ask" {
			p.Asks = append(p.Asks, s)
		} else {
			p.Warnings = append(p.Warnings, s)
		}
	}
}
