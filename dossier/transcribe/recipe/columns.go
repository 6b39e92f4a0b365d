package recipe

import (
	"regexp"
	"slices"
	"strings"

	"gallipot/dossier/transcribe/lexicon"
)

// table is a table of a document with the roles of its columns.
type table struct {
	sheet    string
	hidden   bool // it stands on a hidden sheet
	above    []row
	head     *row
	cols     []column
	body     []row
	from, to int // columns of the band that the table is, 0 and 0 for all
}

// shape says how sure a row is the head of a table.
type shape int

const (
	noHead shape = iota
	weak
	middling
	strong
)

// headAt looks whether a row is the head of a table. first says that the part of
// the document has had none.
func (d *doc) headAt(rows []row, i int, first bool) ([]column, shape) {
	cells := rows[i].filled()
	if len(cells) < 2 {
		return nil, noHead
	}
	var cols []column
	names, amounts, known, bare, figures := 0, 0, 0, 0, 0
	for _, c := range cells {
		if c.text == "" || len(c.text) > 160 || len(strings.Fields(c.text)) > 8 {
			return nil, noHead
		}
		h := d.headOf(c.text)
		h.col, h.hidden, h.x0, h.x1, h.ref = c.col, c.hidden, c.x0, c.x1, c.ref
		for k := 1; k < c.span; k++ {
			h.also = append(h.also, c.col+k)
		}
		if h.role == unknown {
			if a, ok := d.amount(c); ok && !a.None {
				return nil, noHead
			}
		}
		switch h.role {
		case isName, isINCI:
			names++
		case isAmount:
			amounts++
			if a, ok := d.amount(c); ok && !a.None {
				figures++
				if h.unit == "" || h.batch != "" && !strings.ContainsAny(h.batch, "gkml") {
					bare++
				}
			}
		}
		if h.role != unknown {
			known++
		}
		cols = append(cols, h)
	}
	if names > 0 && amounts > 0 && (figures < amounts || known > figures) {
		return cols, strong
	}
	if d.isLabel(strings.TrimRight(cells[0].text, ": ")) && len(cells) == 2 || first && d.strongBelow(rows, i) {
		return nil, noHead
	}
	switch {
	case amounts > 0 && figures == 0 && d.figuresBelow(rows, i, cols, isAmount) > 0:
		return cols, middling
	case amounts == 0 && first && d.figuresBelow(rows, i, cols, unknown) > 1:
		return cols, weak
	}
	return nil, noHead
}

// strongBelow says whether a plain head stands in the next rows: what is above it
// is its title.
func (d *doc) strongBelow(rows []row, i int) bool {
	for j := i + 1; j < min(len(rows), i+12); j++ {
		if cells := rows[j].filled(); len(cells) < 2 {
			continue
		}
		if _, kind := d.headAt(rows[:j+1], j, false); kind == strong {
			return true
		}
	}
	return false
}

// figuresBelow counts rows below a head that have a figure under one of its cells
// with the role, and a text elsewhere.
func (d *doc) figuresBelow(rows []row, i int, cols []column, r role) int {
	n := 0
	for _, x := range rows[i+1 : min(len(rows), i+9)] {
		figure, name := false, false
		for _, c := range x.filled() {
			a, ok := d.amount(c)
			switch {
			case ok && !a.None:
				figure = figure || slices.ContainsFunc(cols, func(k column) bool {
					return k.role == r &&
						(k.col == c.col || slices.Contains(k.also, c.col))
				})
			default:
				name = true
			}
		}
		if figure && name {
			n++
		}
	}
	return n
}

// goesUnder says whether a row carries on the head above it: units and words of
// heads alone.
func (d *doc) goesUnder(r row) bool {
	for _, c := range r.filled() {
		h := d.headOf(c.text)
		if a, ok := d.amount(c); ok && !a.None && h.batch == "" {
			return false
		}
		if h.role == unknown || h.role == isName || h.role == isPhase {
			return false
		}
	}
	return len(r.filled()) > 0
}

// tables parts a run of rows with columns into tables. What stands above the first
// head, or between a table and the title of the next, goes to the table below it.
func (d *doc) tables(s sheet, rows []row) []*table {
	var out []*table
	var open *table
	var above []row
	for i := 0; i < len(rows); i++ {
		cols, kind := d.headAt(rows, i, open == nil)
		if kind == noHead {
			if open != nil {
				open.body = append(open.body, rows[i])
			} else {
				above = append(above, rows[i])
			}
			continue
		}
		head := rows[i]
		if i+1 < len(rows) && !rows[i+1].gap && d.goesUnder(rows[i+1]) {
			cols = d.stacked(cols, rows[i], rows[i+1])
			i++
		}
		if open != nil {
			if d.sameColumns(open.cols, cols) && !d.titled(open.body) {
				continue // the head once more
			}
			open.body, above = d.cutTitle(open.body)
		}
		open = &table{sheet: s.name, hidden: s.hidden, above: above, head: &head, cols: cols}
		d.under(open)
		above = nil
		out = append(out, d.bands(open)...)
		open = out[len(out)-1]
		if n := len(out); n > 1 && out[n-2].head != nil && out[n-2].head.number == head.number &&
			out[n-2].sheet == s.name {
			// tables side by side share their rows
			rest := d.bodyEnd(rows, i+1)
			for _, t := range out {
				if t.head != nil && t.head.number == head.number {
					t.body = t.own(rows[i+1 : rest])
				}
			}
			i = rest - 1
			open = nil
		}
	}
	if len(out) == 0 {
		if t := d.headless(s, rows); t != nil {
			return []*table{t}
		}
		return nil
	}
	if open == nil && len(above) > 0 {
		out[len(out)-1].body = append(slices.Clone(out[len(out)-1].body), above...)
	}
	var turned []*table
	for _, t := range out {
		turned = append(turned, d.turned(t)...)
	}
	return turned
}

func (d *doc) bodyEnd(rows []row, from int) int {
	for i := from; i < len(rows); i++ {
		if _, kind := d.headAt(rows, i, false); kind != noHead {
			return i
		}
	}
	return len(rows)
}

// titled says whether the end of a table's rows names another product: a line
// alone, after a gap, that is no phase.
func (d *doc) titled(body []row) bool {
	rest, above := d.cutTitle(body)
	return len(above) > 0 && len(rest) > 0
}

// cutTitle parts the rows of a table from the title of the next below them.
func (d *doc) cutTitle(body []row) (rest, above []row) {
	n := len(body)
	for n > 0 && len(body)-n < 4 {
		r := body[n-1]
		cells := r.filled()
		if len(cells) != 1 && !(len(cells) == 2 && d.isLabel(cells[0].text)) {
			break
		}
		if _, ok := d.phaseOf(cells[0].text); ok {
			break
		}
		n--
	}
	for n < len(body) && !body[n].gap { // the title begins after a gap
		n++
	}
	return body[:n], body[n:]
}

// sameColumns says whether two heads say the same.
func (d *doc) sameColumns(a, b []column) bool {
	if len(a) != len(b) {
		return false
	}
	same := 0
	for i := range a {
		if lexicon.Fold(a[i].head) == lexicon.Fold(b[i].head) && a[i].col == b[i].col {
			same++
		}
	}
	return same >= len(a)-1
}

// stacked joins the two lines of a head.
func (d *doc) stacked(cols []column, top, below row) []column {
	for _, c := range below.filled() {
		i := slices.IndexFunc(cols, func(k column) bool { return k.col == c.col })
		if i < 0 {
			h := d.headOf(c.text)
			for _, k := range cols { // under a merged head
				if slices.Contains(k.also, c.col) {
					h = d.headOf(k.head + " " + c.text)
				}
			}
			h.col, h.hidden, h.ref = c.col, c.hidden, c.ref
			cols = append(cols, h)
			continue
		}
		h := d.headOf(cols[i].head + " " + c.text)
		if h.role == unknown || cols[i].role == unknown {
			h2 := d.headOf(c.text)
			h.role, h.unit, h.batch, h.share = h2.role, h2.unit, h2.batch, h2.share
		} else if cols[i].role != isAmount {
			h.role = cols[i].role
		}
		h.col, h.hidden, h.x0, h.x1, h.ref, h.also = c.col, cols[i].hidden, cols[i].x0, cols[i].x1,
			cols[i].ref, nil
		cols[i] = h
	}
	slices.SortStableFunc(cols, func(a, b column) int { return a.col - b.col })
	return cols
}

// under takes what stands over the columns of amounts in the row above the head: a
// unit, or the name of a group of columns.
func (d *doc) under(t *table) {
	if len(t.above) == 0 {
		return
	}
	r := t.above[len(t.above)-1]
	cells := r.filled()
	if len(cells) == 0 || len(cells) == 1 && cells[0].col == 0 {
		return
	}
	for n, c := range cells {
		if c.col == 0 {
			continue
		}
		end := c.col + max(c.span, 1)
		if n+1 < len(cells) && c.span <= 1 {
			end = cells[n+1].col
		} else if c.span <= 1 {
			end = 1 << 20
		}
		unit := d.dose.UnitIn(c.text)
		for i := range t.cols {
			k := &t.cols[i]
			if k.col < c.col || k.col >= end || k.role != isAmount && k.role != unknown {
				continue
			}
			if unit != "" && k.unit == "" {
				k.unit = unit
			} else if unit == "" && k.role == isAmount && d.headBase(k.head) == "" {
				k.head = oneLine(c.text + " " + k.head)
			}
			if v := d.versionOf(c.text); v != "" && k.version == "" {
				k.version = v
			}
		}
	}
}

// bands parts a head under which several products stand side by side.
func (d *doc) bands(t *table) []*table {
	var starts []int
	for i, c := range t.cols {
		if c.role == isName {
			at := i
			if i > 0 && t.cols[i-1].role == isPhase {
				at = i - 1
			}
			starts = append(starts, at)
		}
	}
	if len(starts) < 2 {
		return []*table{t}
	}
	for n, at := range starts {
		end := len(t.cols)
		if n+1 < len(starts) {
			end = starts[n+1]
		}
		if !slices.ContainsFunc(t.cols[at:end], column.holdsAmounts) {
			return []*table{t} // a second column of names
		}
	}
	var out []*table
	for n, at := range starts {
		end := len(t.cols)
		if n+1 < len(starts) {
			end = starts[n+1]
		}
		b := &table{sheet: t.sheet, hidden: t.hidden, head: t.head, cols: slices.Clone(t.cols[at:end])}
		from, to := t.cols[at].col, 1<<20
		if n+1 < len(starts) {
			to = t.cols[end].col
		}
		b.from, b.to = from, to
		if n == 0 {
			b.from = 0
		}
		b.above = b.own(t.above)
		out = append(out, b)
	}
	return out
}

// kinds counts what stands in each column of rows without a head.
type kinds struct {
	figures, texts, phases map[int]int
	rows, widest, start    int // rows with a figure and a text; the last column; the first such row
}

func (d *doc) count(rows []row) kinds {
	k := kinds{figures: map[int]int{}, texts: map[int]int{}, phases: map[int]int{}, start: -1}
	for i, r := range rows {
		any := false
		for _, c := range r.filled() {
			a, ok := d.amount(c)
			switch {
			case ok && !a.None:
				k.figures[c.col]++
				any = true
			case letter.MatchString(c.text):
				k.phases[c.col]++
			default:
				k.texts[c.col]++
			}
			k.widest = max(k.widest, c.col)
		}
		if any && len(r.filled()) > 1 {
			k.rows++
			if k.start < 0 {
				k.start = i
			}
		}
	}
	return k
}

// own gives the part of rows that stands in the table's columns.
func (t *table) own(rows []row) []row {
	if t.to == 0 {
		return rows
	}
	var out []row
	for _, r := range rows {
		var mine []cell
		for _, c := range r.cells {
			if c.col >= t.from && c.col < t.to {
				mine = append(mine, c)
			}
		}
		if r.cells = mine; len(r.filled()) > 0 {
			out = append(out, r)
		}
	}
	return out
}

// headless gives roles to the columns of rows that have no head: a column of
// figures, and the text before it.
func (d *doc) headless(s sheet, rows []row) *table {
	k := d.count(rows)
	figures, texts, phases, n, widest, start := k.figures, k.texts, k.phases, k.rows, k.widest, k.start
	if n < 2 {
		return nil
	}
	t := &table{sheet: s.name, hidden: s.hidden}
	name, amount := -1, -1
	for c := 0; c <= widest; c++ {
		if name < 0 && texts[c] >= n/2 && texts[c] > figures[c] {
			name = c
		}
		if amount < 0 && figures[c]*2 >= n && figures[c] > texts[c] {
			amount = c
		}
	}
	if name < 0 || amount < 0 {
		return nil
	}
	for c := 0; c <= widest; c++ {
		k := column{col: c}
		switch {
		case c == name:
			k.role = isName
		case c == amount:
			k.role = isAmount
		case phases[c] > 0 && phases[c] >= texts[c] && phases[c] >= figures[c] && c < name:
			k.role = isPhase
		case figures[c] > texts[c]:
			k.role = isAmount
		case texts[c] > 0:
			k.role = isNote
		default:
			continue
		}
		t.cols = append(t.cols, k)
	}
	for start > 0 && !rows[start].gap && len(rows[start-1].filled()) == 1 {
		if _, ok := d.phaseOf(rows[start-1].filled()[0].text); !ok {
			break
		}
		start--
	}
	t.above, t.body = rows[:start], rows[start:]
	return t
}

var letter = regexp.MustCompile(`^[A-Ha-h1-9]$|^[IV]{1,3}$`)

// headBase is what a head of amounts says beside its unit and batch: the name of a
// variant.
func (d *doc) headBase(head string) string {
	if batchHead.MatchString(strings.TrimSpace(head)) {
		return ""
	}
	var kept []string
	for _, w := range strings.Fields(unitBatch.ReplaceAllString(headBraces.ReplaceAllString(head, " "), " ")) {
		f := lexicon.Fold(w)
		if f == "" || d.dose.UnitOf(w) != "" || d.is("formula head", "amount", f) ||
			d.is("formula head", "percent", f) || d.is("formula fill", "to", f) ||
			f == "for" || f == "per" || f == "in" || f == "batch" || f == "of" || f == "version" ||
			digitsOnly.MatchString(f) {
			continue
		}
		kept = append(kept, strings.Trim(w, ",:;-"))
	}
	return strings.Join(kept, " ")
}

var digitsOnly = regexp.MustCompile(`^[\d ]+$`)
