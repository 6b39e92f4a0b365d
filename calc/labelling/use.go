package labelling

import (
	"strings"

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
		is, says := "leave-on", "rinse-off"
		if b.in.Type.RinseOff {
			is, says = says, is
		}
		pos := t.Pos
		if pos.Line == 0 {
			pos = b.facts.Pos
		}
		b.say(finding.Findingf(finding.Ask, "label-use-contradicts", pos, "%q says %s, and the product type %s is %s: limits, allergen thresholds and exposure are those of %s",
			strings.TrimSpace(p.Phrase), says, b.in.Product.Type, is, is).
			WithFix("take the type that it is used as (gallipot law --types lists them), or change the wording"), "L60")
	}
}
