package tabular

import (
	"slices"
	"strings"

	"gallipot/dossier/transcribe/dose"
	"gallipot/dossier/transcribe/figure"
	"gallipot/dossier/transcribe/formulation"
	"gallipot/ingredients/exact"
)

// basis says in which unit the formula is written.
func (b *body) basis(ch choice) { b.p.BasisOf() }

// batchOf takes the batch that the heads of columns name.
func (b *body) batchOf(ch choice) {
	var sizes []string
	for _, s := range append([]stats{ch.primary}, ch.others...) {
		if s.Batch == "" {
			continue
		}
		size := s.Batch
		if !strings.ContainsAny(size, "gkml") && s.Unit != "" {
			size += " " + s.Unit
		}
		if !slices.Contains(sizes, size) {
			sizes = append(sizes, size)
		}
	}
	b.p.Batch = strings.Join(sizes, ", ")
}

// stated takes the total that the document states, and what stands below it.
func (b *body) stated(ch choice) {
	cols := append([]stats{ch.primary}, ch.others...)
	if len(ch.variants) > 0 {
		cols = ch.variants
	}
	for i := len(b.totals) - 1; i >= 0; i-- {
		t := b.totals[i]
		if b.isSubtotal(i) {
			b.p.Notes = append(b.p.Notes, formulation.Sentence("note-subtotal", "text", t.text))
			continue
		}
		var parts []string
		for _, s := range cols {
			a, ok := t.amounts[s.Col]
			if !ok || !a.Figured() {
				continue
			}
			unit := a.Unit
			if unit == "" {
				unit = s.Unit
			}
			part := strings.TrimSpace(a.Value + " " + unit)
			if len(ch.variants) > 0 {
				part = s.base + " " + part
			}
			parts = append(parts, part)
			if len(ch.variants) > 0 {
				b.checkVariantTotal(s, a)
				continue
			}
			b.checkTotal(s, t, a, unit)
		}
		if len(parts) > 0 {
			b.p.Total.Stated = formulation.Value(strings.Join(parts, ", "))
		}
		b.below(t, ch)
		for _, before := range b.totals[:i] {
			b.p.Notes = append(b.p.Notes, formulation.Sentence("note-subtotal", "text", before.text))
		}
		return
	}
}

// isSubtotal says whether a total row sums only a part: a later total is no less,
// and its name has a phase in it or its figure is not the sum of all above.
func (b *body) isSubtotal(i int) bool {
	t := b.totals[i]
	if i == len(b.totals)-1 && t.entries == len(b.entries) {
		return false
	}
	for col, a := range t.amounts {
		if a.Value == "" {
			continue
		}
		v := figure.Sum(a.Value)
		all := dosesOf(b.entries[:t.entries], col)
		if strings.HasPrefix(a.Printed, "100") && v.Equal(exact.Int(100)) &&
			figure.Near(all, v, figure.Sum("1.01")) {
			return false
		}
		if i < len(b.totals)-1 {
			return true
		}
		return !v.Equal(exact.Int(100))
	}
	return i < len(b.totals)-1
}

// below marks lines that stand under a total of 100: they are added on top.
func (b *body) below(t totalRow, ch choice) {
	if t.entries == len(b.entries) {
		return
	}
	for _, e := range b.entries[t.entries:] {
		for _, l := range b.p.Lines() {
			if l.Where == e.row.Place(ch.primary.Col) && l.Name == e.line.Name && l.Amount != nil &&
				!l.After100 {
				l.After100 = true
				if l.Ask == "" {
					l.Ask = formulation.Sentence("line-below-total")
				}
			}
		}
	}
}

// checkTotal compares a stated total with the lines above it.
func (b *body) checkTotal(s stats, t totalRow, a dose.Amount, unit string) {
	if a.Value == "" || s.rest || s.Share {
		return
	}
	sum, without := exact.Num{}, false
	for _, e := range b.entries[:t.entries] {
		x, ok := e.amounts[s.Col]
		switch {
		case !ok || e.line.Struck:
		case x.Value != "" && (x.Unit == "" || x.Unit == unit || unit == ""):
			sum = sum.Add(figure.Sum(x.Value))
		default:
			without = true
		}
	}
	if !figure.Near(sum, figure.Sum(a.Value), figure.HalfStep(a.Value).Add(figure.Sum("0.0001"))) {
		code := "total-differs"
		if without {
			code = "total-differs-without"
		}
		b.p.Say(code, "stated", strings.TrimSpace(a.Value+" "+unit), "sum",
			strings.TrimSpace(sum.Exact()+" "+unit), "where", t.where)
	}
}

func (b *body) checkVariantTotal(s stats, a dose.Amount) {
	sum := dosesOf(b.entries, s.Col)
	if a.Value != "" && !s.rest && !figure.Near(sum, figure.Sum(a.Value), figure.HalfStep(a.Value)) {
		b.p.Say("variant-total", "variant", s.base, "stated", a.Value, "sum", sum.Exact())
	}
}

// checkSubtotal looks whether the figure beside the heading of a phase is the sum
// of its lines.
func (b *body) checkSubtotal(h part, s stats) {
	a, ok := h.subtotal[s.Col]
	if !ok || a.Value == "" || len(b.p.Phases) == 0 {
		return
	}
	var sum exact.Num
	for _, l := range b.p.Phases[len(b.p.Phases)-1].Lines {
		sum = sum.Add(figure.Sum(formulation.ValueOf(l.Amount)))
	}
	if !figure.Near(sum, figure.Sum(a.Value), figure.HalfStep(a.Value).Add(figure.Sum("0.0001"))) {
		b.p.Say("heading-amount", "name", h.ID+" "+h.Name, "printed", a.Printed, "sum", sum.Exact())
	}
}
