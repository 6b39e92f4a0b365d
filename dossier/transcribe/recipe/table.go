package recipe

import (
	"regexp"
	"slices"
	"strings"

	"gallipot/dossier/transcribe/dose"
	"gallipot/dossier/transcribe/lexicon"
)

// entry is a row of a table that is a line of the formula.
type entry struct {
	row     row
	line    Line
	amounts map[int]dose.Amount // by column
	unit    string              // of a column of units
	phase   int
	after   bool
}

// totalRow is a row that sums what stands above it.
type totalRow struct {
	name    string
	amounts map[int]dose.Amount
	entries int // how many lines stand above
	where   string
	text    string
}

// part is a phase being read.
type part struct {
	heading
	subtotal map[int]dose.Amount
}

// body is a table being read into a product.
type body struct {
	d       *doc
	t       *table
	p       *Product
	entries []*entry
	parts   []part
	totals  []totalRow
	columns map[role]int
	notes   []int
	doses   []int // columns of amounts
	tail    []row // what stands below the lines
	letters bool  // the phase is the letter of a code: A1, A2, B1
}

// read reads a table into a product; tail is what stands in it that is no line.
// nil: the table is no formula.
func (d *doc) read(t *table) (p *Product, tail []row) {
	b := &body{d: d, t: t, p: &Product{}, columns: map[role]int{}}
	b.settleColumns()
	if b.columns[isName] < 0 || len(b.doses) == 0 {
		return nil, nil
	}
	for i, r := range t.body {
		var next *row
		if i+1 < len(t.body) {
			next = &t.body[i+1]
		}
		b.row(r, next)
	}
	if !slices.ContainsFunc(b.entries, func(e *entry) bool { return len(e.amounts) > 0 }) {
		return nil, nil
	}
	b.build()
	return b.p, b.tail
}

var lineCode = regexp.MustCompile(`^[A-H]\d{1,2}$`)

func (b *body) open(h heading) {
	for i := range b.parts {
		if b.parts[i].id == h.id && h.id != "" && b.parts[i].after == h.after {
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
	b.parts = append(b.parts, part{heading: h})
}

// row reads one row below the head.
func (b *body) row(r row, next *row) {
	cells := r.filled()
	name := r.at(b.columns[isName])
	amounts, has := b.amountsOf(r)
	if b.phaseCell(r) {
		return
	}
	first := ""
	for _, c := range cells {
		if c.text != "" {
			first = c.text
			break
		}
	}
	if b.d.totalOf(first) || name.text != "" && b.d.totalOf(name.text) {
		b.totals = append(b.totals, totalRow{first, amounts, len(b.entries), r.place(b.columns[isName]),
			oneLine(r.text())})
		return
	}
	label := oneLine(name.text)
	if label == "" && name.struck == "" {
		b.nameless(r, amounts, has)
		return
	}
	if h, ok := b.d.phaseOf(label); ok && (!has || strings.Contains(lexicon.Fold(label), "phase") &&
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

func (b *body) restEmpty(r row) bool {
	return r.at(b.columns[isINCI]).text == "" || b.columns[isINCI] < 0
}

// headNotes keeps what stands beside the heading of a phase.
func (b *body) headNotes(r row) {
	for _, n := range b.notes {
		if t := r.at(n).text; t != "" {
			h := &b.parts[len(b.parts)-1]
			if h.heat == "" {
				h.heat = heatOf(t)
			}
			h.note = strings.TrimSpace(h.note + " " + oneLine(t))
		}
	}
}

// phaseCell reads the column of phases; it says true where the row is no more.
func (b *body) phaseCell(r row) bool {
	col := b.columns[isPhase]
	if col < 0 {
		return false
	}
	c := r.at(col)
	if c.text == "" || b.d.totalOf(c.text) {
		return false
	}
	h, ok := b.d.phaseOf(c.text)
	if b.letters && lineCode.MatchString(c.text) {
		h, ok = heading{id: c.text[:1]}, true
	}
	if !ok {
		h = heading{id: oneLine(c.text), heat: heatOf(c.text)}
		if len(strings.Fields(c.text)) > 5 && len(r.filled()) == 1 {
			b.tail = append(b.tail, r)
			return true
		}
	}
	if len(b.parts) == 0 || b.parts[len(b.parts)-1].id != h.id {
		b.open(h)
	}
	if t := b.columns[isHeat]; t >= 0 && b.parts[len(b.parts)-1].heat == "" {
		b.parts[len(b.parts)-1].heat = heatFigure(r.at(t).text)
	}
	return len(r.filled()) == 1
}

// heatFigure reads a temperature in a column of temperatures.
func heatFigure(s string) string {
	if h := heatOf(s); h != "" {
		return h
	}
	if t := strings.TrimSpace(s); digitsOnly.MatchString(t) && len(t) == 2 {
		return t
	}
	return ""
}

// amountsOf reads the columns of amounts of a row.
func (b *body) amountsOf(r row) (map[int]dose.Amount, bool) {
	out, has := map[int]dose.Amount{}, false
	for _, col := range b.doses {
		c := r.at(col)
		a, ok := b.d.amount(c)
		if c.text == "" && c.span <= 1 {
			for _, k := range r.cells { // a merged cell counts for all it covers
				if k.col < col && k.col+k.span > col && slices.Contains(b.doses, k.col) {
					a, ok = b.d.amount(k)
				}
			}
		}
		if !ok {
			a = dose.Amount{Printed: c.text, Doubt: dose.Words, Note: oneLine(c.text)}
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
func (b *body) nameless(r row, amounts map[int]dose.Amount, has bool) {
	if i := b.columns[isINCI]; i >= 0 && r.at(i).text != "" && has {
		b.entry(r, amounts)
		return
	}
	switch {
	case has && b.sums(amounts):
		b.totals = append(b.totals, totalRow{"", amounts, len(b.entries), r.place(b.doses[0]), oneLine(r.text())})
	case has:
		b.d.notUnderstood(r.place(b.doses[0]), r.text())
		b.p.say("nameless-amount", "where", r.place(b.doses[0]), "text", r.text())
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
		if total.Sign() > 0 && near(total, num(a.Value), num("0.011")) || a.Value == "100" {
			return true
		}
	}
	return false
}

// standsAlone reads a row of text without amounts that is a heading or a sentence;
// false leaves it to be a line without an amount.
func (b *body) standsAlone(r row, name cell, next *row) bool {
	others := 0
	for _, c := range r.filled() {
		if c.col != name.col {
			others++
		}
	}
	label := oneLine(name.text)
	words := len(strings.Fields(label))
	if others == 0 && (words > 6 || strings.HasSuffix(label, ".") && words > 3 ||
		strings.HasSuffix(label, "!") || len(b.totals) > 0 && r.gap || b.d.startsStep(label)) {
		b.tail = append(b.tail, r)
		return true
	}
	if others > 0 {
		if b.d.isLabel(label) {
			b.tail = append(b.tail, r)
			return true
		}
		return false
	}
	leads := next != nil && !next.gap && len(next.filled()) > 1
	if name.span > 1 || strings.HasSuffix(label, ":") || r.gap && leads {
		h := heading{id: strings.TrimRight(label, ": "), heat: heatOf(label),
			after: b.d.holds("formula after", "after", lexicon.Fold(label))}
		b.open(h)
		return true
	}
	return false
}

// entry keeps a row as a line.
func (b *body) entry(r row, amounts map[int]dose.Amount) {
	if len(b.parts) == 0 {
		b.parts = append(b.parts, part{heading: heading{id: "A"}})
	}
	name := r.at(b.columns[isName])
	e := &entry{row: r, amounts: amounts, phase: len(b.parts) - 1}
	e.line.Name = oneLine(name.text)
	if i := b.columns[isINCI]; i >= 0 {
		if c := r.at(i); c.text != "" {
			if a, ok := b.d.amount(c); !ok || !a.None {
				e.line.INCI = text(oneLine(c.text))
			}
		}
	}
	if e.line.Name == "" && e.line.INCI != nil {
		e.line.Name = *e.line.INCI
	}
	if e.line.Name == "" && name.struck != "" {
		e.line.Name, e.line.Struck = oneLine(name.struck), true
	}
	if i := b.columns[isUnit]; i >= 0 {
		e.unit = b.d.dose.UnitOf(r.at(i).text)
	}
	e.line.Hidden = r.hidden
	var notes []string
	for _, n := range b.notes {
		if t := oneLine(r.at(n).text); t != "" && b.d.dose.UnitOf(t) == "" {
			notes = append(notes, t)
		}
	}
	if i := b.columns[isHeat]; i >= 0 && r.at(i).text != "" && b.columns[isPhase] < 0 {
		notes = append(notes, "at "+oneLine(r.at(i).text)+" °C")
	}
	for _, c := range r.cells {
		if c.note != "" {
			notes = append(notes, oneLine(c.note))
			b.p.say("comment", "name", e.line.Name, "text", oneLine(c.note))
		}
		if c.struck != "" && c.col != name.col {
			notes = append(notes, "crossed out: "+oneLine(c.struck))
		}
	}
	e.line.Note = strings.Join(notes, "; ")
	e.after = b.parts[e.phase].after || b.d.holds("formula after", "after", lexicon.Fold(e.line.Note))
	if e.line.Struck && len(amounts) == 0 {
		b.struckAmounts(e)
	}
	b.entries = append(b.entries, e)
}

// struckAmounts reads the crossed-out amounts of a crossed-out line.
func (b *body) struckAmounts(e *entry) {
	for _, col := range b.doses {
		c := e.row.at(col)
		if c.struck == "" {
			continue
		}
		if a, ok := b.d.dose.Parse(c.struck); ok && !a.None {
			e.amounts[col] = a
		}
	}
}
