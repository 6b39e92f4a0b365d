package checks

import (
	"strconv"
	"strings"

	"gallipot/dossier/transcribe/dose"
	"gallipot/dossier/transcribe/figure"
	"gallipot/dossier/transcribe/formulation"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/recipe/terms"
	"gallipot/ingredients/exact"
)

// lineFindings says of each open line what is open.
func (d *checker) lineFindings(p *formulation.Product) {
	var noMass []string
	parts := false
	for _, l := range p.Lines() {
		if !l.Struck && l.Ask == "" && d.stopped(l.Note) {
			l.Ask = formulation.Sentence("line-stopped", "note", l.Note)
			p.Say("stopped", "name", l.Name, "note", l.Note)
		}
		if l.Struck {
			p.Say("struck", "name", l.Name, "where", l.Where)
			continue
		}
		switch {
		case l.QS != nil && *l.QS == string(dose.ToPH):
			p.Say("to-ph", "name", l.Name)
			p.Say("ask-to-ph", "name", l.Name, "about", formulation.AboutText(l))
			if l.High != nil {
				p.Say("to-ph-bound", "name", l.Name, "high", *l.High)
			}
			if v := terms.PHIn(l.Note); v != "" {
				p.SetPH(v)
			}
			if l.Ask == "" {
				l.Ask = formulation.Sentence("line-to-ph", "about", formulation.AboutText(l))
			}
		case l.QS != nil && *l.QS == string(dose.AsNeeded) && !l.Open:
			p.Say("as-needed", "name", l.Name, "printed", l.Printed)
		case l.QS != nil:
		case l.Low != nil && l.High != nil:
			p.Say("range", "name", l.Name, "printed", l.Printed)
		case l.Low != nil || l.High != nil:
			p.Say("bound", "name", l.Name, "printed", l.Printed)
		case l.Unit != nil && !formulation.IsMass(*l.Unit) && l.Amount != nil:
			noMass = append(noMass, l.Name)
			p.Say("ask-mass", "name", l.Name, "amount", *l.Amount, "unit", *l.Unit)
		case l.Amount == nil:
			p.Say("no-amount", "name", l.Name, "printed", l.AlsoPrinted+l.Printed)
		case l.Ask != "" && !l.After100:
			p.Say("not-exact", "name", l.Name, "printed", l.Printed)
		}
		parts = parts || l.Unit != nil && *l.Unit == "parts"
	}
	if len(noMass) > 0 {
		p.Say("no-mass", "names", listed(noMass))
	}
	if parts {
		p.Say("parts-volume")
		p.Say("parts")
	}
	var after []string
	for _, l := range p.Lines() {
		if l.After100 {
			after = append(after, l.Name)
		}
	}
	if len(after) > 0 {
		p.Say("after-100", "names", listed(after))
	}
}

// sentences asks about lines of which a sentence beside the formula says another
// figure or a change: "ps: xanthan 0.3, not 0.4".
func (d *checker) sentences(p *formulation.Product) {
	for _, t := range p.Sentences {
		f := lexicon.Fold(t)
		if len(d.Amounts(dose.Plain(t))) == 0 && !d.Holds("formula word", "change", f) {
			continue
		}
		for _, l := range p.Lines() {
			name := lexicon.Fold(terms.WithoutBraces(l.Name))
			first, _, _ := strings.Cut(name, " ")
			whole := strings.Contains(" "+f+" ", " "+name+" ")
			part := len(first) > 4 && !d.Is("formula word", "water", first) &&
				strings.Contains(" "+f+" ", " "+first+" ") && d.Holds("formula word", "change", f)
			if name != "" && (whole || part) && l.Ask == "" && l.Counted() {
				l.Ask = formulation.Sentence("line-sentence", "text", t)
				p.Say("sentence", "name", l.Name, "text", t)
			}
		}
	}
}

// stopped says whether a remark says that a line is no longer in use.
func (d *checker) stopped(note string) bool {
	return d.Holds("formula word", "stopped", lexicon.Fold(note))
}

// hidden says which lines stand in hidden rows, and what the rest is with and
// without them.
func (d *checker) hidden(p *formulation.Product) {
	for _, l := range p.Lines() {
		if !l.Hidden || l.Struck {
			continue
		}
		p.Say("hidden-line", "where", l.Where, "name", l.Name, "printed", l.Printed)
		fixed := p.Fixed(nil)
		if l.Amount != nil && p.Basis == "percent" && p.HasRest() {
			with := exact.Int(100).Sub(fixed)
			p.Say("hidden-rest", "name", l.Name, "with", with.Exact(), "without",
				with.Add(figure.Sum(*l.Amount)).Exact())
		} else {
			p.Say("ask-hidden", "name", l.Name, "where", l.Where)
		}
	}
}

// twice says which materials stand in several lines.
func (d *checker) twice(p *formulation.Product) {
	byName := map[string][]*formulation.Line{}
	var order []string
	for _, l := range p.Lines() {
		if !l.Counted() {
			continue
		}
		k := lexicon.Fold(l.Name)
		if byName[k] == nil {
			order = append(order, k)
		}
		byName[k] = append(byName[k], l)
	}
	for _, k := range order {
		ls := byName[k]
		if len(ls) < 2 || sameVariants(ls) {
			continue
		}
		var amounts []string
		var sum exact.Num
		for _, l := range ls {
			amounts = append(amounts,
				strings.TrimSpace(formulation.ValueOf(l.Amount)+" "+formulation.ValueOf(l.Unit)))
			sum = sum.Add(figure.Sum(formulation.ValueOf(l.Amount)))
		}
		p.Say("twice", "name", ls[0].Name, "times", strconv.Itoa(len(ls)), "amounts",
			strings.Join(amounts, " and "))
		p.Say("ask-twice", "name", ls[0].Name, "times", strconv.Itoa(len(ls)), "sum",
			strings.TrimSpace(sum.Exact()+" "+formulation.ValueOf(ls[0].Unit)))
	}
}
