package dossier

import "fmt"

// tableParts is a table ready to be drawn.
type tablePart struct {
	t       *Table
	cols    []*column
	gauge   *gauge
	size    float64 // of the type
	lh      float64
	caption string  // "Table 3  Composition (part 2 of 3)"
	below   float64 // height of what stands below and should stay with the last rows
	first   bool    // the first part holds the anchors
}

// table lists the pieces of a table: its parts, then what stands below it.
func (w *pdfWriter) table(t *Table) []piece {
	caption := w.clean.clean(t.Title)
	if n := w.tableNo[t]; n > 0 {
		caption = fmt.Sprintf("Table %d  %s", n, caption)
	}
	if len(t.Rows) == 0 {
		return w.emptyTable(t, caption)
	}
	_, numbers := t.sources()
	g, size, groups := w.groups(t, numbers)
	var out []piece
	for i, cols := range groups {
		g.share(cols, marginL)
		part := &tablePart{t: t, cols: cols, gauge: g, size: size, lh: tableLine * size / tableSize, caption: caption, first: i == 0}
		if len(groups) > 1 {
			part.caption = joined(" ", caption, fmt.Sprintf("(columns, part %d of %d)", i+1, len(groups)))
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
				w.row([]*stack{{x: marginL, w: textW, lines: below}}, rowStyle{pad: 1, whole: mostBelow})
			}
			w.gap(gapBlock)
		}})
	}
	return out
}

// groups measures the columns and shares them out to parts. A crowded table is
// set in smaller type before a word is cut, and cut before it is parted.
func (w *pdfWriter) groups(t *Table, numbers map[string]int) (*gauge, float64, [][]*column) {
	g := w.gauge(numbers, tableSize)
	cols := g.columns(t)
	if g.leastWidth(cols) <= textW {
		return g, tableSize, [][]*column{cols}
	}
	small := w.gauge(numbers, crowdedSize)
	if crowded := small.columns(t); small.tightWidth(crowded) <= textW {
		return small, crowdedSize, small.parts(crowded)
	}
	return g, tableSize, g.parts(cols)
}

func (w *pdfWriter) emptyTable(t *Table, caption string) []piece {
	words := t.Empty
	if words == "" {
		words = "nothing to list"
	}
	title := w.set([]run{{text: caption, style: styleBold}}, textW, bodySize, bodyLine, black)
	lines := append(title, w.set(w.plain(words, styleItalic), textW, bodySize, bodyLine, grey)...)
	return []piece{{need: bodyLine * 2, draw: func() {
		w.row([]*stack{{x: marginL, w: textW, lines: lines}}, rowStyle{anchors: []string{t.ID}})
		w.gap(gapBlock)
	}}}
}

// belowTable sets notes, legend and sources.
func (w *pdfWriter) belowTable(t *Table) []textLine {
	var out []textLine
	for _, n := range t.Notes {
		out = append(out, w.set(w.plain(n, styleRegular), textW, smallSize, smallLine, black)...)
	}
	out = append(out, w.legend(t)...)
	list, _ := t.sources()
	for i, s := range list {
		out = append(out, w.set(w.plain(fmt.Sprintf("[%d]\u00a0 %s", i+1, s), styleRegular), textW, smallSize, smallLine, grey)...)
	}
	for _, s := range t.Sources {
		out = append(out, w.set(w.plain("Source: "+s, styleRegular), textW, smallSize, smallLine, grey)...)
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
func (w *pdfWriter) tableNeed(part *tablePart) float64 {
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
func (w *pdfWriter) rowsHeight(part *tablePart) (h float64) {
	for _, r := range part.t.Rows {
		tallest := 0.0
		for _, s := range w.layRow(part, r) {
			tallest = max(tallest, s.height())
		}
		h += tallest + 2*rowPad
	}
	return h
}

func (w *pdfWriter) headStacks(part *tablePart) []*stack {
	var out []*stack
	for _, c := range part.cols {
		s := &stack{x: c.x + cellPad, w: c.w - 2*cellPad}
		s.lines = w.set(w.plain(c.Head, styleBold), s.w, part.size, part.lh-0.2, black)
		if c.Unit != "" {
			s.lines = append(s.lines, w.set(part.gauge.unitRuns(c.Unit), s.w, part.size-unitSmaller, part.lh-0.25, grey)...)
		}
		for i := range s.lines {
			s.lines[i].flush = c.align == AlignRight
			s.lines[i].mid = c.align == AlignCentre
			if c.isFigure {
				s.lines[i].shift = max(0, min(c.signs, s.w-lineWidth(s.lines[i].runs, runeMM(s.lines[i].size))))
			}
		}
		out = append(out, s)
	}
	return out
}

func (w *pdfWriter) captionLines(part *tablePart, more string) []textLine {
	if part.caption == "" {
		return nil
	}
	return w.set([]run{{text: part.caption, style: styleBold}, {text: more, style: styleItalic, grey: true}},
		textW, bodySize-0.5, captionLine, black)
}

func (w *pdfWriter) headHeight(part *tablePart) float64 {
	h := 0.0
	for _, s := range w.headStacks(part) {
		h = max(h, s.height())
	}
	return h + 2*headPad + float64(len(w.captionLines(part, "")))*captionLine + 1
}

// head draws caption and column heads; more is set behind the caption.
func (w *pdfWriter) head(part *tablePart, more string) {
	if lines := w.captionLines(part, more); len(lines) > 0 {
		w.row([]*stack{{x: marginL, w: textW, lines: lines}}, rowStyle{})
		w.took(1)
	}
	width := part.width()
	w.line(marginL, w.y, marginL+width, w.y, 0.4, black)
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
	w.row(stacks, rowStyle{pad: headPad, x: marginL, w: width, under: 0.25, ink: black})
}

func (p *tablePart) width() float64 {
	wd := 0.0
	for _, c := range p.cols {
		wd += c.w
	}
	return wd
}

func (w *pdfWriter) layRow(part *tablePart, r Row) []*stack {
	if r.Kind == RowGroup {
		s := &stack{x: marginL + cellPad, w: part.width() - 2*cellPad}
		c := r.Cells[0]
		c.Bold = true
		s.lines = w.set(w.cellRuns(c, nil), s.w, tableSize, tableLine, black)
		return []*stack{s}
	}
	var out []*stack
	byHand := false
	for _, c := range part.cols {
		cell := rowCell(r, c.at)
		byHand = byHand || cell.Kind == CellWriteIn
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
func (w *pdfWriter) rowHeight(part *tablePart, i int) float64 {
	h := tableLine
	if i < len(part.t.Rows) {
		for _, s := range w.layRow(part, part.t.Rows[i]) {
			h = max(h, s.height())
		}
	}
	return min(h, shortRow) + 2*rowPad
}

func (w *pdfWriter) tablePart(part *tablePart) {
	w.gap(1)
	if part.first {
		w.anchor(part.t.ID, w.y)
	}
	w.head(part, "")
	again := func() { w.head(part, "  continued") }
	rows := part.t.Rows
	for i, r := range rows {
		st := rowStyle{pad: rowPad, x: marginL, w: part.width(), under: 0.1, ink: rule, onPage: again}
		if part.first {
			for _, c := range r.Cells {
				if c.Anchor != "" {
					st.anchors = append(st.anchors, c.Anchor)
				}
			}
		}
		switch r.Kind {
		case RowGroup:
			st.fill, st.keepNext = &pale, w.rowHeight(part, i+1)
		case RowTotal:
			w.line(marginL, w.y, marginL+part.width(), w.y, 0.25, black)
		}
		switch i {
		case len(rows) - 2: // the last row does not go over alone
			st.keepNext = tableLine + 2*rowPad + part.below
		case len(rows) - 1: // nor the notes
			st.keepNext = part.below
		}
		w.row(w.layRow(part, r), st)
	}
	w.line(marginL, w.y, marginL+part.width(), w.y, 0.4, black)
}
