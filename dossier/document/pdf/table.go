package pdf

import (
	"fmt"

	"gallipot/dossier/document"
	"gallipot/dossier/document/layout"
	"gallipot/dossier/words"
)

// table lists the pieces of a table: its parts, then what stands below it.
func (w *Writer) table(t *document.Table) []piece {
	if len(t.Rows) == 0 {
		return w.emptyTable(t)
	}
	_, numbers := t.AllSources()
	g, size, groups := w.groups(t, numbers)
	var out []piece
	for i, cols := range groups {
		g.Share(cols, w.left)
		part := &tablePart{t: t, cols: cols, gauge: g, tableType: size, first: i == 0, remark: t.Remark}
		if len(groups) > 1 {
			part.remark = words.Joined(" ", t.Remark, fmt.Sprintf("(columns, part %d of %d)", i+1, len(groups)))
		}
		last := i+1 == len(groups)
		var below []textLine
		if last {
			if below = w.belowTable(t); len(below) > 0 {
				part.below = min((&stack{lines: below}).height()+2, mostBelow)
			}
		}
		out = append(out, piece{need: w.tableNeed(part), whole: w.wholeHeight(part), draw: func() {
			w.tablePart(part)
			if len(below) > 0 {
				w.row([]*stack{{x: w.left, w: w.width, lines: below}}, rowStyle{pad: 1, whole: mostBelow})
			}
			w.gap(w.sc.gapBlock)
		}})
	}
	return out
}

// groups measures the columns and shares them out to parts. A crowded table is
// set in smaller type before a word is cut, and cut before it is parted.
func (w *Writer) groups(t *document.Table,
	numbers map[string]int) (*layout.Gauge, tableType, [][]*layout.Column) {
	first := w.sc.table[w.sc.typeOf(len(t.Rows), len(t.Columns))]
	g := w.gauge(numbers, first.size)
	cols := g.Columns(t)
	if g.LeastWidth(cols) <= w.width {
		return g, first, [][]*layout.Column{cols}
	}
	crowded := w.sc.table[len(w.sc.table)-1]
	small := w.gauge(numbers, crowded.size)
	if narrow := small.Columns(t); small.TightWidth(narrow) <= w.width {
		return small, crowded, small.Parts(narrow)
	}
	return g, first, g.Parts(cols)
}

func (w *Writer) emptyTable(t *document.Table) []piece {
	words := t.Empty
	if words == "" {
		words = "nothing to list"
	}
	lines := w.caption(w.tableNo[t], "Table", t.Title, t.Remark)
	if w.sc.dense {
		lines = w.caption(w.tableNo[t], "Table", t.Title, words)
	} else {
		lines = append(lines, w.set(w.plain(words, layout.StyleItalic), w.width, w.sc.body, w.sc.bodyLine, Grey)...)
	}
	return []piece{{need: w.sc.bodyLine * 2, draw: func() {
		w.row([]*stack{{x: w.left, w: w.width, lines: lines}}, rowStyle{anchors: []string{t.ID}})
		w.gap(w.sc.gapBlock)
	}}}
}

// belowTable sets notes, legend and sources.
func (w *Writer) belowTable(t *document.Table) []textLine {
	var out []textLine
	for _, n := range t.Notes {
		out = append(out, w.set(w.plain(n, layout.StyleRegular), w.width, w.sc.small, w.sc.smallLine, Black)...)
	}
	out = append(out, w.legend(t)...)
	list, _ := t.AllSources()
	for i, s := range list {
		out = append(out, w.set(w.plain(fmt.Sprintf("[%d]\u00a0 %s", i+1, s), layout.StyleRegular), w.width,
			w.sc.small, w.sc.smallLine, Grey)...)
	}
	for _, s := range t.Sources {
		out = append(out, w.set(w.plain("Source: "+s, layout.StyleRegular), w.width, w.sc.small, w.sc.smallLine,
			Grey)...)
	}
	return out
}

const (
	mostBelow = 80.0 // notes up to this height stay together, and with the last rows
)

// tableNeed is the height of caption, head and the first rows.
func (w *Writer) tableNeed(part *tablePart) float64 {
	const gaps = 2.5 // above the caption, and of the rules
	h := w.headHeight(part) + gaps
	if part.t.Whole {
		if all := h + w.rowsHeight(part) + part.below; all <= w.bottom-bodyTop {
			return all
		}
	}
	for i := 0; i < min(len(part.t.Rows), w.rowsTogether()); i++ {
		rowH := 0.0
		for _, s := range w.layRow(part, part.t.Rows[i]) {
			rowH = max(rowH, s.height())
		}
		h += min(rowH, shortRow) + 2*part.pad
	}
	if len(part.t.Rows) <= w.rowsTogether() { // the notes stay with the last rows, so the head stays with all of it
		h += part.below
	}
	return h
}

// rowsHeight is the height of all rows.
func (w *Writer) rowsHeight(part *tablePart) (h float64) {
	for _, r := range part.t.Rows {
		tallest := 0.0
		for _, s := range w.layRow(part, r) {
			tallest = max(tallest, s.height())
		}
		h += tallest + 2*part.pad
	}
	return h
}

func (w *Writer) headStacks(part *tablePart) []*stack {
	var out []*stack
	for _, c := range part.cols {
		s := &stack{x: c.X + w.sc.cellPad, w: c.W - 2*w.sc.cellPad}
		size, line := w.headType(part)
		s.lines = w.set(w.plain(c.Head, w.sc.head), s.w, size, line, Black)
		if c.Unit != "" {
			s.lines = append(s.lines, w.set(part.gauge.UnitRuns(c.Unit), s.w, min(size, part.size-unitSmaller),
				line-0.05, Grey)...)
		}
		for i := range s.lines {
			s.lines[i].flush = c.Align == document.AlignRight
			s.lines[i].mid = c.Align == document.AlignCentre
			if c.IsFigure {
				s.lines[i].shift = max(0,
					min(c.Signs, s.w-layout.LineWidth(s.lines[i].runs, layout.RuneMM(s.lines[i].size))))
			}
		}
		out = append(out, s)
	}
	return out
}

func (w *Writer) captionLines(part *tablePart, more string) []textLine {
	if part.t.Title == "" {
		return nil
	}
	return w.caption(w.tableNo[part.t], "Table", part.t.Title, words.Joined("; ", more, part.remark))
}

func (w *Writer) headHeight(part *tablePart) float64 {
	h := 0.0
	for _, s := range w.headStacks(part) {
		h = max(h, s.height())
	}
	return h + 2*w.sc.headPad + float64(len(w.captionLines(part, "")))*w.sc.captionLine + w.sc.captionGap
}

// head draws caption and column heads; more is set behind the caption.
func (w *Writer) head(part *tablePart, more string) {
	if lines := w.captionLines(part, more); len(lines) > 0 {
		w.row([]*stack{{x: w.left, w: w.width, lines: lines}}, rowStyle{})
		w.took(w.sc.captionGap)
	}
	width := part.width()
	w.Line(w.left, w.y, w.left+width, w.y, w.sc.rule, Black)
	// heads of one line stand at the foot of the head row
	stacks := w.headStacks(part)
	h := 0.0
	for _, s := range stacks {
		h = max(h, s.height())
	}
	for _, s := range stacks {
		if lack := h - s.height(); lack > 0 {
			s.lines = append([]textLine{{lh: lack, size: part.size}}, s.lines...)
		}
	}
	w.row(stacks, rowStyle{pad: w.sc.headPad, x: w.left, w: width, under: w.sc.underHead, ink: Black})
	if w.sc.dense {
		w.took(0.3)
	}
}

func (p *tablePart) width() float64 {
	wd := 0.0
	for _, c := range p.cols {
		wd += c.W
	}
	return wd
}

func (w *Writer) layRow(part *tablePart, r document.Row) []*stack {
	if r.Kind == document.RowGroup {
		s := &stack{x: w.left + w.sc.cellPad, w: part.width() - 2*w.sc.cellPad}
		c := r.Cells[0]
		c.Bold = true
		ink := Black
		if w.sc.dense {
			ink = accent
		}
		s.lines = w.set(w.cellRuns(c, nil), s.w, part.size, part.line, ink)
		return []*stack{s}
	}
	var out []*stack
	byHand := false
	for _, c := range part.cols {
		cell := layout.RowCell(r, c.At)
		byHand = byHand || cell.Kind == document.CellWriteIn
		out = append(out, w.layCell(part, c, cell))
	}
	if byHand { // room for handwriting above the line
		room := part.line * w.sc.handRoom
		for _, s := range out {
			s.lines = append([]textLine{{lh: room, size: part.size}}, s.lines...)
			if draw := s.draw; draw != nil {
				s.draw = func(y float64) { draw(y + room) }
			}
		}
	}
	return out
}

// tablePart draws one part of a table over as many pages as it takes.
// rowHeight is the height of a row that a heading should stay with, or of its
// beginning where it is a tall one.
func (w *Writer) rowHeight(part *tablePart, i int) float64 {
	h := part.line
	if i < len(part.t.Rows) {
		for _, s := range w.layRow(part, part.t.Rows[i]) {
			h = max(h, s.height())
		}
	}
	return min(h, shortRow) + 2*part.pad
}

func (w *Writer) tablePart(part *tablePart) {
	w.gap(1)
	if part.first {
		w.anchor(part.t.ID, w.y)
	}
	w.head(part, "")
	again := func() { w.head(part, "continued") }
	rows := part.t.Rows
	for i, r := range rows {
		st := rowStyle{pad: part.pad, x: w.left, w: part.width(), under: w.sc.hair, ink: w.sc.hairInk,
			onPage: again}
		if part.first {
			for _, c := range r.Cells {
				if c.Anchor != "" {
					st.anchors = append(st.anchors, c.Anchor)
				}
			}
		}
		switch r.Kind {
		case document.RowGroup:
			st.keepNext = w.rowHeight(part, i+1)
			if w.sc.groupGround {
				st.fill = &pale
			} else {
				st.keepNext += w.rowHeight(part, i+2)
			}
		case document.RowTotal:
			w.Line(w.left, w.y, w.left+part.width(), w.y, 0.25, Black)
		}
		switch i {
		case len(rows) - w.rowsTogether(): // the last rows do not go over alone
			st.keepNext = part.below
			for j := i + 1; j < len(rows); j++ {
				st.keepNext += w.rowHeight(part, j)
			}
		case len(rows) - 1: // nor the notes
			st.keepNext = part.below
		}
		stacks := w.layRow(part, r)
		if w.RowSet != nil {
			most := 0
			for _, s := range stacks {
				most = max(most, len(s.lines))
			}
			w.RowSet(most, part.t.ID+": "+r.Cells[0].String())
		}
		w.row(stacks, st)
	}
	w.Line(w.left, w.y, w.left+part.width(), w.y, w.sc.rule, Black)
}

// headType is the size and the line of the heads of columns.
func (w *Writer) headType(part *tablePart) (size, line float64) {
	if w.sc.headSize > 0 {
		return min(w.sc.headSize, part.size), w.sc.headLine
	}
	return part.size, part.line - 0.2
}

// caption sets the line above a table or a chart: its number, what it shows, and a
// remark in grey.
func (w *Writer) caption(number int, kind, title, remark string) []textLine {
	var runs []layout.Run
	if number > 0 {
		runs = append(runs, layout.Run{Text: fmt.Sprintf("%s\u00a0%d\u00a0 ", kind, number),
			Style: layout.StyleBold, Accent: w.sc.dense})
	}
	runs = append(runs, layout.Run{Text: w.Clean.Clean(title), Style: w.sc.caption})
	if remark != "" {
		style := layout.StyleRegular
		if !w.sc.dense {
			style = layout.StyleItalic
		}
		runs = append(runs, layout.Run{Text: "  " + w.Clean.Clean(remark), Style: style, Grey: true})
	}
	return w.set(runs, w.width, w.sc.captionSize, w.sc.captionLine, Black)
}

// rowsTogether is how many rows stay together at the beginning and at the end of a table
// that goes over to another page.
func (w *Writer) rowsTogether() int {
	if w.sc.dense {
		return 4
	}
	return 2
}

// mostWhole is up to how many rows a table is not split where a page has room.
const mostWhole = 40

// wholeHeight is the height of a part with all that stands below it, 0 where it is
// too long to be kept whole.
func (w *Writer) wholeHeight(part *tablePart) float64 {
	if !w.sc.dense || len(part.t.Rows) > mostWhole {
		return 0
	}
	return w.headHeight(part) + w.rowsHeight(part) + part.below
}
