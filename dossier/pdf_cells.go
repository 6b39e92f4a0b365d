package dossier

import "fmt"

// cellRuns returns the words or the figure of a cell, its marks and the number
// of its source behind it.
func (w *pdfWriter) cellRuns(c Cell, sources map[string]int) []run {
	style := styleRegular
	switch {
	case c.Bold:
		style = styleBold
	case c.Kind == CellMissing:
		style = styleItalic
	}
	var out []run
	if s := w.clean.clean(c.String()); s != "" {
		out = append(out, run{text: s, style: style, link: c.Link, grey: c.Kind == CellMissing})
	}
	if c.Kind == CellVerdict && c.Verdict == VerdictFail || c.Kind == CellFindings && severitySymbol(c.Severity) == verdictSymbols[VerdictFail] {
		out[0].style = styleBold
	}
	return append(out, w.signRuns(c, sources)...)
}

// signRuns returns what is set raised behind a figure.
func (w *pdfWriter) signRuns(c Cell, sources map[string]int) []run {
	s := w.clean.clean(w.d.signs(c))
	if n := sources[c.Source]; n > 0 {
		s += fmt.Sprintf("[%d]", n)
	}
	if s == "" {
		return nil
	}
	return []run{{text: "\u00a0" + s, small: true, grey: true}}
}

// cellPad is the white space left and right of a cell's text, in mm.
const cellPad = 1.3

// unitSmaller is how much smaller than the figures the units in the head are set.
const unitSmaller = 0.5

// gauge measures tables in type of the given size.
func (w *pdfWriter) gauge(sources map[string]int, size float64) *gauge {
	return &gauge{
		width: textW, pad: cellPad, step: 2, spread: true, headMost: 24,
		widest: 34, tight: 25, tick: 4, hand: 22, handMin: 14,
		text: runeMM(size), unit: runeMM(size - unitSmaller), clean: w.clean.clean,
		cell:  func(c Cell) []run { return w.cellRuns(c, sources) },
		signs: func(c Cell) []run { return w.signRuns(c, sources) },
	}
}

// layCell sets a cell into its column.
func (w *pdfWriter) layCell(part *tablePart, col *column, c Cell) *stack {
	s := &stack{x: col.x + cellPad, w: col.w - 2*cellPad, again: col.at == 0 || col.Fixed}
	switch c.Kind {
	case CellBlank:
		return s
	case CellTick:
		s.lines = []textLine{{size: part.size, lh: part.lh}}
		s.draw = func(y float64) { w.tickBox(s.x+(s.w-2.8)/2, y+0.6, 2.8, c.Ticked) }
		return s
	case CellWriteIn:
		s.lines = []textLine{{size: part.size, lh: part.lh}}
		s.draw = func(y float64) { w.line(s.x, y+part.lh-0.7, s.x+s.w, y+part.lh-0.7, 0.15, grey) }
		return s
	}
	if c.IsFigure() && col.isFigure && lineWidth(part.gauge.cell(c), part.gauge.text) <= s.w+slack {
		s.lines = []textLine{w.layFigure(part, col, c, s.w)}
		return s
	}
	s.lines = w.set(part.gauge.cell(c), s.w, part.size, part.lh, black)
	for i := range s.lines {
		s.lines[i].flush = col.align == AlignRight
		s.lines[i].mid = col.align == AlignCentre
	}
	return s
}

// layFigure puts a figure on the decimal point of its column, marks right of it.
func (w *pdfWriter) layFigure(part *tablePart, col *column, c Cell, width float64) textLine {
	runs := part.gauge.cell(c)
	shift := min(part.gauge.behind(c, col), width-lineWidth(runs, part.gauge.text))
	return textLine{runs: runs, size: part.size, lh: part.lh, ink: black, flush: true, shift: shift}
}
