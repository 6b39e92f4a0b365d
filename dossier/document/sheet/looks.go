package sheet

import (
	"fmt"
	"math"
	"strings"

	"github.com/xuri/excelize/v2"

	"gallipot/dossier/document"
	"gallipot/dossier/words"
)

// looks sets what helps to read the sheet: head and first columns stay in view,
// what someone has to act on stands out, in black and white too.
func (x *XLSXWriter) looks(s *xlsxSheet) error {
	if err := x.f.SetPanes(s.Name, s.panes()); err != nil {
		return err
	}
	stop, err := x.f.NewConditionalStyle(&excelize.Style{Font: &excelize.Font{Bold: true},
		Fill: excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{"D9D9D9"}}})
	if err != nil {
		return err
	}
	open, err := x.f.NewConditionalStyle(&excelize.Style{Font: &excelize.Font{Italic: true},
		Fill: excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{paleFill}}})
	if err != nil {
		return err
	}
	if err := x.struck(s); err != nil {
		return err
	}
	for _, p := range s.tables {
		for i := range p.T.Columns {
			if !p.hasVerdicts(i) {
				continue
			}
			from, to := CellName(p.First[i], p.Rows[0]), CellName(p.First[i], p.Rows[len(p.Rows)-1])
			err := x.f.SetConditionalFormat(s.Name, from+":"+to, []excelize.ConditionalFormatOptions{
				{Type: "formula", Criteria: fmt.Sprintf(`LEFT(%s,1)="%s"`, from, document.VerdictFail.Symbol()),
					Format: &stop},
				{Type: "formula", Criteria: fmt.Sprintf(`LEFT(%s,1)="%s"`, from, document.VerdictOpen.Symbol()),
					Format: &open},
			})
			if err != nil {
				return err
			}
		}
	}
	return nil
}

// struck strikes the words of a sheet through once inputs were changed.
func (x *XLSXWriter) struck(s *xlsxSheet) error {
	if s.changed == "" {
		return nil
	}
	gone, err := x.f.NewConditionalStyle(&excelize.Style{Font: &excelize.Font{Strike: true, Color: inkGrey}})
	if err != nil {
		return err
	}
	return x.f.SetConditionalFormat(s.Name, CellName(1, firstTableRow)+":"+CellName(len(s.widths), s.lastRow),
		[]excelize.ConditionalFormatOptions{{Type: "formula",
			Criteria: fmt.Sprintf(`LEFT($A$%d,1)="%s"`, stateRow, document.VerdictFail.Symbol()), Format: &gone}})
}

func (p *XLSXTable) hasVerdicts(i int) bool {
	for _, r := range p.T.Rows {
		if r.Kind != document.RowGroup && (r.Cells[i].Kind == document.CellVerdict ||
			r.Cells[i].Kind == document.CellFindings) {
			return true
		}
	}
	return false
}

// The first columns stay in view where a sheet is wider than a screen and they
// leave room beside them.
const (
	screenWidth = 130.0
	mostFrozen  = 70.0
)

func (s *xlsxSheet) panes() *excelize.Panes {
	top, left := 2, 0
	if s.oneHead() {
		top = s.tables[0].head
	}
	if s.total(len(s.widths)) > screenWidth {
		left = s.leading()
	}
	p := &excelize.Panes{Freeze: true, YSplit: top, XSplit: left, TopLeftCell: CellName(left+1, top+1),
		ActivePane: "bottomLeft"}
	if left > 0 {
		p.ActivePane = "bottomRight"
	}
	return p
}

// leading counts the first columns of the sheet that say what a row is about, as
// far as they leave room for the others.
func (s *xlsxSheet) leading() int {
	n := len(s.widths)
	for _, p := range s.tables {
		own := 1
		for own < len(p.T.Columns) && p.T.Columns[own].Fixed {
			own++
		}
		if own < len(p.First) {
			n = min(n, p.First[own]-1)
		}
	}
	for n > 0 && s.total(n) > mostFrozen {
		n--
	}
	return n
}

// printSetup makes the sheet print well on A4: on one page across as long as that
// can be read, else on several with the first columns on each.
func (x *XLSXWriter) printSetup(s *xlsxSheet) error {
	total := s.total(len(s.widths))
	pages := 1
	if total*leastScale > acrossPage {
		room := acrossPage/leastScale - s.total(s.leading())
		pages = int(math.Ceil((total - s.total(s.leading())) / room))
	}
	if err := x.pageLayout(s.Name, total > uprightPage, pages); err != nil {
		return err
	}
	if pages == 1 {
		for _, row := range s.breaks(total > uprightPage) {
			if err := x.f.InsertPageBreak(s.Name, CellName(1, row)); err != nil {
				return err
			}
		}
	}
	titles := fmt.Sprintf("%s!$%d:$%d", sheetRef(s.Name), 1, 1)
	if s.oneHead() {
		titles = fmt.Sprintf("%s!$%d:$%d", sheetRef(s.Name), s.tables[0].head, s.tables[0].head)
	}
	if n := s.leading(); pages > 1 && n > 0 {
		titles = fmt.Sprintf("%s!$A:$%s,%s", sheetRef(s.Name), columnName(n), titles)
	}
	area := fmt.Sprintf("%s!$A$1:$%s$%d", sheetRef(s.Name), columnName(s.printed()), s.lastRow)
	x.defined = append(x.defined, definedName{printArea, area, s}, definedName{"_xlnm.Print_Titles", titles, s})
	return nil
}

// printArea is the name by which a workbook knows what is printed of a sheet.
const printArea = "_xlnm.Print_Area"

// printed counts the columns that are printed: so many that the lines below the
// tables, which run over several columns, are not cut.
func (s *xlsxSheet) printed() int {
	const emptyColumn = 9.8
	n := max(len(s.widths), 1)
	for w := s.total(n); w < noteLine && n < 20; w += emptyColumn {
		n++
	}
	return n
}

func (x *XLSXWriter) pageLayout(sheet string, across bool, pages int) error {
	yes, size, any, orientation := true, 9, 0, "portrait"
	if across {
		orientation = "landscape"
	}
	if err := x.f.SetSheetProps(sheet, &excelize.SheetPropsOptions{FitToPage: &yes}); err != nil {
		return err
	}
	if err := x.f.SetPageLayout(sheet, &excelize.PageLayoutOptions{Size: &size, Orientation: &orientation,
		FitToWidth: &pages, FitToHeight: &any}); err != nil {
		return err
	}
	side, top, head := 0.45, 0.75, 0.35 // inches
	if err := x.f.SetPageMargins(sheet, &excelize.PageLayoutMarginsOptions{Left: &side, Right: &side, Top: &top,
		Bottom: &top, Header: &head, Footer: &head}); err != nil {
		return err
	}
	d := x.D
	return x.f.SetHeaderFooter(sheet, &excelize.HeaderFooterOptions{
		OddHeader: "&L&8" + headerText(words.Joined(" · ", d.Product, d.Revision), 60) + "&R&8" +
			headerText(d.Title, 60),
		OddFooter: "&L&8" + headerText(d.Caution, 70) + "&R&8" +
			headerText(words.Joined(" · ", d.Date.String(), d.Fingerprint), 50) + "   page &P of &N",
	})
}

// headerText escapes the sign that commands begin with, and keeps to what a head
// or foot holds. A digit at the start would be read as part of the size.
func headerText(s string, most int) string {
	s = strings.ReplaceAll(document.CutText(s, most), "&", "&&")
	if s != "" && s[0] >= '0' && s[0] <= '9' {
		s = " " + s
	}
	return s
}
