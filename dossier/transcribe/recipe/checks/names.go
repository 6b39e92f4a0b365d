package checks

import (
	"slices"
	"strings"

	"gallipot/dossier/transcribe/formulation"
	"gallipot/dossier/transcribe/lexicon"
)

// names asks for INCI names and contents.
func (d *checker) names(p *formulation.Product) {
	var without, blends []string
	with := 0
	for _, l := range p.Lines() {
		if !l.Counted() {
			continue
		}
		switch {
		case l.INCI == nil:
			if !slices.Contains(without, l.Name) {
				without = append(without, l.Name)
			}
		case strings.ContainsAny(*l.INCI, ",;/") || strings.Contains(*l.INCI, " and ") ||
			strings.Contains(*l.INCI, "(and)"):
			with++
			blends = append(blends, l.Name)
		default:
			with++
		}
		if (strings.Contains(l.Name, " + ") || strings.Contains(l.Name, " & ")) && (l.INCI == nil ||
			d.slotOf(l) != "") {
			p.Say("blends", "name", l.Name)
		}
	}
	if len(without) > 0 {
		p.Say("no-inci", "names", listed(without))
	}
	if len(blends) > 0 {
		p.Say("compositions", "names", listed(blends))
	}
}

// lye says that a soap is not the sum of what was weighed.
func (d *checker) lye(p *formulation.Product) {
	for _, l := range p.Lines() {
		f := lexicon.Fold(l.Name + " " + formulation.ValueOf(l.INCI))
		if !l.Counted() || !d.Holds("formula word", "lye", f) {
			continue
		}
		if p.Basis == "grams" || d.Holds("formula word", "soap", lexicon.Fold(p.Name)) {
			p.Say("lye")
			p.Say("ask-lye")
			for _, t := range append(slices.Clone(p.Steps), p.Notes...) {
				if d.Holds("formula word", "loss", lexicon.Fold(t)) {
					p.Say("ask-loss", "text", t)
				}
			}
			return
		}
	}
}
