package pdf

import (
	"fmt"

	"gallipot/dossier/document"
	"gallipot/dossier/document/layout"
	"gallipot/dossier/words"
)

// table lists the pieces of a table: its parts, then what stands below it.
func (w *Writer) table(t *document.Table) []piece {
	caption := w.Clean.Clean(t.Title)
	if n := w.tableNo[t]; n > 0 {
		caption = fmt.Sprintf("Table %d  %s", n, caption)
	}
	if len(t.Rows) == 0 {
		return w.emptyTable(t, caption)
	}
	_, numbers := t.AllSources()
	g, size, groups := w.groups(t, numbers)
	var out []piece
	for i, cols := range groups {
		g.Share(cols, marginL)
		part := &tablePart{t: t, cols: cols, gauge: g, size: size, lh: tableLine * size / tableSize, caption: caption, first: i == 0}
		if len(groups) > 1 {
			part.caption = words.Joined(" ", caption, fmt.Sprintf("(columns, part %d of %d)", i+1, len(groups)))
		}
		last := i+1 == len(groups)
		var below []textLine
		if last {
			below = w.belowTable(t)
			part.below = min((&stack{lines: below}).height()+2, mostBelow)
		}
		out = append(out, piece{need: w.tableNeed(part), draw: func() {
			w.tablePart(part)
			if len(below) > 0 {
				w.row([]*stack{{x: marginL, w: TextW, lines: below}}, rowStyle{pad: 1, whole: mostBelow})
			}
			w.gap(gapBlock)
		}})
	}
	return out
}

// groups measures the columns and shares them out to parts. A crowded table is
// set in smaller type before a word is cut, and cut before it is parted.
func (w *Writer) groups(t *document.Table, numbers map[string]int) (*layout.Gauge, float64, [][]*layout.Column) {
	g := w.gauge(numbers, tableSize)
	cols := g.Columns(t)
	if g.LeastWidth(cols) <= TextW {
		return g, tableSize, [][]*layout.Column{cols}
	}
	small := w.gauge(numbers, crowdedSize)
	if crowded := small.Columns(t); small.TightWidth(crowded) <= TextW {
		return small, crowdedSize, small.Parts(crowded)
	}
	return g, tableSize, g.Parts(cols)
}

func (w *Writer) emptyTable(t *document.Table, caption string) []piece {
	words := t.Empty
	if words == "" {
		words = "nothing to list"
	}
	title := w.set([]layout.Run{{Text: caption, Style: layout.StyleBold}}, TextW, bodySize, bodyLine, Black)
	lines := append(title, w.set(w.plain(words, layout.StyleItalic), TextW, bodySize, bodyLine, Grey)...)
	return []piece{{need: bodyLine * 2, draw: func() {
		w.row([]*stack{{x: marginL, w: TextW, lines: lines}}, rowStyle{anchors: []string{t.ID}})
		w.gap(gapBlock)
	}}}
}

// belowTable sets notes, legend and sources.
func (w *Writer) belowTable(t *document.Table) []textLine {
	var out []textLine
	for _, n := range t.Notes {
		out = append(out, w.set(w.plain(n, layout.StyleRegular), TextW, smallSize, smallLine, Black)...)
	}
	out = append(out, w.legend(t)...)
	list, _ := t.AllSources()
	for i, s := range list {
		out = append(out, w.set(w.plain(fmt.Sprintf("[%d]\u00a0 %s", i+1, s), layout.StyleRegular), TextW, smallSize, smallLine, Grey)...)
	}
	for _, s := range t.Sources {
		out = append(out, w.set(w.plain("Source: "+s, layout.StyleRegular), TextW, smallSize, smallLine, Grey)...)
	}
	return out
}

const (
	captionLine = 4.6
	headPad     = 1.1
	rowPad      = 0.95
	mostBelow   = 80.0 // notes up to this height stay together, and with the last rows
)

// tableNeed is the height of caption, head and the first rows.
func (w *Writer) tableNeed(part *tablePart) float64 {
	h := w.headHeight(part)
	if part.t.Whole {
		if all := h + w.rowsHeight(part) + part.below; all <= bodyBottom-bodyTop {
			return all
		}
	}
	for i := 0; i < min(len(part.t.Rows), 2); i++ {
		rowH := 0.0
		for _, s := range w.layRow(part, part.t.Rows[i]) {
			rowH = max(rowH, s.height())
		}
		h += min(rowH, shortRow) + 2*rowPad
	}
	if len(part.t.Rows) <= 2 { // the notes stay with the last rows, so the head stays with all of it
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
		h += tallest + 2*rowPad
	}
	return h
}

func (w *Writer) headStacks(part *tablePart) []*stack {
	var out []*stack
	for _, c := range part.cols {
		s := &stack{x: c.X + cellPad, w: c.W - 2*cellPad}
		s.lines = w.set(w.plain(c.Head, layout.StyleBold), s.w, part.size, part.lh-0.2, Black)
		if c.Unit != "" {
			s.lines = append(s.lines, w.set(part.gauge.UnitRuns(c.Unit), s.w, part.size-unitSmaller, part.lh-0.25, Grey)...)
		}
		for i := range s.lines {
			s.lines[i].flush = c.Align == document.AlignRight
			s.lines[i].mid = c.Align == document.AlignCentre
			if c.IsFigure {
				s.lines[i].shift = max(0, min(c.Signs, s.w-layout.LineWidth(s.lines[i].runs, layout.RuneMM(s.lines[i].size))))
			}
		}
		out = append(out, s)
	}
	return out
}

func (w *Writer) captionLines(part *tablePart, more string) []textLine {
	if part.caption == "" {
		return nil
	}
	return w.set([]layout.Run{{Text: part.caption, Style: layout.StyleBold}, {Text: more, Style: layout.StyleItalic, Grey: true}},
		TextW, bodySize-0.5, captionLine, Black)
}

func (w *Writer) headHeight(part *tablePart) float64 {
	h := 0.0
	for _, s := range w.headStacks(part) {
		h = max(h, s.height())
	}
	return h + 2*headPad + float64(len(w.captionLines(part, "")))*captionLine + 1
}

// head draws caption and column heads; more is set behind the caption.
func (w *Writer) head(part *tablePart, more string) {
	if lines := w.captionLines(part, more); len(lines) > 0 {
		w.row([]*stack{{x: marginL, w: TextW, lines: lines}}, rowStyle{})
		w.took(1)
	}
	width := part.width()
	w.Line(marginL, w.y, marginL+width, w.y, 0.4, Black)
	// heads of one line stand at the foot of the head row
	stacks := w.headStacks(part)
	h := 0.0
	for _, s := range stacks {
		h = max(h, s.height())
	}
	for _, s := range stacks {
		if lack := h - s.height(); lack > 0 {
			s.lines = append([]textLine{{lh: lack, size: tableSize}}, s.lines...)
		}
	}
	w.row(stacks, rowStyle{pad: headPad, x: marginL, w: width, under: 0.25, ink: Black})
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
		s := &stack{x: marginL + cellPad, w: part.width() - 2*cellPad}
		c := r.Cells[0]
		c.Bold = true
		s.lines = w.set(w.cellRuns(c, nil), s.w, tableSize, tableLine, Black)
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
		for _, s := range out {
			s.lines = append([]textLine{{lh: tableLine * 0.6, size: tableSize}}, s.lines...)
			if draw := s.draw; draw != nil {
				s.draw = func(y float64) { draw(y + tableLine*0.6) }
			}
		}
	}
	return out
}

// tablePart draws one part of a table over as many pages as it takes.
// rowHeight is the height of a row that a heading should stay with, or of its
// beginning where it is a tall one.
func (w *Writer) rowHeight(part *tablePart, i int) float64 {
	h := tableLine
	if i < len(part.t.Rows) {
		for _, s := range w.layRow(part, part.t.Rows[i]) {
			h = max(h, s.height())
		}
	}
	return min(h, shortRow) + 2*rowPad
}

func (w *Writer) tablePart(part *tablePart) {
	w.gap(1)
	if part.first {
		w.anchor(part.t.ID, w.y)
	}
	w.head(part, "")
	again := func() { w.head(part, "  continued") }
	rows := part.t.Rows
	for i, r := range rows {
		st := rowStyle{pad: rowPad, x: marginL, w: part.width(), under: 0.1, ink: Rule, onPage: again}
		if part.first {
			for _, c := range r.Cells {
				if c.Anchor != "" {
					st.anchors = append(st.anchors, c.Anchor)
				}
			}
		}
		switch r.Kind {
		case document.RowGroup:
			st.fill, st.keepNext = &pale, w.rowHeight(part, i+1)
		case document.RowTotal:
			w.Line(marginL, w.y, marginL+part.width(), w.y, 0.25, Black)
		}
		switch i {
		case len(rows) - 2: // the last row does not go over alone
			st.keepNext = tableLine + 2*rowPad + part.below
		case len(rows) - 1: // nor the notes
			st.keepNext = part.below
		}
		w.row(w.layRow(part, r), st)
	}
	w.Line(marginL, w.y, marginL+part.width(), w.y, 0.4, Black)
}
