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
// Errors: a tree that [document.Document.Mistakes] refuses, a formula that names a cell that
// is not in the workbook, and whatever w returns.
func Write(w io.Writer, d *document.Document) error {
	if err := d.Mistakes(); err != nil {
		return err
	}
	x := &XLSXWriter{D: d, f: excelize.NewFile(), TableNo: d.TableNumbers(), styles: map[xlsxStyle]int{},
		Cells: map[string]CellPlace{}, Tables: map[string]*XLSXTable{},
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
	// what recalculates first
	for _, b := range append((&document.Document{Sections: x.D.Workbook}).Blocks(), x.D.Blocks()...) {
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
}

// findingsTable puts findings into rows, one each.
func findingsTable(list []finding.Finding, reader words.Reader) *document.Table {
	t := &document.Table{Title: "Findings", SheetName: findingsSheet, Empty: "nothing to report",
		Columns: []document.Column{
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
		row := []string{f.Subject, f.Text(), f.Fix, f.Why, strings.Join(sum, "\n"), f.Pos.String(), f.Code, f.Ask,
			strings.Join(f.Variants, ", "), strings.Join(f.Markets, ", ")}
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
		Title: words.Printable(words.Joined(": ", d.Title,
			d.Subtitle)), Subject: words.Printable(d.Subject), Creator: words.Printable(d.Author),
		Keywords: words.Printable(words.Joined(", ",
			d.Keywords...)), Language: d.LanguageCode(), Created: when, Modified: when,
		LastModifiedBy: words.Printable(d.Author),
	})
}
