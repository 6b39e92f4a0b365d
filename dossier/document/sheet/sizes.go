package sheet

import (
	"math"
	"slices"
	"strings"

	"gallipot/dossier/document"
	"gallipot/dossier/document/layout"
	"gallipot/dossier/words"
)

// The widths of columns, in the width of a digit.
const (
	leastColumn  = 7.0
	mostColumn   = 45.0  // of words: longer ones wrap
	leastWords   = 14.0  // a column of words is not made narrower to save room
	longestWord  = 19.0  // nor narrower than its words, as far as they are no longer than that
	widestColumn = 110.0 // of a text that would be too high for a row
	goodSheet    = 205.0 // up to here columns of words stay as wide as they like
)

// The heights of rows in points.
const (
	lineHeight  = 12.75
	mostHeight  = 409.0 // more a sheet does not take
	titleHeight = 22.0
)

// width returns the width of column i from 0.
func (s *xlsxSheet) width(i int) float64 { return max(s.widths[i]+2.5, leastColumn) }

// total returns the width of the first n columns as they print, with the white
// space that programs put around each.
func (s *xlsxSheet) total(n int) float64 {
	sum := 0.0
	for i := range min(n, len(s.widths)) {
		sum += s.width(i) + 0.7
	}
	return sum
}

// widen makes a column of the sheet at least as wide as so many digits. A column
// of words may be narrowed again to least.
func (s *xlsxSheet) widen(col int, chars, least float64) {
	for len(s.widths) < col {
		s.widths, s.narrow = append(s.widths, 0), append(s.narrow, 0)
	}
	s.widths[col-1] = max(s.widths[col-1], chars)
	s.narrow[col-1] = max(s.narrow[col-1], min(least, chars))
}

// widenFor looks at what a cell shows: a figure must not be cut, words wrap.
func (x *XLSXWriter) widenFor(p *XLSXTable, i int, c document.Cell, figures []figure) {
	for k := range p.Width[i] {
		col := p.First[i] + k
		switch {
		case len(figures) == 0:
			words := x.words(c)
			if c.Kind == document.CellVerdict && c.Verdict != document.VerdictMet {
				words += "  " // set in bold or italics
			}
			most := mostColumn / float64(min(p.Width[i], 2))
			least := max(min(widestWord(words), longestWord), leastWords)
			if c.Link != "" { // some programs do not wrap a link
				least = widestLine(words)
			}
			p.Sheet.widen(col, min(widestLine(words), most), min(least, most))
			continue
		case c.Kind == document.CellRange:
			p.Sheet.widenFigure(col, figures[k%3].printed)
		case c.Unit != "":
			p.Sheet.widenFigure(col, figures[0].printed+"\u00a0"+c.Unit)
		default:
			p.Sheet.widenFigure(col, figures[0].printed)
		}
		if c.Input != nil || c.Formula != "" {
			p.Sheet.widenFigure(col, liveSample)
		}
	}
}

// liveSample is as wide as a figure that may change gets in its format.
const liveSample = "0.000E00"

func (s *xlsxSheet) widenFigure(col int, text string) {
	w := widestLine(text)
	s.widen(col, w, w)
}

// wrap notes a text that may take several lines.
func (s *xlsxSheet) wrap(col, row int, phrases string) {
	if phrases != "" {
		s.wraps = append(s.wraps, wrapped{row, col, words.Printable(phrases)})
	}
}

// fitWidths narrows the columns of words until the sheet prints at a size that
// can be read, so that the longest text of each takes about as many lines. No
// text may need a row higher than a sheet takes.
func (s *xlsxSheet) fitWidths() {
	length := make([]float64, len(s.widths))
	for _, w := range s.wraps {
		if w.col <= len(length) {
			length[w.col-1] = max(length[w.col-1], layout.LineWidth([]layout.Run{{Text: w.words}}, sheetMeasure))
			s.fitHeight(w)
		}
	}
	target, floor := goodSheet, 0.0
	for i, w := range s.narrow {
		s.widths[i] = max(s.widths[i], w)
		floor += w + 3.2
	}
	switch onePage := acrossPage/leastScale - 5; {
	case floor > onePage: // several pages wide in any case
		return
	case floor > 0.85*target: // hardly any room to deal out: rather smaller print
		target = onePage
	}
	natural := slices.Clone(s.widths)
	for lines := 1.0; lines < 60 && s.total(len(s.widths)) > target; lines *= 1.05 {
		for i := range s.widths {
			s.widths[i] = min(natural[i], max(s.narrow[i], length[i]/lines))
		}
	}
}

// fitHeight raises the least width of a column until a text fits into a row.
func (s *xlsxSheet) fitHeight(w wrapped) {
	natural := s.widths[w.col-1]
	defer func() { s.widths[w.col-1] = natural }()
	for least := &s.narrow[w.col-1]; *least < widestColumn; *least = min(*least*1.2+2, widestColumn) {
		s.widths[w.col-1] = *least
		if float64(len([]rune(w.words))) / *least * lineHeight < mostHeight/2 && strings.Count(w.words, "\n") < 5 {
			return // far from the limit: no need to break lines
		}
		if float64(s.linesOf(w))*lineHeight < mostHeight-lineHeight {
			return
		}
	}
}

// linesOf is how many lines a text takes in its column.
func (s *xlsxSheet) linesOf(w wrapped) int {
	return len(layout.WrapRuns([]layout.Run{{Text: w.words}}, s.width(w.col-1)-2.3, sheetMeasure))
}

// sizes sets the widths of the columns and the heights of the rows.
func (x *XLSXWriter) sizes(s *xlsxSheet) error {
	s.fitWidths()
	for i := range s.widths {
		if err := x.f.SetColWidth(s.Name, columnName(i+1), columnName(i+1),
			math.Round(s.width(i)*10)/10); err != nil {
			return err
		}
	}
	s.rows.setHeight(1, titleHeight)
	lines := map[int]int{}
	last := 0
	for _, w := range s.wraps {
		if w.col <= len(s.widths) {
			lines[w.row] = max(lines[w.row], s.linesOf(w))
			last = max(last, w.row)
		}
	}
	for row := 1; row <= last; row++ {
		if n := lines[row]; n > 1 {
			s.rows.setHeight(row, min(float64(n)*lineHeight+2, mostHeight))
		}
	}
	return nil
}

// What a page of A4 holds at full size, in widths of a digit, with the margins of
// pageLayout; and the scale below which print can no longer be read.
const (
	uprightPage = 100.0
	acrossPage  = 146.0
	leastScale  = 0.6
)
