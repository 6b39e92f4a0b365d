package formulation

import (
	_ "embed"
	"slices"
	"strings"

	"gallipot/dossier/transcribe/phrases"
)

// finding is something to say about a formula: a code of the table and values.
type finding struct {
	code   string
	values []string // name, value, name, value …
}

func say(code string, values ...string) finding { return finding{code, values} }

// kind is "ask" or "warning".
func (f finding) kind() string { return phrases.Formulas()[f.code].Kind }

// text is the sentence.
func (f finding) text() string {
	return strings.ReplaceAll(phrases.Formulas().Say(f.code, f.values...), " ()", "")
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
