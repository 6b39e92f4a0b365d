package sheet

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"gallipot/dossier/document"
	"gallipot/dossier/document/layout"
	"gallipot/dossier/words"
)

func newXLSXTable(t *document.Table) *XLSXTable {
	p := &XLSXTable{T: t}
	at := 1
	for i := range t.Columns {
		n := 1
		if t.Kind(i) == document.KindRange {
			n = len(rangeWords)
		}
		p.First, p.Width = append(p.First, at), append(p.Width, n)
		at += n
	}
	marks, sources := false, false
	document.EachCell(t, func(c document.Cell) {
		marks = marks || len(c.Marks) > 0
		sources = sources || c.Source != ""
	})
	if marks {
		p.marksAt, at = at, at+1
	}
	if sources {
		p.sourceAt, at = at, at+1
	}
	p.last = at - 1
	return p
}

// The head of a sheet: its title, the product, the way back.
const firstTableRow = 5

// oneHead says whether all tables of a sheet stand under one head.
func (s *xlsxSheet) oneHead() bool {
	return !slices.ContainsFunc(s.tables[1:], func(p *XLSXTable) bool { return !p.follows })
}

// Place gives every table its rows, so that formulas and links can point to
// cells that are not written yet.
func (x *XLSXWriter) Place() {
	for _, s := range x.sheets {
		at := firstTableRow
		for i, p := range s.tables {
			p.Sheet, p.caption, p.head = s, at, at+1
			at += 2
			if p.T.Follows && i > 0 {
				p.follows, p.head = true, s.tables[i-1].head
				at--
			}
			for range max(len(p.T.Rows), 1) { // a line to say that there are none
				p.Rows = append(p.Rows, at)
				at++
			}
			x.remember(p)
			at += len(x.below(p)) + 2
			s.lastRow = at - 3
			if i+1 < len(s.tables) && s.tables[i+1].T.Follows {
				at--
			}
		}
	}
}

// remember files a table and its anchored cells under their names.
func (x *XLSXWriter) remember(p *XLSXTable) {
	if p.T.ID != "" {
		x.Tables[p.T.ID] = p
	}
	for i, r := range p.T.Rows {
		for j, c := range r.Cells {
			if c.Anchor != "" {
				x.Cells[c.Anchor] = CellPlace{p, p.Rows[i], j}
			}
		}
	}
}

// below lists what stands below a table: notes, the legend, sources, in lines
// about as wide as the table.
func (x *XLSXWriter) below(p *XLSXTable) []string {
	var texts []string
	texts = append(texts, p.T.Notes...)
	for _, m := range x.D.LegendFor(p.T) {
		texts = append(texts, m.Symbol+" "+m.Text)
	}
	for _, s := range p.T.Sources {
		texts = append(texts, "Source: "+s)
	}
	var out []string
	for _, s := range texts {
		for _, line := range layout.WrapRuns([]layout.Run{{Text: words.Printable(s)}}, noteLine, sheetMeasure) {
			out = append(out, (&document.Paragraph{Spans: spansOf(line)}).Plain())
		}
	}
	return out
}

// noteLine is how long a line below a table is, in widths of a digit: about as
// wide as a page.
const noteLine = 96.0

func spansOf(line []layout.Run) (spans []document.Span) {
	for _, r := range line {
		spans = append(spans, document.Span{Text: r.Text})
	}
	return spans
}

// target returns where a link of the document leads to in the workbook.
func (x *XLSXWriter) target(anchor string) (string, bool) {
	if c, ok := x.Cells[anchor]; ok {
		return sheetRef(c.table.Sheet.Name) + "!" + CellName(c.table.First[c.col], c.row), true
	}
	if p, ok := x.Tables[anchor]; ok {
		return sheetRef(p.Sheet.Name) + "!" + CellName(1, p.caption), true
	}
	return "", false
}

// formula replaces the names in a formula, which stand in braces, by cells. part
// is 0, 1 or 2 inside a range cell: the min, the typical value or the max is
// wanted.
func (x *XLSXWriter) formula(p *XLSXTable, row int, text string, part int) (string, error) {
	var b strings.Builder
	for rest := text; ; {
		plain, from, ok := strings.Cut(rest, "{")
		b.WriteString(plain)
		if !ok {
			return b.String(), nil
		}
		name, after, ok := strings.Cut(from, "}")
		if !ok {
			return "", fmt.Errorf("formula %q: a brace that is not closed", text)
		}
		ref, err := x.reference(p, row, name, part)
		if err != nil {
			return "", fmt.Errorf("formula %q: %w", text, err)
		}
		b.WriteString(ref)
		rest = after
	}
}

func (x *XLSXWriter) reference(p *XLSXTable, row int, name string, part int) (string, error) {
	if name == ownSign {
		return "{" + ownSign + "}", nil // filled in by tableCell
	}
	if anchor, ok := strings.CutPrefix(name, "#"); ok {
		anchor, bound, _ := strings.Cut(anchor, ".")
		c, ok := x.Cells[anchor]
		if !ok {
			return "", fmt.Errorf("no cell %q in the workbook", anchor)
		}
		col, err := c.table.column(c.col, bound, part)
		return p.refTo(c.table, col, col, c.row, c.row, false), err
	}
	q, own := p, true
	if id, rest, other := strings.Cut(name, "!"); other {
		if q = x.Tables[id]; q == nil {
			return "", fmt.Errorf("no table %q in the workbook", id)
		}
		name, own = rest, false
	}
	columns, place, placed := strings.Cut(name, "@")
	first, last, wide := strings.Cut(columns, ":")
	from, err := q.keyed(first, part)
	to := from
	if err == nil && wide {
		to, err = q.keyed(last, part)
	}
	if err != nil {
		return "", err
	}
	switch {
	case placed:
		top, bottom, tall, err := q.places(place)
		return p.refTo(q, from, to, top, bottom, wide || tall), err
	case !own:
		top, bottom := q.dataRows()
		return p.refTo(q, from, to, top, bottom, true), nil
	case wide:
		return CellName(from, row) + ":" + CellName(to, row), nil
	}
	return CellName(from, row), nil
}

// refTo writes a reference from a cell of p to cells of q, with the sheet's name
// where it is another.
func (p *XLSXTable) refTo(q *XLSXTable, from, to, top, bottom int, isRange bool) string {
	ref := "$" + columnName(from) + "$" + strconv.Itoa(top)
	if isRange {
		ref += ":$" + columnName(to) + "$" + strconv.Itoa(bottom)
	}
	if q.Sheet != p.Sheet {
		ref = sheetRef(q.Sheet.Name) + "!" + ref
	}
	return ref
}

// places reads the rows of a reference: one, several or the head.
func (p *XLSXTable) places(text string) (top, bottom int, tall bool, err error) {
	if text == "head" {
		return p.head, p.head, false, nil
	}
	first, last, tall := strings.Cut(text, ":")
	if !tall {
		last = first
	}
	for _, b := range []struct {
		text string
		row  *int
	}{{first, &top}, {last, &bottom}} {
		i, err := strconv.Atoi(b.text)
		if err != nil || i < 0 || i >= len(p.T.Rows) {
			return 0, 0, tall, fmt.Errorf("no row %q in table %q", b.text, p.T.ID)
		}
		*b.row = p.Rows[i]
	}
	return top, bottom, tall, nil
}

// dataRows returns the first and the last row of data.
func (p *XLSXTable) dataRows() (from, to int) {
	from, to = p.Rows[0], p.Rows[0]
	found := false
	for i, r := range p.T.Rows {
		if r.Kind != document.RowData {
			continue
		}
		if !found {
			from, found = p.Rows[i], true
		}
		to = p.Rows[i]
	}
	return from, to
}

// keyed returns the column in the sheet of a key with or without a bound.
func (p *XLSXTable) keyed(name string, part int) (int, error) {
	key, bound, _ := strings.Cut(name, ".")
	for i, c := range p.T.Columns {
		if c.Key == key && key != "" {
			return p.column(i, bound, part)
		}
	}
	return 1, fmt.Errorf("no column %q in table %q", key, p.T.ID)
}

// column returns the column in the sheet of one bound of a column of the table.
// Of a range without a bound the max is meant, which limits are compared with.
func (p *XLSXTable) column(i int, bound string, part int) (int, error) {
	at := map[string]int{"min": 0, "typ": 1, "max": 2, "": 2, "*": part}
	n, ok := at[bound]
	switch {
	case !ok:
		return 1, fmt.Errorf("%q is not min, typ, max or *", bound)
	case p.Width[i] == 1:
		return p.First[i], nil
	}
	return p.First[i] + n, nil
}
