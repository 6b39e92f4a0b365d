package checks

import (
	"slices"
	"strings"

	"gallipot/dossier/transcribe/figure"
	"gallipot/dossier/transcribe/formulation"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/pattern"
)

var colourIndex = pattern.New(`(?i)\bCI ?\d{5}\b`)

// slotOf guesses whether a maker would let a line vary.
func (d *checker) slotOf(l *formulation.Line) string {
	f, inci := lexicon.Fold(l.Name), lexicon.Fold(formulation.ValueOf(l.INCI))
	switch {
	case colourIndex.MatchString(formulation.ValueOf(l.INCI)) || colourIndex.MatchString(l.Name):
		return "colour"
	case d.Is("formula slot", "scent-inci", inci):
		return "scent"
	case d.Holds("formula slot", "colour", f):
		return "colour"
	case d.Holds("formula slot", "scent", f):
		return "scent"
	}
	return ""
}

func (d *checker) slots(p *formulation.Product) {
	for _, l := range p.Lines() {
		if l.Counted() {
			l.Slot = d.slotOf(l)
		}
	}
}

// variants fills the variants and sums each.
func (d *checker) variants(p *formulation.Product) {
	if len(p.Variants) == 0 {
		return
	}
	var differ []string
	for i := range p.Variants {
		v := &p.Variants[i]
		for _, l := range p.Lines() {
			if !slices.Contains(l.Variants, v.Name) {
				continue
			}
			slot := l.Slot
			if slot == "" || v.Fill[slot] != "" {
				slot = l.Name
			}
			v.Fill[slot] = strings.TrimSpace(l.Name + " " + formulation.ValueOf(l.Amount) + " " +
				formulation.ValueOf(l.Unit))
			if !slices.Contains(differ, slot) {
				differ = append(differ, slot)
			}
		}
		sum := p.Fixed(&v.Name).Exact()
		if p.Basis == "grams" {
			v.TotalG = sum
		} else {
			v.Total = sum
			if p.Basis == "percent" && !p.HasRest() && !figure.Near(figure.Sum(sum), exact.Int(100),
				figure.Sum("0.0049")) {
				p.Say("variant-sum", "variant", v.Name, "sum", sum)
			}
		}
	}
	for _, slot := range differ {
		var parts []string
		amounts := map[string]bool{}
		for _, v := range p.Variants {
			if fill := v.Fill[slot]; fill != "" {
				parts = append(parts, v.Name+": "+fill)
				amounts[amountOfFill(p, v.Name, fill)] = true
			}
		}
		if len(amounts) > 1 {
			p.Say("variants-differ", "slot", slot, "fills", strings.Join(parts, "; "))
		}
	}
}

// amountOfFill is the amount with which a variant fills a slot.
func amountOfFill(p *formulation.Product, variant, fill string) string {
	for _, l := range p.Lines() {
		if slices.Contains(l.Variants, variant) && strings.HasPrefix(fill, l.Name+" ") {
			return formulation.ValueOf(l.Amount)
		}
	}
	return fill
}
