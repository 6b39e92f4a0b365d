package pdf

import (
	"fmt"

	"gallipot/dossier/document"
	"gallipot/dossier/document/layout"
)

// cellRuns returns the words or the figure of a cell, its marks and the number
// of its source behind it.
func (w *Writer) cellRuns(c document.Cell, sources map[string]int) []layout.Run {
	style := layout.StyleRegular
	switch {
	case c.Bold:
		style = layout.StyleBold
	case c.Kind == document.CellMissing:
		style = layout.StyleItalic
	}
	var out []layout.Run
	if s := w.Clean.Clean(c.String()); s != "" {
		out = append(out, layout.Run{Text: s, Style: style, Link: c.Link, Grey: c.Kind == document.CellMissing ||
			c.Faint})
	}
	if c.Kind == document.CellVerdict && c.Verdict == document.VerdictFail || c.Kind == document.CellFindings &&
		document.SeveritySymbol(c.Severity) == document.VerdictSymbols[document.VerdictFail] {
		out[0].Style = layout.StyleBold
	}
	return append(out, w.signRuns(c, sources)...)
}

// signRuns returns what is set raised behind a figure.
func (w *Writer) signRuns(c document.Cell, sources map[string]int) []layout.Run {
	s := w.Clean.Clean(w.d.Signs(c))
	if n := sources[c.Source]; n > 0 {
		s += fmt.Sprintf("[%d]", n)
	}
	if s == "" {
		return nil
	}
	return []layout.Run{{Text: "\u00a0" + s, Small: true, Grey: true}}
}

// unitSmaller is how much smaller than the figures the units in the head are set.
const unitSmaller = 0.5

// gauge measures tables in type of the given size.
func (w *Writer) gauge(sources map[string]int, size float64) *layout.Gauge {
	return &layout.Gauge{
		Width: w.width, Pad: w.sc.cellPad, Step: 2, Spread: true, HeadMost: 24,
		Widest: w.sc.widest, Tight: w.sc.tight, Tick: 4, Hand: w.sc.hand, HandMin: 14,
		Text: layout.RuneMM(size), Unit: layout.RuneMM(size - unitSmaller), Clean: w.Clean.Clean,
		Cell:  func(c document.Cell) []layout.Run { return w.cellRuns(c, sources) },
		Signs: func(c document.Cell) []layout.Run { return w.signRuns(c, sources) },
	}
}

// layCell sets a cell into its column.
func (w *Writer) layCell(part *tablePart, col *layout.Column, c document.Cell) *stack {
	s := &stack{x: col.X + w.sc.cellPad, w: col.W - 2*w.sc.cellPad, again: col.At == 0 || col.Fixed}
	switch c.Kind {
	case document.CellBlank:
		return s
	case document.CellTick:
		s.lines = []textLine{{size: part.size, lh: part.line}}
		s.draw = func(y float64) { w.tickBox(s.x+(s.w-2.8)/2, y+0.6, 2.8, c.Ticked) }
		return s
	case document.CellWriteIn:
		s.lines = []textLine{{size: part.size, lh: part.line}}
		s.draw = func(y float64) { w.Line(s.x, y+part.line-0.7, s.x+s.w, y+part.line-0.7, 0.15, Grey) }
		return s
	}
	if c.IsFigure() && col.IsFigure && layout.LineWidth(part.gauge.Cell(c),
		part.gauge.Text) <= s.w+layout.Slack {
		s.lines = []textLine{w.layFigure(part, col, c, s.w)}
		return s
	}
	s.lines = w.set(part.gauge.Cell(c), s.w, part.size, part.line, Black)
	for i := range s.lines {
		s.lines[i].flush = col.Align == document.AlignRight
		s.lines[i].mid = col.Align == document.AlignCentre
	}
	return s
}

// layFigure puts a figure on the decimal point of its column, marks right of it.
func (w *Writer) layFigure(part *tablePart, col *layout.Column, c document.Cell, width float64) textLine {
	runs := part.gauge.Cell(c)
	shift := min(part.gauge.Behind(c, col), width-layout.LineWidth(runs, part.gauge.Text))
	return textLine{runs: runs, size: part.size, lh: part.line, ink: Black, flush: true, shift: shift}
}

// tableParts is a table ready to be drawn.
type tablePart struct {
	tableType
	t      *document.Table
	cols   []*layout.Column
	gauge  *layout.Gauge
	remark string  // behind the caption: "(columns, part 2 of 3)"
	below  float64 // height of what stands below and should stay with the last rows
	first  bool    // the first part holds the anchors
}
