package dossier

// contents writes the first sheet: what the document is, its facts and key
// figures, and links to the tables.
func (x *xlsxWriter) contents() error {
	d, row := x.d, 1
	say := func(words string, s xlsxStyle) error {
		if words == "" {
			return nil
		}
		err := x.put(contentsSheet, 1, row, "", words, s)
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
			if k, ok := b.(*KeyFigures); ok {
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
func (x *xlsxWriter) fact(row int, label string, c Cell, note string) error {
	if err := x.put(contentsSheet, 1, row, "", label, xlsxStyle{grey: true}); err != nil {
		return err
	}
	numbers, formats := figuresOf(c)
	number, words, s := "", x.words(c), xlsxStyle{left: true}
	if len(numbers) > 0 {
		number, words, s.format = numbers[len(numbers)-1], "", formats[len(numbers)-1]
	}
	if c.Kind == CellRange && !c.Range.IsExact() {
		number, words, s.format = "", c.String(), ""
	}
	if err := x.linked(contentsSheet, 2, row, c, &s); err != nil {
		return err
	}
	if err := x.put(contentsSheet, 2, row, number, words, s); err != nil {
		return err
	}
	signs := joined(" ", x.d.signs(c), note)
	for _, m := range x.d.legendFor(&Table{Rows: []Row{{Cells: []Cell{c}}}}) {
		signs = joined("; ", signs, m.Text)
	}
	return x.put(contentsSheet, 3, row, "", signs, xlsxStyle{grey: true})
}

// sheetList links to every table.
func (x *xlsxWriter) sheetList(row int) error {
	for col, head := range []string{"Sheet", "Table", "Rows"} {
		if err := x.put(contentsSheet, col+1, row, "", head, xlsxStyle{bold: true, fill: true, top: true, bottom: true}); err != nil {
			return err
		}
	}
	for _, s := range x.sheets {
		for _, p := range s.tables {
			row++
			if err := x.put(contentsSheet, 1, row, "", s.name, xlsxStyle{}); err != nil {
				return err
			}
			title := p.t.Title
			if title == "" {
				title = s.name
			}
			if err := x.f.SetCellHyperLink(contentsSheet, cellName(2, row), sheetRef(s.name)+"!"+cellName(1, p.caption), "Location"); err != nil {
				return err
			}
			if err := x.put(contentsSheet, 2, row, "", title, xlsxStyle{link: true}); err != nil {
				return err
			}
			n := 0
			for _, r := range p.t.Rows {
				if r.Kind == RowData {
					n++
				}
			}
			if err := x.put(contentsSheet, 3, row, IntCell(n).Num.Decimal(), "", xlsxStyle{left: true}); err != nil {
				return err
			}
		}
	}
	for r, h := range []float64{titleHeight, 18} {
		if err := x.f.SetRowHeight(contentsSheet, r+1, h); err != nil {
			return err
		}
	}
	for col, w := range []float64{28, 64, 40} {
		if err := x.f.SetColWidth(contentsSheet, columnName(col+1), columnName(col+1), w); err != nil {
			return err
		}
	}
	return x.pageLayout(contentsSheet, true)
}
