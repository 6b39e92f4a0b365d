package cells

import (
	"slices"
	"strings"

	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/paper"
)

// sheet reads a page of a file that has cells of its own, or plain text.
func (r *reader) sheet(p paper.Page, form paper.Form) {
	lines := p.Lines
	for i := 0; i < len(lines); {
		n := r.headLines(lines, i)
		if n == 0 {
			r.row(rowOf(p, lines[i]))
			i++
			continue
		}
		body := i + n
		if body < len(lines) && r.unitsUnder(lines[body-1], lines[body]) {
			body++
		}
		end := body
		for end < len(lines) && lines[end].Grid == lines[i].Grid && lines[end].Quote == lines[i].Quote &&
			r.headLines(lines, end) == 0 && !r.leaves(lines, end, form) {
			end++
		}
		r.sheetTable(p, lines[i:i+n], lines[i+n:body], lines[body:end], form)
		i = end
	}
}

// unitsUnder says whether a line gives nothing but the units of the heads above it: "(%)"
// under "Content".
func (r *reader) unitsUnder(head, l paper.Line) bool {
	if l.Grid != head.Grid || l.Quote != head.Quote || r.acrossHead(lineTexts(head)) {
		return false
	}
	filled := 0
	for _, c := range l.Cells {
		text := strings.TrimSpace(c.Text)
		if text == "" {
			continue
		}
		if filled++; !unitAlone(text) {
			return false
		}
	}
	return filled > 0 && filled < len(head.Cells)
}

// leaves says whether a table of plain text has ended before a line.
func (r *reader) leaves(lines []paper.Line, i int, form paper.Form) bool {
	if form == paper.Workbook {
		return false
	}
	if lines[i].Grid == 0 && r.numberedHeading(lines[i]) {
		return true
	}
	return lines[i].Grid == 0 && (lines[i].Number-lines[i-1].Number > 2 || len(lines[i].Cells) == 1 &&
		len(strings.Fields(lines[i].Cells[0].Text)) > 7)
}

// numbered is the start of a heading with the number of a section.
var numbered = lexicon.Pattern(`(?i)^\s*(?:<<section>>)?\s*\d{1,2}(?:\.\d{1,2})?[.:]?\s+\D`)

// numberedHeading says whether a line is the heading of a section: its number, and the
// words of a section.
func (r *reader) numberedHeading(l paper.Line) bool {
	if len(l.Cells) != 1 || !numbered().MatchString(l.Cells[0].Text) {
		return false
	}
	text := lexicon.Fold(strings.TrimLeft(l.Cells[0].Text, "0123456789.: "))
	if m := named().FindString(text); m != "" {
		rest := text[len(m):]
		return strings.Trim(rest, "0123456789") != rest
	}
	_, ok := r.words.Exact("section", text)
	return ok
}

func lineTexts(l paper.Line) []string {
	var out []string
	for _, c := range l.Cells {
		out = append(out, c.Text)
	}
	return out
}

// headLines says how many lines from here are the head of a table: none, one, or
// two where a head stands over several columns with heads of their own.
func (r *reader) headLines(lines []paper.Line, i int) int {
	if i >= len(lines) {
		return 0
	}
	one := r.isHead(lineTexts(lines[i]))
	if i+1 < len(lines) && lines[i+1].Grid == lines[i].Grid && (one || spansColumns(lines[i])) {
		next := lineTexts(lines[i+1])
		known, unknown := 0, 0
		for _, t := range next {
			if t = strings.TrimSpace(t); t == "" {
				continue
			}
			if identifier.MatchString(t) || headDigits.MatchString(brackets.ReplaceAllString(t, "")) {
				known = -100
			}
			if r.roleOf(t) == "" {
				unknown++
				continue
			}
			known++
		}
		if unknown > 1 || unknown == 1 && (known < 2 || !spansColumns(lines[i])) {
			known = -100
		}
		over := one || lines[i+1].Number == lines[i].Number+1 && r.headLines(lines, i+1) < 2
		if known > 0 && over && (one || known > 1 && r.isHead(append(next, lineTexts(lines[i])...))) &&
			(spansColumns(lines[i]) || unfilled(lines[i], lines[i+1])) {
			return 2
		}
	}
	if one {
		return 1
	}
	return 0
}

func spansColumns(l paper.Line) bool {
	return len(l.Cells) > 1 && slices.ContainsFunc(l.Cells, func(c paper.Cell) bool {
		return c.Span > 1 &&
			strings.TrimSpace(c.Text) != ""
	})
}

// unfilled says whether the second line fills columns that the first leaves empty.
func unfilled(a, b paper.Line) bool {
	filled := map[int]bool{}
	for _, c := range a.Cells {
		filled[c.Col] = strings.TrimSpace(c.Text) != ""
	}
	for _, c := range b.Cells {
		if strings.TrimSpace(c.Text) != "" && !filled[c.Col] {
			return true
		}
	}
	return false
}

// sheetTable builds a table from rows of cells.
func (r *reader) sheetTable(p paper.Page, head, units, body []paper.Line, form paper.Form) {
	t := &Table{Place: place(p, head[0]), Hidden: p.Hidden, Quote: head[0].Quote}
	positioned := (form == paper.Text || form == paper.Mail) && head[0].Grid == 0
	over := map[int]string{}
	own := map[int]string{}
	var order []int
	note := func(col int) {
		if !slices.Contains(order, col) {
			order = append(order, col)
		}
	}
	xs := map[int][2]float64{}
	for n, l := range head {
		for _, c := range l.Cells {
			for k := range max(c.Span, 1) {
				if len(head) == 2 && n == 0 {
					over[c.Col+k] = c.Text
				} else {
					own[c.Col+k] = c.Text
				}
				note(c.Col + k)
			}
			xs[c.Col] = [2]float64{c.X0, c.X1}
		}
	}
	if !positioned {
		for _, l := range body {
			for _, c := range l.Cells {
				if strings.TrimSpace(c.Text) != "" {
					note(c.Col)
				}
			}
		}
	}
	slices.Sort(order)
	under := unitsOf(units, xs, positioned)
	for _, col := range order {
		text, role := strings.TrimSpace(own[col]), ""
		if text != "" {
			role = r.roleOf(text)
		}
		if up := strings.TrimSpace(over[col]); up != "" && up != text {
			if role == "" {
				role = r.roleOf(up)
			}
			if text == "" {
				text = up
			} else {
				text = up + " " + text
			}
		}
		if under[col] != "" && text != "" {
			text += " " + under[col]
		}
		t.Columns = append(t.Columns, Column{Role: role, Head: text, x0: xs[col][0], x1: xs[col][1],
			col: col})
	}
	r.settleRoles(t.Columns)
	for _, l := range body {
		t.Rows = append(t.Rows, r.sheetRow(p, l, t.Columns, positioned))
	}
	r.emit(t)
}

// unitsOf gives the units of a line under a head by column: by the columns of the file, in
// plain text by their places.
func unitsOf(lines []paper.Line, xs map[int][2]float64, positioned bool) map[int]string {
	out := map[int]string{}
	for _, l := range lines {
		for _, c := range l.Cells {
			col := c.Col
			if positioned {
				near := -1.0
				for k, x := range xs {
					if d := max(0, max(x[0]-c.X1, c.X0-x[1])); near < 0 || d < near || d == near && k < col {
						col, near = k, d
					}
				}
			}
			out[col] = c.Text
		}
	}
	return out
}

// sheetRow puts the cells of a row under their columns. A cell that covers several
// columns stands in the first.
func (r *reader) sheetRow(p paper.Page, l paper.Line, cols []Column, positioned bool) Row {
	plain := rowOf(p, l)
	row := plain
	row.Raw = plain.Text()
	row.Cells = make([]Cell, len(cols))
	for i := range row.Cells {
		row.Cells[i].Line = l.Number
	}
	if positioned && len(plain.Cells) != len(cols) {
		for _, c := range plain.Cells {
			put(row.Cells, nearestColumn(cols, c.x0, c.x1), c)
		}
		return row
	}
	for i, c := range plain.Cells {
		at := i
		if !positioned {
			at = slices.IndexFunc(cols, func(k Column) bool { return k.col == c.col })
		}
		put(row.Cells, at, c)
	}
	return row
}

func put(cells []Cell, at int, c Cell) {
	if at < 0 || at >= len(cells) {
		return
	}
	if old := cells[at]; old.Text != "" {
		c.Text = old.Text + " " + c.Text
	}
	cells[at] = c
}

// nearestColumn finds the column whose head lies over or nearest to a cell.
func nearestColumn(cols []Column, x0, x1 float64) int {
	best, dist := -1, 0.0
	for i, c := range cols {
		d := max(0, max(c.x0-x1, x0-c.x1))
		if best < 0 || d < dist {
			best, dist = i, d
		}
	}
	return best
}

// emit adds a table, parted where tables stand side by side.
func (r *reader) emit(t *Table) {
	starts := blocks(t.Columns)
	if len(starts) == 1 {
		r.items = append(r.items, Item{Table: t})
		return
	}
	for b, from := range starts {
		to := len(t.Columns)
		if b+1 < len(starts) {
			to = starts[b+1]
		}
		part := &Table{Place: t.Place, Columns: t.Columns[from:to], Hidden: t.Hidden, Quote: t.Quote}
		for _, row := range t.Rows {
			cut := row
			cut.Cells = row.Cells[from:to]
			if cut.Text() != "" {
				part.Rows = append(part.Rows, cut)
			}
		}
		r.items = append(r.items, Item{Table: part})
	}
}
