package dossier

import (
	"fmt"
	"io"
	"strings"

	"gallipot/dossier/words"
	"gallipot/ingredients"

	"github.com/xuri/excelize/v2"
)

// WriteXLSX prints the tables of d that have a sheet name as a workbook: one
// sheet a name, those with the same name below each other, a first sheet with
// the contents and a sheet with the findings.
//
// Numbers are numbers, exact ones with all their digits; a range takes three
// columns; a missing value is its reason in words, so that no formula can take it
// for zero. Cells with a formula carry the value of the tree as cached result.
// The same document gives the same bytes.
// Errors: a tree that [Document.Check] refuses, a formula that names a cell that
// is not in the workbook, and whatever w returns.
func WriteXLSX(w io.Writer, d *Document) error {
	if err := d.mistakes(); err != nil {
		return err
	}
	x := &xlsxWriter{d: d, f: excelize.NewFile(), tableNo: d.tableNumbers(), styles: map[xlsxStyle]int{}, cells: map[string]cellPlace{}, tables: map[string]*xlsxTable{},
		first: &xlsxSheet{name: contentsSheet, number: 1}, contentsLines: map[int]int{}}
	defer x.f.Close()
	x.section = x.sectionOf()
	x.gather()
	x.place()
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

// xlsxWriter holds the workbook while it is written.
type xlsxWriter struct {
	d       *Document
	f       *excelize.File
	tableNo map[*Table]int
	first   *xlsxSheet // the contents
	sheets  []*xlsxSheet
	texts   sharedTexts
	defined []definedName
	styles  map[xlsxStyle]int
	cells   map[string]cellPlace  // anchors of cells
	tables  map[string]*xlsxTable // by ID
	section map[*Table]string     // number and title of the section each table stands in

	contentsLines map[int]int // lines that a row of the first sheet takes
}

// xlsxSheet is one sheet with its tables below each other.
type xlsxSheet struct {
	name    string
	tables  []*xlsxTable
	widths  []float64 // by column from 0, in characters
	number  int       // of the sheet's file
	rows    sheetRows
	wraps   []wrapped // texts that may take several lines
	inputs  []openCells
	inputAt map[Input]int
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

// gather collects the tables of each sheet, in the order of the document.
func (x *xlsxWriter) gather() {
	byName := map[string]*xlsxSheet{}
	taken := map[string]bool{strings.ToLower(contentsSheet): true}
	add := func(t *Table) {
		s := byName[t.SheetName]
		if s == nil {
			s = &xlsxSheet{name: sheetName(t.SheetName, taken)}
			byName[t.SheetName] = s
			x.sheets = append(x.sheets, s)
		}
		s.tables = append(s.tables, newXLSXTable(t))
	}
	var found []ingredients.Finding
	lists := 0
	for _, b := range x.d.blocks() {
		switch b := b.(type) {
		case *Table:
			if b.SheetName != "" {
				add(b)
			}
		case *FindingList:
			found = append(found, b.Findings...)
			lists++
		}
	}
	if lists > 0 {
		add(findingsTable(found, x.d.reader()))
	}
	for _, b := range (&Document{Sections: x.d.Workbook}).blocks() {
		if t, ok := b.(*Table); ok {
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
	}, printable(name))
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
func findingsTable(list []ingredients.Finding, reader words.Reader) *Table {
	t := &Table{Title: "Findings", SheetName: findingsSheet, Empty: "nothing to report", Columns: []Column{
		{Head: "Severity"}, {Head: "Subject"}, {Head: "Message"}, {Head: "Fix"}, {Head: "Why"}, {Head: "Sum"},
		{Head: "Place"}, {Head: "Code"}, {Head: "Ask"}, {Head: "Variants"}, {Head: "Markets"},
	}}
	seen := map[string]bool{}
	for i := range list {
		f := words.Say(&list[i], reader)
		var sum []string
		for _, s := range f.Sum {
			sum = append(sum, joined("  ", s.Text, s.Pos.String()))
		}
		row := []string{f.Subject, f.Text(), f.Fix, f.Why, strings.Join(sum, "\n"), f.Pos.String(), f.Code, f.Ask, strings.Join(f.Variants, ", "), strings.Join(f.Markets, ", ")}
		key := f.Severity.String() + "\x00" + strings.Join(row, "\x00")
		if seen[key] { // the same finding may stand in several sections
			continue
		}
		seen[key] = true
		cells := []Cell{SeverityCell(f.Severity)}
		for _, s := range row {
			cells = append(cells, TextCell(s))
		}
		t.Add(cells...)
	}
	return t
}

// write fills the workbook.
func (x *xlsxWriter) write() error {
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
		if _, err := x.f.NewSheet(s.name); err != nil {
			return err
		}
	}
	if err := x.contents(); err != nil {
		return err
	}
	x.names()
	for _, s := range x.sheets {
		if err := x.sheet(s); err != nil {
			return fmt.Errorf("sheet %q: %w", s.name, err)
		}
	}
	x.f.SetActiveSheet(0)
	return nil
}

func (x *xlsxWriter) properties() error {
	d := x.d
	when := "2000-01-01T00:00:00Z" // no date of its own: any fixed one
	if !d.Date.IsZero() {
		when = d.Date.Time().Format("2006-01-02T15:04:05Z")
	}
	full := true
	if err := x.f.SetCalcProps(&excelize.CalcPropsOptions{FullCalcOnLoad: &full}); err != nil {
		return err
	}
	return x.f.SetDocProps(&excelize.DocProperties{
		Title: printable(joined(": ", d.Title, d.Subtitle)), Subject: printable(d.Subject), Creator: printable(d.Author),
		Keywords: printable(joined(", ", d.Keywords...)), Language: d.language(), Created: when, Modified: when, LastModifiedBy: printable(d.Author),
	})
}

// productLine is what stands below the title of every sheet.
func (x *xlsxWriter) productLine() string {
	print := ""
	if x.d.Fingerprint != "" {
		print = "fingerprint " + x.d.Fingerprint
	}
	return printable(joined(" · ", x.d.Product, x.d.Revision, x.d.Date.String(), print))
}
