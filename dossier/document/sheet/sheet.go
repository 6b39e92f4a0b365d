package sheet

import (
	"fmt"
	"slices"
	"strings"

	"gallipot/dossier/document"
	"gallipot/dossier/words"
	"gallipot/ingredients/pattern"
)

// sheet writes one sheet of tables.
func (x *XLSXWriter) sheet(s *xlsxSheet) error {
	s.number = slices.Index(x.sheets, s) + 2 // the contents are the first
	if err := x.put(s, 1, 1, "", s.Name, xlsxStyle{bold: true, size: 14}); err != nil {
		return err
	}
	if err := x.put(s, 1, 2, "", words.Joined(" · ", x.productLine(), words.Printable(x.D.Caution)),
		xlsxStyle{grey: true}); err != nil {
		return err
	}
	if err := x.f.SetCellHyperLink(s.Name, "A3", sheetRef(contentsSheet)+"!A1", "Location"); err != nil {
		return err
	}
	if err := x.put(s, 1, 3, "", "to the contents", xlsxStyle{link: true}); err != nil {
		return err
	}
	if err := x.state(s); err != nil {
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
	return x.protect(s.Name)
}

// state says at the head of a sheet without formulas and inputs whether it agrees with the sheets
// that recalculate, and makes its figures stand only as long as it does. On a sheet that follows
// this holds for the figures without a formula.
func (x *XLSXWriter) state(s *xlsxSheet) error {
	live := x.D.ChangedAt == "" || slices.Contains(x.D.Records, s.Name)
	follows := slices.Contains(x.D.Following, s.Name)
	for _, p := range s.tables {
		document.EachCell(p.T, func(c document.Cell) { live = live || !follows && (c.Formula != "" || c.Input != nil) })
	}
	if live {
		return nil
	}
	made, stale := asMade, staleSheet
	if follows {
		made, stale = followsSheet, followedSheet
	}
	changed, err := x.formula(s.tables[0], stateRow, "{#"+x.D.ChangedAt+"}", 0)
	if err != nil {
		return err
	}
	s.changed = changed
	formula := "IF(" + changed + `=0,"` + made + `","` + stale + `")`
	return x.putComputed(s, 1, stateRow, "", made, formula, xlsxStyle{bold: true})
}

// What a sheet without formulas says of itself, and one that follows.
const (
	followsSheet  = "○ as in the pack; follows the live sheets"
	followedSheet = "▲ inputs were changed on the live sheets: the figures of this sheet follow them and are no longer those of the pack"
	asMade        = "○ as in the pack; its figures show as long as no input is changed on the live sheets"
	staleSheet    = "■ inputs were changed on the live sheets: the figures of the pack are not shown here"
	// changedCell stands in place of each figure and verdict then.
	changedCell = "changed"
)

// guarded is a formula that gives a figure or verdict of the pack as long as no input was
// changed: nobody reads or copies a stale one. "" for what no input changes.
func (s *xlsxSheet) guarded(c document.Cell, number, words string) string {
	switch {
	case s.changed == "" || c.Formula != "" || c.Input != nil || c.Kind == document.CellDate:
		return ""
	case number != "":
		return "IF(" + s.changed + "=0," + strings.ToUpper(number) + `,"` + changedCell + `")`
	case c.Kind == document.CellVerdict, c.Kind == document.CellText && holdsResult(words):
		return "IF(" + s.changed + "=0," + literal(sheetText(words)) + `,"` + changedCell + `")`
	}
	return ""
}

// resultRE is a result inside words, such as that of a line of arithmetic.
var resultRE = pattern.New(`= [-−<≤]?[0-9]|[0-9][ \x{a0}]%[ \x{a0}]of the product`)

// holdsResult is [resultRE], which is not asked of words without what each of its forms has.
func holdsResult(words string) bool {
	return (strings.Contains(words, "= ") || strings.Contains(words, "of the product")) && resultRE.MatchString(words)
}

// literal is a text inside a formula, in parts of a length that spreadsheet programs take.
func literal(s string) string {
	var parts []string
	for rs := []rune(s); len(rs) > 0; {
		n := min(len(rs), longestLiteral)
		part := strings.ReplaceAll(string(rs[:n]), `"`, `""`)
		parts = append(parts, `"`+strings.ReplaceAll(part, "\n", `"&CHAR(10)&"`)+`"`)
		rs = rs[n:]
	}
	return strings.Join(parts, "&")
}

// longestLiteral is how many characters a text inside a formula may have, quotes doubled.
// Source: common practice, no source; spreadsheet programs allow 255.
const longestLiteral = 120

// stateRow is the row between the way back and the first table.
const stateRow = firstTableRow - 1

// table writes caption, head, rows and what stands below.
func (x *XLSXWriter) table(p *XLSXTable) error {
	caption := p.T.Title
	if caption == "" && len(p.Sheet.tables) > 1 { // else nothing would tell it from the others
		caption = x.section[p.T]
	}
	if n := x.TableNo[p.T]; n > 0 {
		caption = fmt.Sprintf("Table %d  %s", n, caption)
	}
	if err := x.put(p.Sheet, 1, p.caption, "", caption, xlsxStyle{bold: true, size: 11}); err != nil {
		return err
	}
	if !p.follows {
		if err := x.tableHead(p); err != nil {
			return err
		}
	}
	if len(p.T.Rows) == 0 {
		words := p.T.Empty
		if words == "" {
			words = "nothing to list"
		}
		if err := x.put(p.Sheet, 1, p.Rows[0], "", words, xlsxStyle{italic: true, grey: true}); err != nil {
			return err
		}
	}
	for i, r := range p.T.Rows {
		if err := x.tableRow(p, r, p.Rows[i]); err != nil {
			return err
		}
	}
	for i, l := range x.below(p) {
		if err := x.put(p.Sheet, 1, p.Rows[len(p.Rows)-1]+1+i, "", l, xlsxStyle{grey: true, size: 9}); err != nil {
			return err
		}
	}
	return nil
}

// boldWider is how much wider bold letters are.
const boldWider = 1.08

func (x *XLSXWriter) tableHead(p *XLSXTable) error {
	head := func(col int, words string, right bool) error {
		w := widestWord(words) * boldWider
		p.Sheet.widen(col, w, w)
		p.Sheet.wrap(col, p.head, words)
		return x.put(p.Sheet, col, p.head, "", words, xlsxStyle{bold: true, fill: true, top: true, bottom: true,
			wrap: true, right: right, indent: col > 1 && !right})
	}
	for i, c := range p.T.Columns {
		right := p.T.Align(i) == document.AlignRight
		for k := range p.Width[i] {
			unit := words.Printable(c.Unit)
			if p.Width[i] > 1 {
				unit = words.Joined(", ", rangeWords[k], unit)
			}
			if err := head(p.First[i]+k, words.Joined("\n", words.Printable(c.Head), unit), right); err != nil {
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

func (x *XLSXWriter) tableRow(p *XLSXTable, r document.Row, row int) error {
	if r.Kind == document.RowGroup {
		if err := x.put(p.Sheet, 1, row, "", r.Cells[0].String(), xlsxStyle{bold: true, fill: true}); err != nil {
			return err
		}
		for col := 2; col <= p.last; col++ {
			if err := x.put(p.Sheet, col, row, "", "", xlsxStyle{fill: true}); err != nil {
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
		head := words.Printable(p.T.Columns[i].Head)
		if s := x.D.Signs(c); s != "" {
			marks = append(marks, words.Joined(" ", head, s))
		}
		if c.Source != "" {
			sources = append(sources, words.Joined(": ", head, c.Source))
		}
	}
	if err := x.remarks(p, r, p.marksAt, row, strings.Join(marks, "; ")); err != nil {
		return err
	}
	return x.remarks(p, r, p.sourceAt, row, strings.Join(sources, "\n"))
}

// remarks writes the marks or the sources of a row.
func (x *XLSXWriter) remarks(p *XLSXTable, r document.Row, col, row int, words string) error {
	if col == 0 {
		return nil
	}
	p.Sheet.widen(col, min(widestLine(words), mostColumn), leastWords)
	p.Sheet.wrap(col, row, words)
	return x.put(p.Sheet, col, row, "", words, xlsxStyle{grey: true, wrap: true, indent: true,
		top: r.Kind == document.RowTotal})
}
