package dossier

import (
	"fmt"
	"strings"
)

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

// splitFigure cuts a figure at its decimal point; the point goes to the right part.
func splitFigure(s string) (left, right string) {
	if i := strings.IndexByte(s, '.'); i >= 0 {
		return s[:i], s[i:]
	}
	if i := strings.IndexRune(s, '\u00a0'); i >= 0 { // a unit behind a whole number
		return s[:i], s[i:]
	}
	return s, ""
}

// column is one column of a table, measured.
type column struct {
	Column
	at       int // its place in the table
	kind     ColumnKind
	align    Align
	x, w     float64
	least    float64 // narrowest that cuts no word
	tight    float64 // narrowest where long words may be cut
	natural  float64 // where nothing has to be broken
	signs    float64 // room for marks right of the figures
	left     float64 // widest part before the decimal point
	right    float64 // and from the point on
	cells    []float64
	size, lh float64 // of the type
	weight   float64
	isFigure bool
}

// cellPad is the white space left and right of a cell's text, in mm.
const cellPad = 1.3

// unitSmaller is how much smaller than the figures the units in the head are set.
const unitSmaller = 0.5

// measureColumns finds how much room each column needs.
func (w *pdfWriter) measureColumns(t *Table, sources map[string]int, size float64) []*column {
	cols := make([]*column, len(t.Columns))
	for i, c := range t.Columns {
		col := &column{Column: c, at: i, kind: t.kind(i), align: t.align(i), weight: c.Weight,
			size: size, lh: tableLine * size / tableSize}
		if col.weight == 0 {
			col.weight = 1
		}
		col.isFigure = col.kind != KindText && c.Align == AlignAuto
		measure := runeMM(size)
		col.least = max(longestPiece(w.plain(c.Head, styleBold), measure), longestPiece(w.unitRuns(c.Unit), runeMM(size-unitSmaller)))
		col.tight = col.least
		col.natural = max(col.least, min(lineWidth(w.plain(c.Head, styleBold), measure), 24))
		for _, r := range t.Rows {
			if r.Kind != RowGroup {
				w.measureCell(col, w.rowCell(r, i), sources)
			}
		}
		figures := col.left + col.right + col.signs
		col.least, col.natural = max(col.least, figures), max(col.natural, figures)
		col.tight = max(col.tight, figures)
		cols[i] = col
	}
	return cols
}

// unitRuns keeps a short unit on one line, and a longer one whole between spaces.
func (w *pdfWriter) unitRuns(unit string) []run {
	if len(unit) <= 12 {
		unit = strings.ReplaceAll(unit, " ", "\u00a0")
	}
	return []run{{text: w.clean.clean(unit), whole: true}}
}

// rowCell returns the cell of a row as it is set: those of totals are bold.
func (w *pdfWriter) rowCell(r Row, i int) Cell {
	c := r.Cells[i]
	c.Bold = c.Bold || r.Kind == RowTotal
	return c
}

// The widest piece of a word that a column is made wide enough for, in mm.
// Longer ones are cut anywhere, which no name in practice needs. Where that keeps
// a table in one part, tightPiece is enough.
const (
	widestPiece = 34.0
	tightPiece  = 25.0
)

func (w *pdfWriter) measureCell(col *column, c Cell, sources map[string]int) {
	measure := runeMM(col.size)
	runs := w.cellRuns(c, sources)
	natural := lineWidth(runs, measure)
	switch {
	case c.IsFigure() && col.isFigure:
		signs := lineWidth(w.signRuns(c, sources), measure)
		col.signs = max(col.signs, signs)
		left, right := w.figureParts(c, col)
		col.left, col.right = max(col.left, left), max(col.right, right)
		natural = 0
	case c.IsFigure():
		col.least, col.tight = max(col.least, natural), max(col.tight, natural)
	case c.Kind == CellTick:
		natural = 4
	case c.Kind == CellWriteIn:
		natural = 22
		col.least, col.tight = max(col.least, 14), max(col.tight, 14)
	default:
		piece := longestPiece(runs, measure)
		col.least = max(col.least, min(piece, widestPiece))
		col.tight = max(col.tight, min(piece, tightPiece))
	}
	col.natural = max(col.natural, natural)
	col.cells = append(col.cells, natural)
}

// figureParts returns the widths of a figure before and from its decimal point.
// A column with ranges has no point to stand on: all of it is set to the right.
func (w *pdfWriter) figureParts(c Cell, col *column) (left, right float64) {
	style := styleRegular
	if c.Bold {
		style = styleBold
	}
	l, r := w.clean.clean(c.String()), ""
	if col.kind != KindRange {
		l, r = splitFigure(l)
	}
	return textMM(l, style, col.size), textMM(r, style, col.size)
}

// layCell sets a cell into its column.
func (w *pdfWriter) layCell(col *column, c Cell, sources map[string]int) *stack {
	s := &stack{x: col.x + cellPad, w: col.w - 2*cellPad, again: col.at == 0 || col.Fixed}
	switch c.Kind {
	case CellBlank:
		return s
	case CellTick:
		s.lines = []textLine{{size: col.size, lh: col.lh}}
		s.draw = func(y float64) { w.tickBox(s.x+(s.w-2.8)/2, y+0.6, 2.8, c.Ticked) }
		return s
	case CellWriteIn:
		s.lines = []textLine{{size: col.size, lh: col.lh}}
		s.draw = func(y float64) { w.line(s.x, y+col.lh-0.7, s.x+s.w, y+col.lh-0.7, 0.15, grey) }
		return s
	}
	if c.IsFigure() && col.isFigure {
		s.lines = []textLine{w.layFigure(col, c, sources)}
		return s
	}
	s.lines = w.set(w.cellRuns(c, sources), s.w, col.size, col.lh, black)
	for i := range s.lines {
		s.lines[i].flush = col.align == AlignRight
		s.lines[i].mid = col.align == AlignCentre
	}
	return s
}

// layFigure puts a figure on the decimal point of its column, marks right of it.
func (w *pdfWriter) layFigure(col *column, c Cell, sources map[string]int) textLine {
	runs := w.cellRuns(c, sources)
	signs := lineWidth(w.signRuns(c, sources), runeMM(col.size))
	_, right := w.figureParts(c, col)
	return textLine{runs: runs, size: col.size, lh: col.lh, ink: black, flush: true,
		shift: col.signs - signs + col.right - right}
}
