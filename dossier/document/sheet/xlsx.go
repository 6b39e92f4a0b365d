package sheet

import (
	"fmt"
	"io"
	"strings"

	"github.com/xuri/excelize/v2"

	"gallipot/dossier/document"
	"gallipot/dossier/words"
	"gallipot/ingredients/finding"
)

// Write prints the tables of d that have a sheet name as a workbook: one
// sheet a name, those with the same name below each other, a first sheet with
// the contents and a sheet with the findings.
//
// Numbers are numbers, exact ones with all their digits; a range takes three
// columns; a missing value is its reason in words, so that no formula can take it
// for zero. Cells with a formula carry the value of the tree as cached result.
// The same document gives the same bytes.
// Errors: a tree that [Document.Check] refuses, a formula that names a cell that
// is not in the workbook, and whatever w returns.
func Write(w io.Writer, d *document.Document) error {
	if err := d.Mistakes(); err != nil {
		return err
	}
	x := &XLSXWriter{D: d, f: excelize.NewFile(), TableNo: d.TableNumbers(), styles: map[xlsxStyle]int{}, Cells: map[string]CellPlace{}, Tables: map[string]*XLSXTable{},
		first: &xlsxSheet{Name: contentsSheet, number: 1}, contentsLines: map[int]int{}}
	defer x.f.Close()
	x.section = x.sectionOf()
	x.Gather()
	x.Place()
	if err := x.write(); err != nil {
		return fmt.Errorf("dossier: the spreadsheet could not be written: %w", err)
	}
	data, err := x.packed()
	if err != nil {
		return fmt.Errorf("dossier: the spreadsheet could not be written: %w", err)
	}
	_, err = w.Write(data)
	return err
}

// XLSXWriter holds the workbook while it is written.
type XLSXWriter struct {
	D       *document.Document
	f       *excelize.File
	TableNo map[*document.Table]int
	first   *xlsxSheet // the contents
	sheets  []*xlsxSheet
	texts   sharedTexts
	defined []definedName
	styles  map[xlsxStyle]int
	Cells   map[string]CellPlace       // anchors of cells
	Tables  map[string]*XLSXTable      // by ID
	section map[*document.Table]string // number and title of the section each table stands in

	contentsLines map[int]int // lines that a row of the first sheet takes
}

// xlsxSheet is one sheet with its tables below each other.
type xlsxSheet struct {
	Name    string
	tables  []*XLSXTable
	widths  []float64 // by column from 0, in characters
	number  int       // of the sheet's file
	rows    sheetRows
	wraps   []wrapped // texts that may take several lines
	inputs  []openCells
	inputAt map[document.Input]int
	lastRow int
	narrow  []float64 // by column: the least width in characters
}

// wrapped is a text in a cell that wraps: the height of its row depends on it,
// which not every program works out by itself.
type wrapped struct {
	row, col int
	words    string
}

const (
	contentsSheet = "Contents"
	findingsSheet = "Findings"
)

// Gather collects the tables of each sheet, in the order of the document.
func (x *XLSXWriter) Gather() {
	byName := map[string]*xlsxSheet{}
	taken := map[string]bool{strings.ToLower(contentsSheet): true}
	add := func(t *document.Table) {
		s := byName[t.SheetName]
		if s == nil {
			s = &xlsxSheet{Name: sheetName(t.SheetName, taken)}
			byName[t.SheetName] = s
			x.sheets = append(x.sheets, s)
		}
		s.tables = append(s.tables, newXLSXTable(t))
	}
	var found []finding.Finding
	lists := 0
	for _, b := range x.D.Blocks() {
		switch b := b.(type) {
		case *document.Table:
			if b.SheetName != "" {
				add(b)
			}
		case *document.FindingList:
			found = append(found, b.Findings...)
			lists++
		}
	}
	if lists > 0 {
		add(findingsTable(found, x.D.Reader()))
	}
	for _, b := range (&document.Document{Sections: x.D.Workbook}).Blocks() {
		if t, ok := b.(*document.Table); ok {
			add(t)
		}
	}
}

// sheetName makes a name that a workbook accepts and that is not taken yet.
func sheetName(name string, taken map[string]bool) string {
	name = strings.Map(func(r rune) rune {
		if strings.ContainsRune(`:\/?*[]`, r) {
			return '-'
		}
		return r
	}, words.Printable(name))
	name = strings.Trim(strings.TrimSpace(name), "'")
	if name == "" || strings.EqualFold(name, "History") { // a name that spreadsheet programs keep for themselves
		name += "_"
	}
	const most = 31
	for n := 1; ; n++ {
		tail := ""
		if n > 1 {
			tail = fmt.Sprintf(" (%d)", n)
		}
		rs := []rune(name)
		try := string(rs[:min(len(rs), most-len(tail))]) + tail
		if !taken[strings.ToLower(try)] {
			taken[strings.ToLower(try)] = true
			return try
		}
	}
}

// findingsTable puts findings into rows, one each.
func findingsTable(list []finding.Finding, reader words.Reader) *document.Table {
	t := &document.Table{Title: "Findings", SheetName: findingsSheet, Empty: "nothing to report", Columns: []document.Column{
		{Head: "Severity"}, {Head: "Subject"}, {Head: "Message"}, {Head: "Fix"}, {Head: "Why"}, {Head: "Sum"},
		{Head: "Place"}, {Head: "Code"}, {Head: "Ask"}, {Head: "Variants"}, {Head: "Markets"},
	}}
	seen := map[string]bool{}
	for i := range list {
		f := words.Say(&list[i], reader)
		var sum []string
		for _, s := range f.Sum {
			sum = append(sum, words.Joined("  ", s.Text, s.Pos.String()))
		}
		row := []string{f.Subject, f.Text(), f.Fix, f.Why, strings.Join(sum, "\n"), f.Pos.String(), f.Code, f.Ask, strings.Join(f.Variants, ", "), strings.Join(f.Markets, ", ")}
		key := f.Severity.String() + "\x00" + strings.Join(row, "\x00")
		if seen[key] { // the same finding may stand in several sections
			continue
		}
		seen[key] = true
		cells := []document.Cell{document.SeverityCell(f.Severity)}
		for _, s := range row {
			cells = append(cells, document.TextCell(s))
		}
		t.Add(cells...)
	}
	return t
}

// write fills the workbook.
func (x *XLSXWriter) write() error {
	if err := x.properties(); err != nil {
		return err
	}
	if err := x.baseFont(); err != nil {
		return err
	}
	if err := x.f.SetSheetName("Sheet1", contentsSheet); err != nil {
		return err
	}
	for _, s := range x.sheets {
		if _, err := x.f.NewSheet(s.Name); err != nil {
			return err
		}
	}
	if err := x.contents(); err != nil {
		return err
	}
	x.names()
	for _, s := range x.sheets {
		if err := x.sheet(s); err != nil {
			return fmt.Errorf("sheet %q: %w", s.Name, err)
		}
	}
	x.f.SetActiveSheet(0)
	return nil
}

func (x *XLSXWriter) properties() error {
	d := x.D
	when := "2000-01-01T00:00:00Z" // no date of its own: any fixed one
	if !d.Date.IsZero() {
		when = d.Date.Time().Format("2006-01-02T15:04:05Z")
	}
	full := true
	if err := x.f.SetCalcProps(&excelize.CalcPropsOptions{FullCalcOnLoad: &full}); err != nil {
		return err
	}
	return x.f.SetDocProps(&excelize.DocProperties{
		Title: words.Printable(words.Joined(": ", d.Title, d.Subtitle)), Subject: words.Printable(d.Subject), Creator: words.Printable(d.Author),
		Keywords: words.Printable(words.Joined(", ", d.Keywords...)), Language: d.LanguageCode(), Created: when, Modified: when, LastModifiedBy: words.Printable(d.Author),
	})
}

// productLine is what stands below the title of every sheet.
func (x *XLSXWriter) productLine() string {
	print := ""
	if x.D.Fingerprint != "" {
		print = "fingerprint " + x.D.Fingerprint
	}
	return words.Printable(words.Joined(" · ", x.D.Product, x.D.Revision, x.D.Date.String(), print))
}
