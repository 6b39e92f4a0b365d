package tabular

import (
	"slices"
	"strings"

	"gallipot/dossier/transcribe/dose"
	"gallipot/dossier/transcribe/formulation"
	"gallipot/dossier/transcribe/recipe/columns"
	"gallipot/dossier/transcribe/recipe/raw"
	"gallipot/dossier/transcribe/recipe/terms"
)

// build makes the phases and lines of the product from what was read.
func (b *body) build() {
	ch := b.choose()
	b.fractions(&ch)
	b.compare(&ch)
	if ch.primary.Share && ch.ask == "" {
		ch.ask = "share"
	}
	if ch.ask != "" {
		b.p.Say(ch.ask)
	}
	if ch.primary.Share || slices.ContainsFunc(ch.others, func(s stats) bool { return s.Share }) {
		b.p.Say("share-of-part")
	}
	var lines [][]formulation.Line
	for range b.parts {
		lines = append(lines, nil)
	}
	if len(ch.phases) > 0 {
		b.parts, lines = nil, nil
		for _, s := range ch.phases {
			h, _ := b.d.PhaseOf(s.base)
			b.parts = append(b.parts, part{Heading: h})
			lines = append(lines, nil)
		}
	}
	for _, v := range ch.variants {
		b.p.Variants = append(b.p.Variants, formulation.Variant{Name: v.base, Fill: map[string]string{}})
	}
	for _, e := range b.entries {
		at := e.phase
		for i, s := range ch.phases {
			if _, ok := e.amounts[s.Col]; ok {
				at = i
			}
		}
		for _, l := range b.linesOf(e, &ch) {
			if ch.ask != "" && l.Ask == "" {
				l.Ask = formulation.Sentence("line-" + ch.ask)
			}
			lines[min(at, len(lines)-1)] = append(lines[min(at, len(lines)-1)], l)
		}
	}
	for i, h := range b.parts {
		if len(lines[i]) == 0 {
			if h.ID != "" {
				b.p.Notes = append(b.p.Notes, strings.TrimSpace(h.ID+" "+h.Name))
			}
			continue
		}
		b.p.Phases = append(b.p.Phases, terms.PhaseFrom(h.Heading, lines[i]))
		b.checkSubtotal(h, ch.primary)
	}
	b.batchOf(ch)
	b.stated(ch)
	b.basis(ch)
}

// linesOf makes the line or, where variants differ, the lines of a row.
func (b *body) linesOf(e *entry, ch *choice) []formulation.Line {
	if len(ch.variants) > 0 {
		return b.variantLines(e, ch)
	}
	cols := append([]stats{ch.primary}, ch.others...)
	if len(ch.phases) > 0 {
		cols = ch.phases
	}
	l := e.line
	l.Where = e.row.Place(ch.primary.Col)
	taken := -1
	for i, s := range cols {
		if a, ok := e.amounts[s.Col]; ok && (!s.Share || i == 0) && a.Doubt != dose.Words {
			b.take(&l, a, s, e)
			l.Where = e.row.Place(s.Col)
			taken = i
			break
		}
	}
	var also []string
	for i, s := range cols {
		if a, ok := e.amounts[s.Col]; ok && i != taken {
			also = append(also, alsoText(a, s))
		}
	}
	l.AlsoPrinted = strings.Join(also, "; ")
	if taken < 0 {
		l.Where = e.row.Place(b.columns[columns.IsName])
		if len(also) > 0 {
			b.wordsFor(&l, e, cols)
		}
		if l.QS == nil {
			code := "line-no-amount"
			for _, s := range cols {
				if e.row.At(s.Col).Struck != "" && !l.Struck {
					code = "line-crossed-out"
				}
			}
			l.Ask = formulation.Sentence(code, "printed", l.AlsoPrinted)
		}
	}
	return []formulation.Line{l}
}

// wordsFor reads words in the place of an amount.
func (b *body) wordsFor(l *formulation.Line, e *entry, cols []stats) {
	for _, s := range cols {
		if a, ok := e.amounts[s.Col]; ok && a.QS != "" {
			b.take(l, a, s, e)
			return
		}
	}
}

// alsoText is an amount that stands beside the one that is read.
func alsoText(a dose.Amount, s stats) string {
	t := raw.OneLine(a.Printed)
	switch {
	case a.Unit == "" && s.Unit != "" && a.Figured() && s.Share:
		t += " " + s.Head
	case a.Unit == "" && s.Unit != "" && a.Figured():
		t += " " + s.Unit
	}
	if s.Batch != "" && s.base == "" {
		t += " for " + s.Batch
	} else if s.base != "" && !s.Share {
		t += " (" + s.Head + ")"
	}
	return strings.TrimSpace(t)
}

// take puts an amount on a line.
func (b *body) take(l *formulation.Line, a dose.Amount, s stats, e *entry) {
	unit := a.Unit
	if unit == "" {
		unit = e.unit
	}
	if unit == "" {
		unit = s.Unit
	}
	remark := ""
	for _, n := range b.notes {
		if t := e.row.At(n).Text; t != "" {
			remark = t
			if b.d.Dose.MeansPH(t) || b.d.Dose.MeansRest(t) {
				break
			}
		}
	}
	l.Take(b.d.Dose, a, unit, remark)
	if e.after && l.Amount != nil {
		l.After100 = true
	}
}

// variantLines makes the lines of a row whose amounts differ by variant.
func (b *body) variantLines(e *entry, ch *choice) []formulation.Line {
	type filled struct {
		a     dose.Amount
		s     stats
		names []string
	}
	var groups []*filled
	n := 0
	for _, s := range ch.variants {
		a, ok := e.amounts[s.Col]
		if !ok || a.Doubt == dose.Zero {
			continue
		}
		n++
		i := slices.IndexFunc(groups, func(g *filled) bool {
			return g.a.Value == a.Value && g.a.Unit == a.Unit && g.a.QS == a.QS && g.a.Low == a.Low &&
				g.a.High == a.High && g.a.ToMass == a.ToMass
		})
		if i >= 0 {
			groups[i].names = append(groups[i].names, s.base)
			continue
		}
		groups = append(groups, &filled{a, s, []string{s.base}})
	}
	var out []formulation.Line
	for _, g := range groups {
		l := e.line
		l.Where = e.row.Place(g.s.Col)
		b.take(&l, g.a, g.s, e)
		if n < len(ch.variants) || len(groups) > 1 {
			l.Variants = g.names
		}
		var also []string
		for _, s := range ch.others {
			if a, ok := e.amounts[s.Col]; ok {
				also = append(also, alsoText(a, s))
			}
		}
		l.AlsoPrinted = strings.Join(also, "; ")
		out = append(out, l)
	}
	if len(groups) == 0 {
		for _, s := range ch.others {
			if a, ok := e.amounts[s.Col]; ok {
				l := e.line
				b.take(&l, a, s, e)
				l.Where = e.row.Place(s.Col)
				return []formulation.Line{l}
			}
		}
		l := e.line
		l.Where = e.row.Place(b.columns[columns.IsName])
		l.Ask = formulation.Sentence("line-no-amount", "printed", "")
		out = append(out, l)
	}
	return out
}
