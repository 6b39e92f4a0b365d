// Command inbox writes the supplier documents that lie in the inbox of the demo:
//
//	go run ./testdata/inbox
//
// a composition statement as PDF, an allergen declaration as a workbook, and a fragrance
// conformity certificate as a web page, in three layouts that suppliers use. Suppliers,
// trade names and figures are those of the demo's sheets, and invented. The same
// program writes the same bytes each time; a test of cmd/gallipot reads the documents
// and compares them with the sheets.
package main

import (
	"bytes"
	"flag"
	"fmt"
	"html"
	"log"
	"os"
	"path/filepath"
	"strings"
	"time"

	"codeberg.org/go-pdf/fpdf"
	"github.com/xuri/excelize/v2"
)

const mark = "INVENTED SAMPLE DOCUMENT: supplier and figures do not exist"

func main() {
	log.SetFlags(0)
	out := flag.String("out", "testdata/demo/inbox", "the folder to write to")
	flag.Parse()
	for name, write := range map[string]func() ([]byte, error){
		"kelp-extract-composition.pdf": composition,
		"fo-heather-allergens.xlsx":    allergens,
		"fo-gorse-certificate.html":    certificate,
	} {
		data, err := write()
		if err != nil {
			log.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(*out, name), data, 0o644); err != nil {
			log.Fatal(err)
		}
	}
}

// composition is a composition statement with a ruled table, and below it a second one
// of traces and physical data.
func composition() ([]byte, error) {
	p := fpdf.New("P", "mm", "A4", "")
	day := time.Date(2026, 11, 20, 9, 0, 0, 0, time.UTC)
	p.SetCreationDate(day)
	p.SetModificationDate(day)
	p.SetCatalogSort(true)
	p.SetMargins(20, 18, 20)
	p.AddPage()
	latin := p.UnicodeTranslatorFromDescriptor("")
	text := func(style string, size float64, s string) {
		p.SetFont("Helvetica", style, size)
		p.MultiCell(0, size*0.5, latin(s), "", "L", false)
	}
	row := func(style string, wide []float64, cells ...string) {
		p.SetFont("Helvetica", style, 9.5)
		for i, c := range cells {
			p.CellFormat(wide[i], 7, latin(c), "1", 0, "L", false, 0, "")
		}
		p.Ln(-1)
	}
	text("B", 15, "Lichengate Stillhouse (invented)")
	text("", 9, "Plant extracts in small stills")
	p.Ln(6)
	text("B", 14, "Composition statement")
	p.Ln(3)
	head := []float64{40, 120}
	row("", head, "Product name", "Kelp extract in glycerin and water")
	row("", head, "Product code", "LG-70")
	row("", head, "Date of issue", "2026-11-20")
	row("", head, "Version", "3")
	p.Ln(5)
	text("", 10, "Contents in % by weight of the product as delivered.")
	p.Ln(2)
	wide := []float64{62, 30, 30, 38}
	row("B", wide, "INCI name", "CAS No.", "EC No.", "Content (%)")
	row("", wide, "Aqua", "7732-18-5", "231-791-2", "60 - 65")
	row("", wide, "Glycerin", "56-81-5", "200-289-5", "20 - 25")
	row("", wide, "Laminaria Digitata Extract", "-", "-", "4 - 6")
	row("", wide, "Phenoxyethanol", "122-99-6", "204-589-7", "2 - 3")
	p.Ln(5)
	text("B", 11, "Impurities")
	p.Ln(1)
	trace := []float64{62, 30, 68}
	row("B", trace, "Substance", "CAS No.", "Content")
	row("", trace, "Diethylene Glycol", "111-46-6", "< 100 ppm")
	p.Ln(5)
	text("B", 11, "Physical properties")
	p.Ln(1)
	row("B", trace[:2], "Property", "Value")
	row("", trace[:2], "pH", "5 - 6")
	row("", trace[:2], "Density at 20 °C", "1.08 g/ml")
	p.Ln(8)
	text("", 8, mark)
	var b bytes.Buffer
	err := p.Output(&b)
	return b.Bytes(), err
}

// allergens is a declaration as a workbook: facts above, the names of the list below.
func allergens() ([]byte, error) {
	f := excelize.NewFile()
	defer func() { _ = f.Close() }()
	const sheet = "Declaration"
	if err := f.SetSheetName("Sheet1", sheet); err != nil {
		return nil, err
	}
	rows := [][]any{
		{"Fogmere Scent House (invented)"},
		{"Allergen declaration to Regulation (EU) 2023/1545"},
		{},
		{"Fragrance", "Heather Moor fragrance"},
		{"Product code", "FM-2204"},
		{"Date", "2025-11-05"},
		{},
		{"Allergen (INCI)", "CAS", "Content in the fragrance, % w/w"},
		{"Linalool", "78-70-6", 4.2},
		{"Linalyl Acetate", "115-95-7", 3.1},
		{"Hexyl Cinnamal", "101-86-0", 2.8},
		{"Tetramethyl Acetyloctahydronaphthalenes", "54464-57-2", 6.5},
		{"Alpha-Isomethyl Ionone", "127-51-5", 2.0},
		{"Coumarin", "91-64-5", 1.5},
		{"Geraniol", "106-24-1", "1.0 - 1.6"},
		{"Citronellol", "106-22-9", 0.9},
		{"Limonene", "5989-27-5", 0.35},
		{"Hydroxycitronellal", "107-75-5", "< 0.01"},
		{},
		{"No other substance of the list is present above 0.001 %."},
		{mark},
	}
	for i, r := range rows {
		if err := f.SetSheetRow(sheet, fmt.Sprintf("A%d", i+1), &r); err != nil {
			return nil, err
		}
	}
	for col, wide := range map[string]float64{"A": 44, "B": 16, "C": 34} {
		if err := f.SetColWidth(sheet, col, col, wide); err != nil {
			return nil, err
		}
	}
	var b bytes.Buffer
	err := f.Write(&b)
	return b.Bytes(), err
}

// certificate is a certificate as a page of a supplier's web shop.
func certificate() ([]byte, error) {
	var b strings.Builder
	line := func(s string, args ...any) { fmt.Fprintf(&b, s+"\n", args...) }
	line(`<!DOCTYPE html>`)
	line(`<html lang="en"><head><meta charset="utf-8"><title>Certificate FM-2219</title></head><body>`)
	line(`<h1>Fogmere Scent House (invented)</h1>`)
	line(`<h2>Certificate of conformity with the IFRA Standards, 51st Amendment</h2>`)
	line(`<p>Product name: Gorse in Bloom fragrance<br>Product code: FM-2219<br>Date: 2026-01-22</p>`)
	line(`<p>The fragrance may be used in finished products up to the following levels.</p>`)
	line(`<table>`)
	line(`<tr><th>IFRA category</th><th>Maximum level in the finished product (%%)</th></tr>`)
	for _, l := range [][2]string{{"1", "0.32"}, {"2", "0.095"}, {"3", "0.45"}, {"4", "1.8"}, {"5A", "0.45"},
		{"5B", "0.45"}, {"5C", "0.45"}, {"5D", "0.15"}, {"6", "1.0"}, {"7A", "0.9"}, {"7B", "0.9"}, {"8", "0.15"},
		{"9", "3.5"}, {"10A", "3.5"}, {"10B", "12.6"}, {"11A", "0.15"}, {"11B", "0.15"}, {"12", "No restriction"}} {
		line(`<tr><td>%s</td><td>%s</td></tr>`, html.EscapeString(l[0]), html.EscapeString(l[1]))
	}
	line(`</table>`)
	line(`<p>%s</p>`, mark)
	line(`</body></html>`)
	return []byte(b.String()), nil
}
