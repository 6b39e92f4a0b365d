package labelling

import (
	"strings"

	"gallipot/calc/formula"
	"gallipot/calc/law/trade"
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
	said := false
	for _, t := range texts {
		p := b.phrase(t.Text)
		if p == nil || p.RinseOff == b.in.Type.RinseOff || said {
			continue
		}
		said = true // of two phrases that contradict the type both say the same
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

// phraseMemory keeps what texts of a product say of its use.
type phraseMemory struct {
	formula.Memo[string, *trade.UsePhrase]
}

// phrase is the phrase of the table in a text of the product.
func (b *labelling) phrase(text string) *trade.UsePhrase {
	known := formula.SharedOf[phraseMemory](b.in)
	if known == nil {
		return b.law.UsePhrase(text)
	}
	return known.Of(text, func() *trade.UsePhrase { return b.law.UsePhrase(text) })
}

// useTerm names the term for what is rinsed off or stays on.
func useTerm(rinseOff bool) string {
	if rinseOff {
		return "use-rinse-off"
	}
	return "use-leave-on"
}
