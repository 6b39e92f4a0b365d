package running

import (
	"slices"
	"strings"

	"gallipot/dossier/transcribe/dose"
	"gallipot/dossier/transcribe/figure"
	"gallipot/dossier/transcribe/formulation"
	"gallipot/dossier/transcribe/recipe/raw"
	"gallipot/dossier/transcribe/recipe/terms"
	"gallipot/ingredients/exact"
)

// Product makes a product of a block of text.
func (d *Reader) Product(b Block) *formulation.Product {
	p := &formulation.Product{}
	unit := d.listUnit(b)
	twins := d.twins(b)
	after, varies := false, false
	first, last := span(b.Items)
	var sum exact.Num
	for i := range b.Items {
		it := &b.Items[i]
		if it.head != nil {
			after, varies = it.head.After, it.head.Variant != ""
			d.openPhase(p, *it.head)
			it.Used = true
			continue
		}
		if it.isSum {
			it.Used = it.behind == ""
			if it.total != "" {
				d.textTotal(p, *it, b.Items[i+1:], unit, sum)
			}
			continue
		}
		if i > first && i < last && d.bareMaterial(b.Items, i) {
			it.Lines = []Line{{Name: BareText(it.text), amount: dose.Amount{None: true}}}
		}
		for _, l := range it.Lines {
			it.Used = true
			if l.phase != nil {
				d.openPhase(p, *l.phase)
			}
			if len(p.Phases) == 0 {
				p.Phases = []formulation.Phase{{ID: "A"}}
			}
			line := d.lineOf(l, it.Row, unit, twins)
			if varies {
				d.asVariant(p, &line)
			}
			if after && line.Amount != nil {
				line.After100 = true
			}
			sum = sum.Add(figure.Sum(formulation.ValueOf(line.Amount)))
			ph := &p.Phases[len(p.Phases)-1]
			ph.Lines = append(ph.Lines, line)
		}
	}
	p.Phases = slices.DeleteFunc(p.Phases, func(ph formulation.Phase) bool {
		if len(ph.Lines) == 0 {
			p.Notes = append(p.Notes, strings.TrimSpace(ph.ID+" "+formulation.ValueOf(ph.Name)))
		}
		return len(ph.Lines) == 0
	})
	p.BasisOf()
	return p
}

// span gives the first and the last item that is a line.
func span(items []Item) (first, last int) {
	first = len(items)
	for i, it := range items {
		if len(it.Lines) > 0 {
			first, last = min(first, i), i
		}
	}
	return first, last
}

// bareMaterial says whether a text between lines of a list is one without an
// amount: short, no sentence, and written like its neighbours.
func (d *Reader) bareMaterial(items []Item, i int) bool {
	it := items[i]
	name := BareText(it.text)
	if len(it.Lines) > 0 || it.head != nil || it.isSum || len(strings.Fields(name)) > 6 ||
		strings.HasSuffix(name, ".") || strings.HasSuffix(name, "!") || strings.HasSuffix(name, ":") ||
		strings.HasPrefix(name, "(") || !d.isMaterial(name) || it.Row.Gap && items[i+1].Row.Gap {
		return false
	}
	like := func(j int) bool {
		return j >= 0 && j < len(items) && len(items[j].Lines) > 0 &&
			bullet.MatchString(items[j].text) == bullet.MatchString(it.text)
	}
	return like(i-1) || like(i+1)
}

// asVariant makes a line one of a variant: "Rose: rose fragrance 0.6 %".
func (d *Reader) asVariant(p *formulation.Product, l *formulation.Line) {
	variant, name, ok := strings.Cut(l.Name, ":")
	if !ok {
		variant, name = l.Name, l.Name
	}
	variant, l.Name = strings.TrimSpace(variant), strings.TrimSpace(name)
	l.Variants = []string{variant}
	if !slices.ContainsFunc(p.Variants, func(v formulation.Variant) bool { return v.Name == variant }) {
		p.Variants = append(p.Variants, formulation.Variant{Name: variant, Fill: map[string]string{}})
	}
}

// openPhase begins a phase, or carries on one that was begun.
func (d *Reader) openPhase(p *formulation.Product, h terms.Heading) {
	for i := range p.Phases {
		if p.Phases[i].ID == h.ID {
			ph := p.Phases[i]
			p.Phases = append(slices.Delete(p.Phases, i, i+1), ph)
			return
		}
	}
	p.Phases = append(p.Phases, terms.PhaseFrom(h, nil))
}

// textTotal takes a total line; a sub-total is one below which lines of the same
// formula follow.
func (d *Reader) textTotal(p *formulation.Product, it Item, below []Item, unit string, sum exact.Num) {
	value, u, _ := strings.Cut(it.total, " ")
	if u == "" {
		u = unit
	}
	more := slices.ContainsFunc(below, func(x Item) bool { return len(x.Lines) > 0 })
	if more && value != "100" {
		return
	}
	p.Total.Stated = formulation.Value(strings.TrimSpace(value + " " + u))
	if more {
		for i := range below {
			for j := range below[i].Lines {
				below[i].Lines[j].amount.Note = strings.TrimSpace(below[i].Lines[j].amount.Note)
				l := &below[i].Lines[j]
				l.note, l.below = strings.Trim(l.note+"; "+formulation.Sentence("note-below"), "; "), true
			}
		}
	}
}

// listUnit is the unit of the lines of a list that print none: the one that the
// title names, or the only one that other lines have.
func (d *Reader) listUnit(b Block) string {
	for _, t := range b.Title {
		if u := d.UnitInTitle(t.text); u != "" {
			return u
		}
	}
	units := map[string]int{}
	for _, it := range b.Items {
		for _, l := range it.Lines {
			if formulation.IsMass(l.amount.Unit) {
				units[l.amount.Unit]++
			}
		}
	}
	if len(units) == 1 {
		for u := range units {
			return u
		}
	}
	return ""
}

// twins says whether the lines of a list print two amounts side by side.
func (d *Reader) twins(b Block) bool {
	twins, n := 0, 0
	for _, it := range b.Items {
		for _, l := range it.Lines {
			n++
			if l.twin != nil {
				twins++
			}
		}
	}
	return twins*2 > n
}

// lineOf makes a line of the formula.
func (d *Reader) lineOf(l Line, r raw.Row, unit string, twins bool) formulation.Line {
	if l.twin != nil && !twins { // the first figure is a strength in the name
		l.Name, l.amount, l.also = l.twin.Name, l.twin.amount, ""
	}
	out := formulation.Line{Name: l.Name, Note: l.note, AlsoPrinted: l.also, Struck: l.struck,
		Hidden: r.Hidden,
		Where:  r.Place(0)}
	u := l.amount.Unit
	if u == "" {
		u = unit
	}
	if l.amount.None || l.amount.Doubt == dose.Words && l.amount.Printed == "" {
		out.Ask = formulation.Sentence("line-no-amount", "printed", "")
		return out
	}
	out.Take(d.Dose, l.amount, u, l.note)
	if l.below && out.Amount != nil {
		out.After100 = true
		if out.Ask == "" {
			out.Ask = formulation.Sentence("line-below-total")
		}
	}
	return out
}
