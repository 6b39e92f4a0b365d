package recipe

import (
	"slices"
	"strings"

	"gallipot/dossier/transcribe/dose"
	"gallipot/ingredients/exact"
)

// build makes the phases and lines of the product from what was read.
func (b *body) build() {
	ch := b.choose()
	b.fractions(&ch)
	b.compare(&ch)
	if ch.primary.share && ch.ask == "" {
		ch.ask = "share"
	}
	if ch.ask != "" {
		b.p.say(ch.ask)
	}
	if ch.primary.share || slices.ContainsFunc(ch.others, func(s stats) bool { return s.share }) {
		b.p.say("share-of-part")
	}
	var lines [][]Line
	for range b.parts {
		lines = append(lines, nil)
	}
	if len(ch.phases) > 0 {
		b.parts, lines = nil, nil
		for _, s := range ch.phases {
			h, _ := b.d.phaseOf(s.base)
			b.parts = append(b.parts, part{heading: h})
			lines = append(lines, nil)
		}
	}
	for _, v := range ch.variants {
		b.p.Variants = append(b.p.Variants, Variant{Name: v.base, Fill: map[string]string{}})
	}
	for _, e := range b.entries {
		at := e.phase
		for i, s := range ch.phases {
			if _, ok := e.amounts[s.col]; ok {
				at = i
			}
		}
		for _, l := range b.linesOf(e, &ch) {
			if ch.ask != "" && l.Ask == "" {
				l.Ask = say("line-" + ch.ask).text()
			}
			lines[min(at, len(lines)-1)] = append(lines[min(at, len(lines)-1)], l)
		}
	}
	for i, h := range b.parts {
		if len(lines[i]) == 0 {
			if h.id != "" {
				b.p.Notes = append(b.p.Notes, strings.TrimSpace(h.id+" "+h.name))
			}
			continue
		}
		b.p.Phases = append(b.p.Phases, phaseFrom(h.heading, lines[i]))
		b.checkSubtotal(h, ch.primary)
	}
	b.batchOf(ch)
	b.stated(ch)
	b.basis(ch)
}

func phaseFrom(h heading, lines []Line) Phase {
	p := Phase{ID: h.id, HeatC: h.heat, Note: h.note, Lines: lines}
	if h.name != "" {
		p.Name = text(h.name)
	}
	if p.ID == "" {
		p.ID = "A"
	}
	return p
}

// linesOf makes the line or, where variants differ, the lines of a row.
func (b *body) linesOf(e *entry, ch *choice) []Line {
	if len(ch.variants) > 0 {
		return b.variantLines(e, ch)
	}
	cols := append([]stats{ch.primary}, ch.others...)
	if len(ch.phases) > 0 {
		cols = ch.phases
	}
	l := e.line
	l.Where = e.row.place(ch.primary.col)
	taken := -1
	for i, s := range cols {
		if a, ok := e.amounts[s.col]; ok && (!s.share || i == 0) && a.Doubt != dose.Words {
			b.take(&l, a, s, e)
			l.Where = e.row.place(s.col)
			taken = i
			break
		}
	}
	var also []string
	for i, s := range cols {
		if a, ok := e.amounts[s.col]; ok && i != taken {
			also = append(also, alsoText(a, s))
		}
	}
	l.AlsoPrinted = strings.Join(also, "; ")
	if taken < 0 {
		l.Where = e.row.place(b.columns[isName])
		if len(also) > 0 {
			b.wordsFor(&l, e, cols)
		}
		if l.QS == nil {
			code := "line-no-amount"
			for _, s := range cols {
				if e.row.at(s.col).struck != "" && !l.Struck {
					code = "line-crossed-out"
				}
			}
			l.Ask = say(code, "printed", l.AlsoPrinted).text()
		}
	}
	return []Line{l}
}

// wordsFor reads words in the place of an amount.
func (b *body) wordsFor(l *Line, e *entry, cols []stats) {
	for _, s := range cols {
		if a, ok := e.amounts[s.col]; ok && a.QS != "" {
			b.take(l, a, s, e)
			return
		}
	}
}

func alsoText(a dose.Amount, s stats) string {
	t := oneLine(a.Printed)
	switch {
	case a.Unit == "" && s.unit != "" && a.Figured() && s.share:
		t += " " + s.head
	case a.Unit == "" && s.unit != "" && a.Figured():
		t += " " + s.unit
	}
	if s.batch != "" {
		t += " for " + s.batch
	} else if s.base != "" && !s.share {
		t += " (" + s.head + ")"
	}
	return strings.TrimSpace(t)
}

// take puts an amount on a line.
func (b *body) take(l *Line, a dose.Amount, s stats, e *entry) {
	unit := a.Unit
	if unit == "" {
		unit = e.unit
	}
	if unit == "" {
		unit = s.unit
	}
	remark := ""
	for _, n := range b.notes {
		if t := e.row.at(n).text; t != "" {
			remark = t
			if b.d.dose.MeansPH(t) || b.d.dose.MeansRest(t) {
				break
			}
		}
	}
	b.d.put(l, a, unit, remark)
	if e.after && l.Amount != nil {
		l.After100 = true
	}
}

// put puts an amount with its unit on a line; remark is what stands beside it.
func (d *doc) put(l *Line, a dose.Amount, unit, remark string) {
	l.printed = a.Printed
	if unit != "" {
		l.Unit = text(unit)
	}
	if a.Value != "" {
		l.Amount = text(a.Value)
	}
	if a.Low != "" {
		l.Low = text(a.Low)
	}
	if a.High != "" {
		l.High = text(a.High)
	}
	qs := a.QS
	l.About = a.Around
	if l.Amount == nil && qs != dose.ToPH && d.dose.MeansPH(remark) {
		qs = dose.ToPH
	}
	if qs == dose.Open && d.dose.MeansRest(remark) {
		qs = dose.To100
	}
	if l.About == "" && qs != "" {
		l.About = dose.AroundIn(remark)
	}
	if a.Note != "" && !strings.Contains(l.Note, a.Note) {
		l.Note = strings.Trim(a.Note+"; "+l.Note, "; ")
	}
	l.ToMass = a.ToMass
	switch qs {
	case "":
	case dose.Open:
		l.open = true
		l.QS = text(string(dose.AsNeeded))
	default:
		l.QS = text(string(qs))
	}
	if l.QS != nil && a.ToMass != "" {
		if _, u, ok := strings.Cut(a.ToMass, " "); ok && l.Unit == nil {
			l.Unit = text(u)
		}
	}
	d.askLine(l, a, unit)
}

// askLine says why a line is open.
func (d *doc) askLine(l *Line, a dose.Amount, unit string) {
	switch {
	case l.QS != nil && *l.QS == string(dose.ToPH):
		l.Ask = say("line-to-ph", "about", aboutText(l)).text()
	case l.QS != nil:
	case a.Doubt == dose.Words:
		l.Ask = say("line-words", "printed", oneLine(a.Printed)).text()
	case a.Doubt != "":
		l.Ask = say("line-"+string(a.Doubt), "printed", oneLine(a.Printed), "low", a.Low, "high", a.High,
			"unit", unit).text()
	case unit != "" && !massy(unit):
		l.Ask = say("line-no-mass", "printed", a.Value+" "+unit).text()
	}
}

func aboutText(l *Line) string {
	switch {
	case l.About != "":
		return "about " + l.About
	case l.High != nil:
		return "up to " + *l.High
	}
	return "as much as it took"
}

// variantLines makes the lines of a row whose amounts differ by variant.
func (b *body) variantLines(e *entry, ch *choice) []Line {
	type filled struct {
		a     dose.Amount
		s     stats
		names []string
	}
	var groups []*filled
	n := 0
	for _, s := range ch.variants {
		a, ok := e.amounts[s.col]
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
	var out []Line
	for _, g := range groups {
		l := e.line
		l.Where = e.row.place(g.s.col)
		b.take(&l, g.a, g.s, e)
		if n < len(ch.variants) || len(groups) > 1 {
			l.Variants = g.names
		}
		var also []string
		for _, s := range ch.others {
			if a, ok := e.amounts[s.col]; ok {
				also = append(also, alsoText(a, s))
			}
		}
		l.AlsoPrinted = strings.Join(also, "; ")
		out = append(out, l)
	}
	if len(groups) == 0 {
		for _, s := range ch.others {
			if a, ok := e.amounts[s.col]; ok {
				l := e.line
				b.take(&l, a, s, e)
				l.Where = e.row.place(s.col)
				return []Line{l}
			}
		}
		l := e.line
		l.Where = e.row.place(b.columns[isName])
		l.Ask = say("line-no-amount", "printed", "").text()
		out = append(out, l)
	}
	return out
}

// fractions turns shares of 1 into per cent where the column sums to 1.
func (b *body) fractions(ch *choice) {
	cols := []*stats{&ch.primary}
	for i := range ch.variants {
		cols = append(cols, &ch.variants[i])
	}
	for _, s := range cols {
		if s.unit != "%" && s.unit != "" || s.ownUnits > 0 || s.filled < 2 ||
			exact.Int(1).Add(num("0.006")).Less(s.sum) {
			continue
		}
		if near(s.sum, exact.Int(1), num("0.0051")) && !s.rest {
			hundred := exact.Int(100)
			for _, e := range b.entries {
				if a, ok := e.amounts[s.col]; ok {
					for _, v := range []*string{&a.Value, &a.Low, &a.High} {
						if *v != "" {
							*v = num(*v).Mul(hundred).Exact()
						}
					}
					e.amounts[s.col] = a
				}
			}
			for i := range b.totals {
				if a, ok := b.totals[i].amounts[s.col]; ok && a.Value != "" {
					a.Value = num(a.Value).Mul(hundred).Exact()
					b.totals[i].amounts[s.col] = a
				}
			}
			s.sum, s.unit = s.sum.Mul(hundred), "%"
			b.p.say("shares-of-one", "head", s.head)
		} else if s.rest && s.sum.Less(exact.Int(1)) && s.filled > 2 {
			ch.ask = "shares"
		}
	}
}

// compare looks whether grams and per cents of the same lines agree.
func (b *body) compare(ch *choice) {
	if ch.primary.unit != "%" || ch.primary.share || len(ch.variants) > 0 {
		return
	}
	for _, s := range ch.others {
		if s.unit != "g" && s.batch == "" || s.share {
			continue
		}
		scale := b.scale(ch.primary, s)
		if scale.Sign() <= 0 {
			continue
		}
		for _, e := range b.entries {
			x, ok1 := e.amounts[ch.primary.col]
			y, ok2 := e.amounts[s.col]
			if !ok1 || !ok2 || x.Value == "" || y.Value == "" || x.Unit != "" && x.Unit != "%" {
				continue
			}
			want := num(x.Value).Mul(scale)
			slack := halfStep(y.Value).Add(halfStep(x.Value).Mul(scale)).Mul(num("1.02"))
			if !near(want, num(y.Value), slack) {
				x.Doubt, x.Note = dose.Changed, strings.Trim(x.Note+"; the grams beside it say "+y.Printed, "; ")
				e.amounts[ch.primary.col] = x
				b.p.say("columns-differ", "name", e.line.Name, "one", x.Printed, "other", alsoText(y, s))
			}
		}
	}
}

// scale is how many grams one per cent is in a column: by the batch its head
// names, otherwise by the middle one of its lines.
func (b *body) scale(pct, mass stats) exact.Num {
	var ratios []exact.Num
	for _, e := range b.entries {
		x, ok1 := e.amounts[pct.col]
		y, ok2 := e.amounts[mass.col]
		if ok1 && ok2 && x.Value != "" && y.Value != "" && num(x.Value).Sign() > 0 {
			ratios = append(ratios, num(y.Value).Quo(num(x.Value)))
		}
	}
	if len(ratios) < 3 {
		return exact.Num{}
	}
	slices.SortFunc(ratios, exact.Num.Cmp)
	return ratios[len(ratios)/2]
}
