package labelling

import (
	"strings"

	"gallipot/calc/formula"
	"gallipot/ingredients/finding"
)

// useFindings compares what the presentation says of use with the product type.
//
// Findings: ask "label-use-contradicts".
func (b *labelling) useFindings() {
	texts := append([]LabelWords{b.facts.Name, b.facts.Function, b.facts.Directions}, b.facts.Warnings...)
	for _, c := range b.in.Product.Claims {
		texts = append(texts, LabelWords{Text: c.Text, Pos: c.Pos})
	}
	said := map[bool]string{}
	for _, t := range texts {
		p := b.law.UsePhrase(t.Text)
		if p == nil || p.RinseOff == b.in.Type.RinseOff || said[p.RinseOff] != "" {
			continue
		}
		said[p.RinseOff] = p.Phrase
		pos := t.Pos
		if pos.Line == 0 {
			pos = b.facts.Pos
		}
		b.say(finding.NewFinding(finding.Ask, "label-use-contradicts", pos, formula.With().
			Quote("phrase", strings.TrimSpace(p.Phrase)).
			Name("type", b.in.Product.Type).Term("says", useTerm(p.RinseOff), nil).
			Term("kind", useTerm(b.in.Type.RinseOff), nil)), "L60")
	}
}

// useTerm names the term for what is rinsed off or stays on.
func useTerm(rinseOff bool) string {
	if rinseOff {
		return "use-rinse-off"
	}
	return "use-leave-on"
}
