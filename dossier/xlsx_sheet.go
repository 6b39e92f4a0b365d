package dossier

import (
	"fmt"
	"slices"
	"strings"
)

// sheet writes one sheet of tables.
func (x *xlsxWriter) sheet(s *xlsxSheet) error {
	s.number = slices.Index(x.sheets, s) + 2 // the contents are the first
	if err := x.put(s, 1, 1, "", s.name, xlsxStyle{bold: true, size: 14}); err != nil {
		return err
	}
	if err := x.put(s, 1, 2, "", joined(" · ", x.productLine(), printable(x.d.Caution)), xlsxStyle{grey: true}); err != nil {
		return err
	}
	if err := x.f.SetCellHyperLink(s.name, "A3", sheetRef(contentsSheet)+"!A1", "Location"); err != nil {
		return err
	}
	if err := x.put(s, 1, 3, "", "to the contents", xlsxStyle{link: true}); err != nil {
		return err
	}
	for _, p := range s.tables {
		if err := x.table(p); err != nil {
			return err
		}
	}
	if err := x.sizes(s); err != nil {
		return err
	}
	for _, set := range []func(*xlsxSheet) error{x.looks, x.validations, x.printSetup} {
		if err := set(s); err != nil {
			return err
		}
	}
	return x.protect(s.name)
}

// table writes caption, head, rows and what stands below.
func (x *xlsxWriter) table(p *xlsxTable) error {
	caption := p.t.Title
	if caption == "" && len(p.sheet.tables) > 1 { // else nothing would tell it from the others
		caption = x.section[p.t]
	}
	if n := x.tableNo[p.t]; n > 0 {
		caption = fmt.Sprintf("Table %d  %s", n, caption)
	}
	if err := x.put(p.sheet, 1, p.caption, "", caption, xlsxStyle{bold: true, size: 11}); err != nil {
		return err
	}
	if !p.follows {
		if err := x.tableHead(p); err != nil {
			return err
		}
	}
	if len(p.t.Rows) == 0 {
		words := p.t.Empty
		if words == "" {
			words = "nothing to list"
		}
		if err := x.put(p.sheet, 1, p.rows[0], "", words, xlsxStyle{italic: true, grey: true}); err != nil {
			return err
		}
	}
	for i, r := range p.t.Rows {
		if err := x.tableRow(p, r, p.rows[i]); err != nil {
			return err
		}
	}
	for i, l := range x.below(p) {
		if err := x.put(p.sheet, 1, p.rows[len(p.rows)-1]+1+i, "", l, xlsxStyle{grey: true, size: 9}); err != nil {
			return err
		}
	}
	return nil
}

// boldWider is how much wider bold letters are.
const boldWider = 1.08

func (x *xlsxWriter) tableHead(p *xlsxTable) error {
	head := func(col int, words string, right bool) error {
		w := widestWord(words) * boldWider
		p.sheet.widen(col, w, w)
		p.sheet.wrap(col, p.head, words)
		return x.put(p.sheet, col, p.head, "", words, xlsxStyle{bold: true, fill: true, top: true, bottom: true, wrap: true, right: right, indent: col > 1 && !right})
	}
	for i, c := range p.t.Columns {
		right := p.t.align(i) == AlignRight
		for k := range p.width[i] {
			unit := printable(c.Unit)
			if p.width[i] > 1 {
				unit = joined(", ", rangeWords[k], unit)
			}
			if err := head(p.first[i]+k, joined("\n", printable(c.Head), unit), right); err != nil {
				return err
			}
		}
	}
	if p.marksAt > 0 {
		if err := head(p.marksAt, "Marks", false); err != nil {
			return err
		}
	}
	if p.sourceAt > 0 {
		return head(p.sourceAt, "Sources", false)
	}
	return nil
}

func (x *xlsxWriter) tableRow(p *xlsxTable, r Row, row int) error {
	if r.Kind == RowGroup {
		if err := x.put(p.sheet, 1, row, "", r.Cells[0].String(), xlsxStyle{bold: true, fill: true}); err != nil {
			return err
		}
		for col := 2; col <= p.last; col++ {
			if err := x.put(p.sheet, col, row, "", "", xlsxStyle{fill: true}); err != nil {
				return err
			}
		}
		return nil
	}
	var marks, sources []string
	for i, c := range r.Cells {
		if err := x.tableCell(p, i, r, row); err != nil {
			return err
		}
		head := printable(p.t.Columns[i].Head)
		if s := x.d.signs(c); s != "" {
			marks = append(marks, joined(" ", head, s))
		}
		if c.Source != "" {
			sources = append(sources, joined(": ", head, c.Source))
		}
	}
	if err := x.remarks(p, r, p.marksAt, row, strings.Join(marks, "; ")); err != nil {
		return err
	}
	return x.remarks(p, r, p.sourceAt, row, strings.Join(sources, "\n"))
}

// remarks writes the marks or the sources of a row.
func (x *xlsxWriter) remarks(p *xlsxTable, r Row, col, row int, words string) error {
	if col == 0 {
		return nil
	}
	p.sheet.widen(col, min(widestLine(words), mostColumn), leastWords)
	p.sheet.wrap(col, row, words)
	return x.put(p.sheet, col, row, "", words, xlsxStyle{grey: true, wrap: true, indent: true, top: r.Kind == RowTotal})
}
