package sheet

import (
	"fmt"

	"gallipot/dossier/document"
	"gallipot/dossier/document/layout"
	"gallipot/dossier/words"
)

// contents writes the first sheet: what the document is, its facts and key
// figures, and links to the tables.
func (x *XLSXWriter) contents() error {
	d, row := x.D, 1
	say := func(words string, s xlsxStyle) error {
		if words == "" {
			return nil
		}
		err := x.put(x.first, 1, row, "", words, s)
		row++
		return err
	}
	for _, l := range []struct {
		words string
		style xlsxStyle
	}{
		{d.Title, xlsxStyle{bold: true, size: 16}}, {d.Subtitle, xlsxStyle{size: 12}},
		{x.productLine(), xlsxStyle{grey: true}}, {d.Caution, xlsxStyle{bold: true}},
	} {
		if err := say(l.words, l.style); err != nil {
			return err
		}
	}
	row++
	if d.Cover != nil {
		for _, f := range d.Cover.Facts {
			if err := x.fact(row, f.Label, f.Value, ""); err != nil {
				return err
			}
			row++
		}
		for _, b := range d.Cover.Blocks {
			if k, ok := b.(*document.KeyFigures); ok {
				for _, it := range k.Items {
					if err := x.fact(row, it.Label, it.Value, it.Note); err != nil {
						return err
					}
					row++
				}
			}
		}
		row++
	}
	return x.sheetList(row)
}

// fact writes a label with its value, which stays a number when it is one.
func (x *XLSXWriter) fact(row int, label string, c document.Cell, note string) error {
	if err := x.put(x.first, 1, row, "", label, xlsxStyle{grey: true}); err != nil {
		return err
	}
	number, phrases, s := "", x.words(c), xlsxStyle{left: true}
	if figures := FiguresOf(c); len(figures) > 0 {
		last := figures[len(figures)-1]
		number, phrases, s.format = last.Stored, "", last.format
	}
	if c.Kind == document.CellRange && !c.Range.IsExact() {
		number, phrases, s.format = "", c.String(), ""
	}
	if err := x.linked(x.first, 2, row, c, &s); err != nil {
		return err
	}
	s.wrap = number == ""
	write := func() error { return x.contentsText(2, row, phrases, s) }
	if number != "" {
		write = func() error { return x.put(x.first, 2, row, number, "", s) }
	}
	if err := write(); err != nil {
		return err
	}
	signs := words.Joined(" ", x.D.Signs(c), note)
	for _, m := range x.D.LegendFor(&document.Table{Rows: []document.Row{{Cells: []document.Cell{c}}}}) {
		signs = words.Joined("; ", signs, m.Text)
	}
	return x.contentsText(3, row, signs, xlsxStyle{grey: true, wrap: true})
}

// sheetList links to every table: its sheet, the section it belongs to and its
// title. The link stands on the name of the sheet, which is short: some programs
// do not wrap a link.
func (x *XLSXWriter) sheetList(row int) error {
	for col, head := range []string{"Sheet", "Section", "Table", "Rows"} {
		if err := x.put(x.first, col+1, row, "", head, xlsxStyle{bold: true, fill: true, top: true,
			bottom: true}); err != nil {
			return err
		}
	}
	for _, s := range x.sheets {
		for _, p := range s.tables {
			row++
			place := sheetRef(s.Name) + "!" + CellName(1, p.caption)
			where, title := x.section[p.T], p.T.Title
			if title == "" {
				title = s.Name
			}
			if n := x.TableNo[p.T]; n > 0 {
				title = fmt.Sprintf("Table %d  %s", n, title)
			}
			if err := x.f.SetCellHyperLink(contentsSheet, CellName(1, row), place, "Location"); err != nil {
				return err
			}
			for col, words := range []string{s.Name, where, title} {
				if err := x.contentsText(col+1, row, words, xlsxStyle{wrap: true, link: col == 0}); err != nil {
					return err
				}
			}
			n := 0
			for _, r := range p.T.Rows {
				if r.Kind == document.RowData {
					n++
				}
			}
			if err := x.put(x.first, 4, row, document.IntCell(n).Num.Decimal(), "", xlsxStyle{}); err != nil {
				return err
			}
		}
	}
	return x.contentsSizes(row)
}

// sectionOf names the section that each table stands in, by number and title.
func (x *XLSXWriter) sectionOf() map[*document.Table]string {
	section := map[*document.Table]string{}
	for _, d := range []*document.Document{x.D, {Sections: x.D.Workbook}} {
		d.Walk(func(s *document.Section, _ int) {
			for _, b := range document.Flat(s.Blocks) {
				if t, ok := b.(*document.Table); ok {
					section[t] = words.Joined("  ", s.Number, s.Title)
				}
			}
		})
	}
	return section
}

// contentsText writes words that may take several lines.
func (x *XLSXWriter) contentsText(col, row int, phrases string, s xlsxStyle) error {
	lines := len(layout.WrapRuns([]layout.Run{{Text: words.Printable(phrases)}}, contentsWidths[col-1]-1,
		sheetMeasure))
	if lines > x.contentsLines[row] {
		x.contentsLines[row] = lines
	}
	return x.put(x.first, col, row, "", phrases, s)
}

// contentsWidths are the widths of the columns of the first sheet.
var contentsWidths = []float64{23, 48, 48, 7}

// contentsSizes sets widths and heights of the first sheet and how it prints.
func (x *XLSXWriter) contentsSizes(last int) error {
	for row := 1; row <= last; row++ {
		height := float64(x.contentsLines[row])*lineHeight + 2
		switch {
		case row == 1:
			height = titleHeight
		case row == 2:
			height = 18
		case x.contentsLines[row] < 2:
			continue
		}
		x.first.rows.setHeight(row, min(height, mostHeight))
	}
	for i, w := range contentsWidths {
		if err := x.f.SetColWidth(contentsSheet, columnName(i+1), columnName(i+1), w); err != nil {
			return err
		}
	}
	area := fmt.Sprintf("%s!$A$1:$%s$%d", sheetRef(contentsSheet), columnName(len(contentsWidths)), last)
	x.defined = append(x.defined, definedName{printArea, area, x.first})
	if err := x.pageLayout(contentsSheet, true, 1); err != nil {
		return err
	}
	return x.protect(contentsSheet)
}
