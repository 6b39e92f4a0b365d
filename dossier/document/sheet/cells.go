package sheet

import (
	"cmp"
	"strings"

	"github.com/xuri/excelize/v2"

	"gallipot/dossier/document"
	"gallipot/dossier/document/layout"
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
func (x *XLSXWriter) putComputed(sheet *xlsxSheet, col, row int, number, words, formula string,
	s xlsxStyle) error {
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

// ownSign in braces stands in a formula for what the cell itself holds.
const ownSign = "="

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
		if formula == "" {
			formula = p.Sheet.guarded(c, number, words)
		} else if strings.Contains(formula, "{"+ownSign+"}") {
			formula = strings.ReplaceAll(formula, "{"+ownSign+"}",
				cmp.Or(strings.ToUpper(number), literal(sheetText(words))))
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
