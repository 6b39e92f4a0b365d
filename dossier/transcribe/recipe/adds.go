package recipe

import (
	"slices"

	"gallipot/dossier/transcribe/dose"
	"gallipot/dossier/transcribe/formulation"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/recipe/terms"
)

// adds takes lines in grams below a table, without a title of their own, into the formula
// of the table where that is in grams too, or gives grams beside its shares: the oils of a
// soap, and below them lye and water. Then the grams hold, since the shares are of the
// table alone. A material that stands in both makes two formulas of them.
func (d *doc) adds(p, more *formulation.Product) bool {
	have := map[string]bool{}
	for _, l := range p.Lines() {
		have[lexicon.Fold(l.Name)] = true
	}
	for _, l := range more.Lines() {
		if l.Amount == nil || l.Unit == nil || *l.Unit != "g" || have[lexicon.Fold(l.Name)] {
			return false
		}
	}
	grams := make([]string, 0, len(have))
	for _, l := range p.Lines() {
		g, ok := d.gramsOf(l)
		if !ok {
			return false
		}
		grams = append(grams, g)
	}
	for i, l := range p.Lines() {
		if *l.Unit != "g" {
			l.AlsoPrinted = *l.Amount + " " + *l.Unit
			l.Amount, l.Unit = &grams[i], formulation.Value("g")
		}
	}
	at := len(p.Phases) - 1
	for _, ph := range more.Phases {
		p.Phases[at].Lines = append(p.Phases[at].Lines, ph.Lines...)
	}
	p.SayAll(more)
	p.Notes = append(p.Notes, more.Notes...)
	p.BasisOf()
	return true
}

// gramsOf is the amount of a line in grams, as it stands or beside its share.
func (d *doc) gramsOf(l *formulation.Line) (string, bool) {
	switch {
	case l.Amount == nil || l.Unit == nil || l.QS != nil:
		return "", false
	case *l.Unit == "g":
		return *l.Amount, true
	}
	found := d.Amounts(dose.Plain(l.AlsoPrinted))
	if i := slices.IndexFunc(found, func(a terms.Found) bool { return a.Amount.Unit == "g" }); i >= 0 &&
		len(found) == 1 {
		return found[i].Amount.Value, true
	}
	return "", false
}
