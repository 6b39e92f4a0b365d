package sheet

import (
	"math"
	"strconv"
	"strings"
	"time"

	"github.com/xuri/excelize/v2"

	"gallipot/dossier/document"
	"gallipot/dossier/document/layout"
	"gallipot/dossier/words"
	"gallipot/ingredients/exact"
)

// xlsxStyle is what the looks of a cell depend on.
type xlsxStyle struct {
	format  string // number format, "" for none
	bold    bool
	italic  bool
	size    float64
	fill    bool
	top     bool
	bottom  bool
	right   bool // set to the right
	centre  bool
	left    bool
	indent  bool // to the left, a little off the column before
	wrap    bool
	link    bool
	grey    bool
	written bool // to be filled in
	open    bool // may be typed into
	loose   bool // holds a formula until something is typed over it
}

const (
	SheetFont = "Arial" // or a font of the same widths, which every office program has
	SheetSize = 10.0
	inkGrey   = "5C5C5C"
	inkLink   = "224E3E"
	paleFill  = "F1F1EF"
	openFill  = "FFF2BF"
	looseFill = "FFFBEA"
)

// baseFont sets the font that the widths of columns count in.
func (x *XLSXWriter) baseFont() error {
	if err := x.f.SetDefaultFont(SheetFont); err != nil {
		return err
	}
	if size := x.f.Styles.Fonts.Font[0].Sz; size != nil {
		*size.Val = SheetSize
	}
	return nil
}

// style returns the number of a style, made at its first use.
func (x *XLSXWriter) style(s xlsxStyle) (int, error) {
	if n, ok := x.styles[s]; ok {
		return n, nil
	}
	key := s
	if s.size == 0 {
		s.size = SheetSize
	}
	st := &excelize.Style{
		Font:      &excelize.Font{Family: SheetFont, Size: s.size, Bold: s.bold, Italic: s.italic},
		Alignment: &excelize.Alignment{Vertical: "top", WrapText: s.wrap},
	}
	switch {
	case s.link:
		st.Font.Color, st.Font.Underline = inkLink, "single"
	case s.grey:
		st.Font.Color = inkGrey
	}
	switch {
	case s.right:
		st.Alignment.Horizontal = "right"
	case s.indent:
		st.Alignment.Horizontal, st.Alignment.Indent = "left", 1
	case s.left:
		st.Alignment.Horizontal = "left"
	case s.centre:
		st.Alignment.Horizontal = "center"
	}
	if format := s.format; format != "" {
		st.CustomNumFmt = &format
	}
	if s.fill {
		st.Fill = excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{paleFill}}
	}
	s.edge(st)
	n, err := x.f.NewStyle(st)
	if err != nil {
		return 0, err
	}
	x.styles[key] = n
	return n, nil
}

// edge sets what lies around the words: lock, fill and lines.
func (s xlsxStyle) edge(st *excelize.Style) {
	if s.written {
		st.Protection = &excelize.Protection{}
	}
	if s.open {
		st.Protection = &excelize.Protection{}
		fill, line := openFill, 1
		if s.loose {
			fill, line = looseFill, 4
		}
		st.Fill = excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{fill}}
		for _, side := range []string{"left", "right", "top", "bottom"} {
			st.Border = append(st.Border, excelize.Border{Type: side, Style: line, Color: "8C7A3A"})
		}
		s.top, s.bottom = false, false
	}
	if s.top {
		st.Border = append(st.Border, excelize.Border{Type: "top", Style: 1, Color: "000000"})
	}
	if s.bottom {
		st.Border = append(st.Border, excelize.Border{Type: "bottom", Style: 1, Color: "000000"})
	}
}

// put writes one cell: a number as its exact text, or words.
func (x *XLSXWriter) put(sheet *xlsxSheet, col, row int, number, words string, s xlsxStyle) error {
	return x.putComputed(sheet, col, row, number, words, "", s)
}

// putComputed writes one cell with a formula, or none for "", beside the number
// or the words that it comes to.
func (x *XLSXWriter) putComputed(sheet *xlsxSheet, col, row int, number, words, formula string, s xlsxStyle) error {
	style, err := x.style(s)
	if err != nil {
		return err
	}
	c := xlsxCell{row: row, col: col, style: style, number: number, text: noText, formula: formula}
	switch {
	case number != "" || words == "":
	case formula != "":
		c.result = sheetText(words)
	default:
		c.text = x.texts.number(sheetText(words))
	}
	return sheet.rows.add(c)
}

// longestText is what a cell of a sheet holds at most, in UTF-16 units, less the
// room for the words that say so.
const longestText = 32_000

// sheetText makes words fit for a cell.
func sheetText(s string) string {
	s = words.Printable(s)
	n := 0
	for i, r := range s {
		n++
		if r > layout.LastRune {
			n++
		}
		if n > longestText {
			return s[:i] + " … (cut here: a cell holds no more; the PDF has all of it)"
		}
	}
	return s
}

// figure is a number of a cell: as the sheet stores it, as the other printers
// print it without its unit, and the format that shows the same digits.
type figure struct{ Stored, printed, format string }

// FiguresOf returns a cell's figures, three for a range and none for a cell
// without one.
func FiguresOf(c document.Cell) []figure {
	exact := func(n exact.Num) figure {
		printed := document.FormatNum(n, c.Rule)
		return figure{n.Decimal(), printed, numberFormat(printed, c.Unit)}
	}
	switch c.Kind {
	case document.CellNum:
		return []figure{exact(c.Num)}
	case document.CellRange:
		return []figure{exact(c.Range.Min), exact(c.Range.Typ), exact(c.Range.Max)}
	case document.CellFloat:
		if !math.IsNaN(c.Float) && !math.IsInf(c.Float, 0) {
			printed := document.FormatFloat(c.Float, c.Digits)
			return []figure{{strconv.FormatFloat(c.Float, 'g', -1, 64), printed, numberFormat(printed, c.Unit)}}
		}
	case document.CellDate:
		return []figure{{strconv.Itoa(sheetDay(c.Date)), c.Date.String(), "yyyy-mm-dd"}}
	}
	return nil
}

// sheetDay counts days as spreadsheets do.
func sheetDay(d exact.Date) int {
	return int(d.Time().Sub(time.Date(1899, 12, 30, 0, 0, 0, 0, time.UTC)).Hours() / 24)
}

// numberFormat returns the format that shows a number with the digits of its
// printed text.
func numberFormat(printed, unit string) string {
	format := "0"
	mantissa, _, power := strings.Cut(printed, " × ")
	if _, frac, ok := strings.Cut(mantissa, "."); ok {
		format += "." + strings.Repeat("0", len(frac))
	}
	if power {
		format += "E+00"
	}
	if unit != "" {
		format += ` "` + strings.ReplaceAll(words.Printable(unit), `"`, "") + `"`
	}
	return format
}

// The formats of figures that may change: digits enough for small ones, and
// those of like size under each other.
const (
	livePct   = `[=0]0;[<0.001]0.000E+00;0.0000`
	liveFloat = `[=0]0;[<0.001]0.000E+00;0.0000`
	liveRatio = `[<10]0.000;[<1000]0.0;0`
)

// liveFormat returns the format of a figure that may change: one fit for any
// value, where the digits of today's could hide those of tomorrow's.
func liveFormat(c document.Cell, format string) string {
	switch {
	case c.Rule.Kind == document.FixedRule || c.Kind == document.CellDate:
		return format
	case c.Input != nil:
		if places(format) > 6 {
			return livePct
		}
		return "General"
	case c.Formula == "" && c.Kind == document.CellFloat && c.Digits <= document.RatioDigits && math.Abs(c.Float) >= 1000:
		return "0"
	case c.Formula == "":
		return format
	case c.Kind == document.CellFloat && c.Digits <= document.RatioDigits:
		return liveRatio
	case c.Kind == document.CellFloat:
		return liveFloat
	case c.Rule.Kind == document.PctRule || c.Rule.Kind == document.RuleBeside:
		return livePct
	}
	return "General"
}

// places counts the decimals that a format shows.
func places(format string) int {
	_, frac, _ := strings.Cut(format, ".")
	return strings.Count(frac, "0")
}

// tableCell writes a cell of a table, over as many columns as it has.
func (x *XLSXWriter) tableCell(p *XLSXTable, i int, r document.Row, row int) error {
	c := layout.RowCell(r, i)
	st := xlsxStyle{bold: c.Bold, top: r.Kind == document.RowTotal, wrap: true}
	switch p.T.Align(i) {
	case document.AlignRight:
		st.right = true
	case document.AlignCentre:
		st.centre = true
	}
	figures := FiguresOf(c)
	x.widenFor(p, i, c, figures)
	for k := range p.Width[i] {
		col := p.First[i] + k
		number, words, s := "", "", st
		s.indent = col > 1 && !s.right && !s.centre
		if len(figures) > 0 {
			n := min(k, len(figures)-1)
			if p.Width[i] == 1 {
				n = len(figures) - 1 // of a range that has one column, the max
			}
			number = figures[n].Stored
			s.format, s.wrap = liveFormat(c, figures[n].format), false
		} else {
			words = x.words(c)
		}
		switch c.Kind {
		case document.CellMissing:
			s.italic, s.grey = true, true
		case document.CellWriteIn:
			s.bottom, s.written = true, true
		}
		if c.Input != nil {
			s.open, s.loose = true, c.Input.Follows
			p.Sheet.input(col, row, *c.Input)
		}
		if err := x.linked(p.Sheet, col, row, c, &s); err != nil {
			return err
		}
		formula, err := x.formula(p, row, c.Formula, k)
		if err != nil {
			return err
		}
		if err := x.putComputed(p.Sheet, col, row, number, words, formula, s); err != nil {
			return err
		}
		if number == "" {
			p.Sheet.wrap(col, row, words)
		}
	}
	return nil
}

// words returns a cell without a figure as the sheet shows it.
func (x *XLSXWriter) words(c document.Cell) string {
	switch c.Kind {
	case document.CellTick:
		if c.Ticked {
			return "[x]"
		}
		return "[ ]"
	}
	return strings.ReplaceAll(c.String(), "\u00a0", " ")
}

// linked makes a cell a link where its target is in the workbook.
func (x *XLSXWriter) linked(sheet *xlsxSheet, col, row int, c document.Cell, s *xlsxStyle) error {
	if c.Link == "" {
		return nil
	}
	target, ok := x.target(c.Link)
	if !ok {
		return nil
	}
	s.link = true
	return x.f.SetCellHyperLink(sheet.Name, CellName(col, row), target, "Location")
}
