package tabular

import (
	"slices"
	"strings"

	"gallipot/dossier/transcribe/dose"
	"gallipot/dossier/transcribe/figure"
	"gallipot/dossier/transcribe/formulation"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/recipe/columns"
	"gallipot/dossier/transcribe/recipe/raw"
	"gallipot/dossier/transcribe/recipe/terms"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/pattern"
)

var lineCode = pattern.New(`^[A-H]\d{1,2}$`)

// open begins a phase, or carries on one that was begun.
func (b *body) open(h terms.Heading) {
	for i := range b.parts {
		if b.parts[i].ID == h.ID && h.ID != "" && b.parts[i].After == h.After {
			b.parts = append(b.parts[:i:i], append(b.parts[i+1:], b.parts[i])...)
			for _, e := range b.entries {
				switch {
				case e.phase == i:
					e.phase = len(b.parts) - 1
				case e.phase > i:
					e.phase--
				}
			}
			return
		}
	}
	b.parts = append(b.parts, part{Heading: h})
}

// row reads one row below the head.
func (b *body) row(r raw.Row, next *raw.Row) {
	cells := r.Filled()
	name := r.At(b.columns[columns.IsName])
	amounts, has := b.amountsOf(r)
	if b.phaseCell(r) {
		return
	}
	first := ""
	for _, c := range cells {
		if c.Text != "" {
			first = c.Text
			break
		}
	}
	if b.d.TotalOf(first) || name.Text != "" && b.d.TotalOf(name.Text) || b.sumsUp(first, amounts, next) {
		b.totals = append(b.totals, totalRow{first, amounts, len(b.entries),
			r.Place(b.columns[columns.IsName]),
			raw.OneLine(r.Text())})
		return
	}
	label := raw.OneLine(name.Text)
	if label == "" && name.Struck == "" {
		b.nameless(r, amounts, has)
		return
	}
	if h, ok := b.d.PhaseOf(label); ok && (!has || strings.Contains(lexicon.Fold(label), "phase") &&
		b.restEmpty(r)) && label != "" {
		b.open(h)
		if has {
			b.parts[len(b.parts)-1].subtotal = amounts
		}
		b.headNotes(r)
		return
	}
	if !has && label != "" && b.standsAlone(r, name, next) {
		return
	}
	b.entry(r, amounts)
}

// sumsUp says whether a row gives what the lines above it hold together: it is named as a total and
// its amount is theirs, or more where no line follows, or it says 100 % where they are 100 %, in
// whatever language.
func (b *body) sumsUp(name string, amounts map[int]dose.Amount, next *raw.Row) bool {
	if len(b.entries) < 2 {
		return false
	}
	ends := next == nil
	if !ends {
		_, more := b.amountsOf(*next)
		ends = !more
	}
	named, last := b.d.TotalNamed(name), 0
	if n := len(b.totals); n > 0 {
		last = b.totals[n-1].entries
	}
	return slices.ContainsFunc(b.t.Cols, func(c columns.Column) bool {
		a, above := amounts[c.Col], dosesOf(b.entries, c.Col)
		if a.Value == "" || above.IsZero() {
			return false
		}
		v := figure.Sum(a.Value)
		return named && (v.Equal(above) || ends && above.Less(v) || v.Equal(dosesOf(b.entries[last:], c.Col))) ||
			!c.Share && (c.Unit == "%" || a.Unit == "%") && v.Equal(exact.Int(100)) && v.Equal(above)
	})
}

func (b *body) restEmpty(r raw.Row) bool {
	return r.At(b.columns[columns.IsINCI]).Text == "" || b.columns[columns.IsINCI] < 0
}

// headNotes keeps what stands beside the heading of a phase.
func (b *body) headNotes(r raw.Row) {
	for _, n := range b.notes {
		if t := r.At(n).Text; t != "" {
			h := &b.parts[len(b.parts)-1]
			if h.Heat == "" {
				h.Heat = terms.HeatOf(t)
			}
			h.Note = strings.TrimSpace(h.Note + " " + raw.OneLine(t))
		}
	}
}

// phaseCell reads the column of phases; it says true where the row is no more.
func (b *body) phaseCell(r raw.Row) bool {
	col := b.columns[columns.IsPhase]
	if col < 0 {
		return false
	}
	c := r.At(col)
	if c.Text == "" || b.d.TotalOf(c.Text) {
		return false
	}
	h, ok := b.d.PhaseOf(c.Text)
	if b.letters && lineCode.MatchString(c.Text) {
		h, ok = terms.Heading{ID: c.Text[:1]}, true
	}
	if !ok {
		h = terms.Heading{ID: raw.OneLine(c.Text), Heat: terms.HeatOf(c.Text)}
		if len(strings.Fields(c.Text)) > 5 && len(r.Filled()) == 1 {
			b.tail = append(b.tail, r)
			return true
		}
	}
	if len(b.parts) == 0 || b.parts[len(b.parts)-1].ID != h.ID {
		b.open(h)
	}
	if t := b.columns[columns.IsHeat]; t >= 0 && b.parts[len(b.parts)-1].Heat == "" {
		b.parts[len(b.parts)-1].Heat = heatFigure(r.At(t).Text)
	}
	return len(r.Filled()) == 1
}

// heatFigure reads a temperature in a column of temperatures.
func heatFigure(s string) string {
	if h := terms.HeatOf(s); h != "" {
		return h
	}
	if t := strings.TrimSpace(s); terms.IsDigits(t) && len(t) == 2 {
		return t
	}
	return ""
}

// amountsOf reads the columns of amounts of a row.
func (b *body) amountsOf(r raw.Row) (map[int]dose.Amount, bool) {
	out, has := map[int]dose.Amount{}, false
	for _, col := range b.doses {
		c := r.At(col)
		a, ok := b.d.Amount(c)
		if c.Text == "" && c.Span <= 1 {
			for _, k := range r.Cells { // a merged cell counts for all it covers
				if k.Col < col && k.Col+k.Span > col && slices.Contains(b.doses, k.Col) {
					a, ok = b.d.Amount(k)
				}
			}
		}
		if !ok {
			a = dose.Amount{Printed: c.Text, Doubt: dose.Words, Note: raw.OneLine(c.Text)}
		}
		if !a.None {
			has = true
			out[col] = a
		}
	}
	return out, has
}

// nameless reads a row that names no material: one under a sum, or what is not
// understood.
func (b *body) nameless(r raw.Row, amounts map[int]dose.Amount, has bool) {
	if i := b.columns[columns.IsINCI]; i >= 0 && r.At(i).Text != "" && has {
		b.entry(r, amounts)
		return
	}
	switch {
	case has && b.sums(amounts):
		b.totals = append(b.totals, totalRow{"", amounts, len(b.entries), r.Place(b.doses[0]),
			raw.OneLine(r.Text())})
	case has:
		b.left = append(b.left, formulation.Place{Where: r.Place(b.doses[0]), Text: r.Text()})
		b.p.Say("nameless-amount", "where", r.Place(b.doses[0]), "text", r.Text())
	default:
		b.tail = append(b.tail, r)
	}
}

// sums says whether an amount is the sum of the lines above it.
func (b *body) sums(amounts map[int]dose.Amount) bool {
	for col, a := range amounts {
		if a.Value == "" {
			continue
		}
		total := dosesOf(b.entries, col)
		if total.Sign() > 0 && figure.Near(total, figure.Sum(a.Value), figure.Sum("0.011")) ||
			a.Value == "100" {
			return true
		}
	}
	return false
}

// standsAlone reads a row of text without amounts that is a heading or a sentence;
// false leaves it to be a line without an amount.
func (b *body) standsAlone(r raw.Row, name raw.Cell, next *raw.Row) bool {
	others := 0
	for _, c := range r.Filled() {
		if c.Col != name.Col {
			others++
		}
	}
	label := raw.OneLine(name.Text)
	words := len(strings.Fields(label))
	if others == 0 && (words > 6 || strings.HasSuffix(label, ".") && words > 3 ||
		strings.HasSuffix(label, "!") || len(b.totals) > 0 && r.Gap || b.d.StartsStep(label)) {
		b.tail = append(b.tail, r)
		return true
	}
	if others > 0 {
		if b.d.IsLabel(label) {
			b.tail = append(b.tail, r)
			return true
		}
		return false
	}
	leads := next != nil && !next.Gap && len(next.Filled()) > 1
	if name.Span > 1 || strings.HasSuffix(label, ":") || r.Gap && leads {
		h := terms.Heading{ID: strings.TrimRight(label, ": "), Heat: terms.HeatOf(label),
			After: b.d.Holds("formula after", "after", lexicon.Fold(label))}
		b.open(h)
		return true
	}
	return false
}

// entry keeps a row as a line.
func (b *body) entry(r raw.Row, amounts map[int]dose.Amount) {
	if len(b.parts) == 0 {
		b.parts = append(b.parts, part{Heading: terms.Heading{ID: "A"}})
	}
	name := r.At(b.columns[columns.IsName])
	e := &entry{row: r, amounts: amounts, phase: len(b.parts) - 1}
	e.line.Name = raw.Unmarked(name.Text)
	if i := b.columns[columns.IsINCI]; i >= 0 {
		if c := r.At(i); c.Text != "" {
			if a, ok := b.d.Amount(c); !ok || !a.None {
				e.line.INCI = formulation.Value(raw.Unmarked(c.Text))
			}
		}
	}
	if e.line.Name == "" && e.line.INCI != nil {
		e.line.Name = *e.line.INCI
	}
	if e.line.Name == "" && name.Struck != "" {
		e.line.Name, e.line.Struck = raw.OneLine(name.Struck), true
	}
	if i := b.columns[columns.IsUnit]; i >= 0 {
		e.unit = b.d.Dose.UnitOf(r.At(i).Text)
	}
	e.line.Hidden = r.Hidden
	var notes []string
	for _, n := range b.notes {
		if t := raw.OneLine(r.At(n).Text); t != "" && b.d.Dose.UnitOf(t) == "" {
			notes = append(notes, t)
		}
	}
	if i := b.columns[columns.IsHeat]; i >= 0 && r.At(i).Text != "" && b.columns[columns.IsPhase] < 0 {
		notes = append(notes, formulation.Sentence("note-heat", "heat", raw.OneLine(r.At(i).Text)))
	}
	for _, c := range r.Cells {
		if c.Note != "" {
			notes = append(notes, raw.OneLine(c.Note))
			b.p.Say("comment", "name", e.line.Name, "text", raw.OneLine(c.Note))
		}
		if c.Struck != "" && c.Col != name.Col {
			notes = append(notes, formulation.Sentence("note-struck", "text", raw.OneLine(c.Struck)))
		}
	}
	e.line.Note = strings.Join(notes, "; ")
	e.after = b.parts[e.phase].After || b.d.Holds("formula after", "after", lexicon.Fold(e.line.Note))
	if e.line.Struck && len(amounts) == 0 {
		b.struckAmounts(e)
	}
	b.entries = append(b.entries, e)
}

// struckAmounts reads the crossed-out amounts of a crossed-out line.
func (b *body) struckAmounts(e *entry) {
	for _, col := range b.doses {
		c := e.row.At(col)
		if c.Struck == "" {
			continue
		}
		if a, ok := b.d.Dose.Parse(c.Struck); ok && !a.None {
			e.amounts[col] = a
		}
	}
}
