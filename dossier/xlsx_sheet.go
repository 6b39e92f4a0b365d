package dossier

import (
	"fmt"
	"slices"
	"strings"

	"gallipot/ingredients"

	"github.com/xuri/excelize/v2"
)

// sheet writes one sheet of tables.
func (x *xlsxWriter) sheet(s *xlsxSheet) error {
	s.number = slices.Index(x.sheets, s) + 2 // the contents are the first
	if err := x.put(s.name, 1, 1, "", s.name, xlsxStyle{bold: true, size: 14}); err != nil {
		return err
	}
	if err := x.put(s.name, 1, 2, "", joined(" · ", x.productLine(), printable(x.d.Caution)), xlsxStyle{grey: true}); err != nil {
		return err
	}
	if err := x.f.SetCellHyperLink(s.name, "A3", sheetRef(contentsSheet)+"!A1", "Location"); err != nil {
		return err
	}
	if err := x.put(s.name, 1, 3, "", "to the contents", xlsxStyle{link: true}); err != nil {
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
	if err := x.looks(s); err != nil {
		return err
	}
	return x.printSetup(s)
}

// The widths of columns in characters. A column with much text is wide, so that
// its rows are not too high for a sheet.
const (
	leastColumn = 8.0
	mostColumn  = 46.0
	noteColumn  = 90.0
	longNote    = 400 // characters
)

// width returns the width of column i from 0.
func (s *xlsxSheet) width(i int) float64 { return max(s.widths[i]+2, leastColumn) }

// wrap notes a text that may take several lines.
func (s *xlsxSheet) wrap(col, row int, words string) {
	if words == "" {
		return
	}
	s.wraps = append(s.wraps, wrapped{row, col, words})
	if len(words) > longNote {
		s.widen(col, noteColumn)
	}
}

// The heights of rows in points.
const (
	lineHeight  = 13.5
	mostHeight  = 409.0 // more a sheet does not take
	titleHeight = 22.0
)

// sizes sets the widths of the columns and the heights of the rows.
func (x *xlsxWriter) sizes(s *xlsxSheet) error {
	for i := range s.widths {
		if err := x.f.SetColWidth(s.name, columnName(i+1), columnName(i+1), s.width(i)); err != nil {
			return err
		}
	}
	if err := x.f.SetRowHeight(s.name, 1, titleHeight); err != nil {
		return err
	}
	lines := map[int]int{}
	last := 0
	for _, w := range s.wraps {
		if w.col > len(s.widths) {
			continue
		}
		n := len(wrapRuns([]run{{text: printable(w.words)}}, s.width(w.col-1)-1, textMeasure))
		lines[w.row] = max(lines[w.row], n)
		last = max(last, w.row)
	}
	for row := 1; row <= last; row++ {
		if n := lines[row]; n > 1 {
			if err := x.f.SetRowHeight(s.name, row, min(float64(n)*lineHeight+2, mostHeight)); err != nil {
				return err
			}
		}
	}
	return nil
}

// table writes caption, head, rows and what stands below.
func (x *xlsxWriter) table(p *xlsxTable) error {
	sheet := p.sheet.name
	caption := p.t.Title
	if n := x.tableNo[p.t]; n > 0 {
		caption = fmt.Sprintf("Table %d  %s", n, caption)
	}
	if err := x.put(sheet, 1, p.caption, "", caption, xlsxStyle{bold: true, size: 11}); err != nil {
		return err
	}
	if err := x.tableHead(p); err != nil {
		return err
	}
	if len(p.t.Rows) == 0 {
		words := p.t.Empty
		if words == "" {
			words = "nothing to list"
		}
		if err := x.put(sheet, 1, p.rows[0], "", words, xlsxStyle{italic: true, grey: true}); err != nil {
			return err
		}
	}
	for i, r := range p.t.Rows {
		if err := x.tableRow(p, r, p.rows[i]); err != nil {
			return err
		}
	}
	for i, l := range x.below(p) {
		if err := x.put(sheet, 1, p.rows[len(p.rows)-1]+1+i, "", l, xlsxStyle{grey: true, size: 9}); err != nil {
			return err
		}
	}
	return nil
}

func (x *xlsxWriter) tableHead(p *xlsxTable) error {
	head := func(col int, words string, right bool) error {
		p.sheet.widen(col, widestWord(words))
		p.sheet.wrap(col, p.head, words)
		return x.put(p.sheet.name, col, p.head, "", words, xlsxStyle{bold: true, fill: true, top: true, bottom: true, wrap: true, right: right})
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
		if err := x.put(p.sheet.name, 1, row, "", r.Cells[0].String(), xlsxStyle{bold: true, fill: true}); err != nil {
			return err
		}
		for col := 2; col <= p.last; col++ {
			if err := x.put(p.sheet.name, col, row, "", "", xlsxStyle{fill: true}); err != nil {
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
		x.widenFor(p, i, c)
		head := printable(p.t.Columns[i].Head)
		if s := x.d.signs(c); s != "" {
			marks = append(marks, joined(" ", head, s))
		}
		if c.Source != "" {
			sources = append(sources, joined(": ", head, c.Source))
		}
	}
	if err := x.remarks(p, r, p.marksAt, row, marks); err != nil {
		return err
	}
	return x.remarks(p, r, p.sourceAt, row, sources)
}

// remarks writes the marks or the sources of a row.
func (x *xlsxWriter) remarks(p *xlsxTable, r Row, col, row int, list []string) error {
	if col == 0 {
		return nil
	}
	words := strings.Join(list, "\n")
	p.sheet.widen(col, min(widestLine(words), 40))
	p.sheet.wrap(col, row, words)
	return x.put(p.sheet.name, col, row, "", words, xlsxStyle{grey: true, wrap: true, top: r.Kind == RowTotal})
}

// widen makes a column of the sheet at least as wide as so many characters.
func (s *xlsxSheet) widen(col int, chars float64) {
	for len(s.widths) < col {
		s.widths = append(s.widths, 0)
	}
	s.widths[col-1] = max(s.widths[col-1], chars)
}

// widenFor looks at what a cell shows: a figure must not be cut, words wrap.
func (x *xlsxWriter) widenFor(p *xlsxTable, i int, c Cell) {
	numbers, _ := figuresOf(c)
	for k := range p.width[i] {
		switch {
		case len(numbers) == 0:
			p.sheet.widen(p.first[i]+k, min(widestLine(x.words(c)), mostColumn/float64(min(p.width[i], 2))))
		case c.Kind == CellRange:
			n := [...]ingredients.Num{c.Range.Min, c.Range.Typ, c.Range.Max}[k%3]
			p.sheet.widen(p.first[i]+k, float64(len(FormatNum(n, c.Rule)))+1)
		default:
			p.sheet.widen(p.first[i]+k, float64(len([]rune(c.String())))+1)
		}
	}
}

func widestLine(s string) float64 { return lineWidth([]run{{text: s}}, textMeasure) }

func widestWord(s string) float64 {
	return min(longestPiece([]run{{text: s, whole: true}}, textMeasure), 30)
}

// looks sets what helps to read the sheet: the head stays in view, what someone
// has to act on stands out, in black and white too.
func (x *xlsxWriter) looks(s *xlsxSheet) error {
	top := 2
	if len(s.tables) == 1 {
		top = s.tables[0].head
	}
	panes := &excelize.Panes{Freeze: true, YSplit: top, TopLeftCell: cellName(1, top+1), ActivePane: "bottomLeft"}
	if err := x.f.SetPanes(s.name, panes); err != nil {
		return err
	}
	stop, err := x.f.NewConditionalStyle(&excelize.Style{Font: &excelize.Font{Bold: true}, Fill: excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{"D9D9D9"}}})
	if err != nil {
		return err
	}
	open, err := x.f.NewConditionalStyle(&excelize.Style{Font: &excelize.Font{Italic: true}, Fill: excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{paleFill}}})
	if err != nil {
		return err
	}
	for _, p := range s.tables {
		for i := range p.t.Columns {
			if !p.hasVerdicts(i) {
				continue
			}
			from, to := cellName(p.first[i], p.rows[0]), cellName(p.first[i], p.rows[len(p.rows)-1])
			err := x.f.SetConditionalFormat(s.name, from+":"+to, []excelize.ConditionalFormatOptions{
				{Type: "formula", Criteria: fmt.Sprintf(`LEFT(%s,1)="%s"`, from, VerdictFail.Symbol()), Format: &stop},
				{Type: "formula", Criteria: fmt.Sprintf(`LEFT(%s,1)="%s"`, from, VerdictOpen.Symbol()), Format: &open},
			})
			if err != nil {
				return err
			}
		}
	}
	return nil
}

func (p *xlsxTable) hasVerdicts(i int) bool {
	for _, r := range p.t.Rows {
		if r.Kind != RowGroup && (r.Cells[i].Kind == CellVerdict || r.Cells[i].Kind == CellFindings) {
			return true
		}
	}
	return false
}

// wideSheet is the width in characters from which on a sheet is printed across.
const wideSheet = 95

// printSetup makes the sheet print well on A4.
func (x *xlsxWriter) printSetup(s *xlsxSheet) error {
	total := 0.0
	for i := range s.widths {
		total += s.width(i)
	}
	if err := x.pageLayout(s.name, total > wideSheet); err != nil {
		return err
	}
	repeat := 1
	from := 1
	if len(s.tables) == 1 {
		from, repeat = s.tables[0].head, s.tables[0].head
	}
	return x.f.SetDefinedName(&excelize.DefinedName{Name: "_xlnm.Print_Titles", RefersTo: fmt.Sprintf("%s!$%d:$%d", sheetRef(s.name), from, repeat), Scope: s.name})
}

func (x *xlsxWriter) pageLayout(sheet string, across bool) error {
	yes, size, one, any, orientation := true, 9, 1, 0, "portrait"
	if across {
		orientation = "landscape"
	}
	if err := x.f.SetSheetProps(sheet, &excelize.SheetPropsOptions{FitToPage: &yes}); err != nil {
		return err
	}
	if err := x.f.SetPageLayout(sheet, &excelize.PageLayoutOptions{Size: &size, Orientation: &orientation, FitToWidth: &one, FitToHeight: &any}); err != nil {
		return err
	}
	d := x.d
	return x.f.SetHeaderFooter(sheet, &excelize.HeaderFooterOptions{
		OddHeader: "&L" + headerText(joined(" · ", d.Product, d.Revision), 80) + "&R" + headerText(d.Title, 80),
		OddFooter: "&L" + headerText(d.Caution, 80) + "&C" + headerText(joined(" · ", d.Date.String(), d.Fingerprint), 60) + "&Rpage &P of &N",
	})
}

// headerText escapes the sign that commands begin with, and keeps to what a head
// or foot holds.
func headerText(s string, most int) string {
	rs := []rune(printable(s))
	if len(rs) > most {
		rs = append(rs[:most-1], '…')
	}
	return strings.ReplaceAll(string(rs), "&", "&&")
}
