package dossier

import (
	"bytes"
	"fmt"
	"io"
	"io/fs"
	"os"
	"regexp"
	"runtime"
	"runtime/debug"
	"strconv"
	"strings"
	"testing"
	"time"

	"codeberg.org/go-pdf/fpdf"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
	"go.yaml.in/yaml/v3"

	"gallipot/calc/law/table"
	"gallipot/dossier/assess"
	"gallipot/dossier/document"
	"gallipot/dossier/document/layout"
	"gallipot/dossier/document/pdf"
	"gallipot/dossier/document/sheet"
	"gallipot/dossier/pack"
	"gallipot/dossier/parallel"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
	"gallipot/testdata"
)

// Figures of a busy machine tell little, so each of these benchmarks does the
// least work the task could be done with, its floor, and the task in turn, and
// reports the ratio of both.

// sizes are the workshops that are measured.
var sizes = []testdata.Size{
	{Sheets: 20, Products: 1, Variants: 1}, {Sheets: 20, Products: 1, Variants: 12},
	{Sheets: 20, Products: 1, Variants: 60}, {Sheets: 20, Products: 1, Variants: 600},
	{Sheets: 200, Products: 100, Variants: 10}, {Sheets: 2000, Products: 1000, Variants: 10},
}

func sizeName(s testdata.Size) string {
	return fmt.Sprintf("%dsheets-%dproducts-%dvariants", s.Sheets, s.Products, s.Variants)
}

// against runs floor and work in turn, with the program's own settings of the collector,
// and reports their ratio by processor time, the least of all runs each; by the clock
// beside it, which says little where others use the machine.
func against(b *testing.B, of string, floor, work func()) {
	defer debug.SetGCPercent(debug.SetGCPercent(400))
	defer debug.SetMemoryLimit(debug.SetMemoryLimit(520 << 20))
	const long = time.Duration(1 << 62)
	least, took, leastWall, tookWall := long, long, long, long
	timed := func(do func(), cpu, wall *time.Duration) {
		runtime.GC() // what others left behind is not theirs
		start, at := cpuTime(), time.Now()
		do()
		*cpu, *wall = min(*cpu, cpuTime()-start), min(*wall, time.Since(at))
	}
	for b.Loop() {
		timed(floor, &least, &leastWall)
		timed(work, &took, &tookWall)
	}
	b.ReportMetric(float64(took)/float64(max(least, 1)), "×"+of+"-cpu")
	b.ReportMetric(float64(tookWall)/float64(max(leastWall, 1)), "×"+of+"-wall")
	b.ReportMetric(float64(took.Microseconds())/1000, "cpu-ms")
	b.ReportMetric(float64(tookWall.Microseconds())/1000, "wall-ms")
	b.ReportMetric(0, "ns/op") // of both together, which says nothing
}

// onDisk writes a workshop into a folder and lists its YAML files.
func onDisk(b *testing.B, size testdata.Size) (dir string, yamls []string) {
	files := testdata.Large(size)
	dir = b.TempDir()
	require.NoError(b, os.CopyFS(dir, files))
	for name := range files {
		if strings.HasSuffix(name, ".yaml") {
			yamls = append(yamls, name)
		}
	}
	return dir, yamls
}

// decodeAll reads and decodes files on all cores: the floor of reading a
// workshop.
func decodeAll(b *testing.B, dir string, names []string) {
	fsys := os.DirFS(dir)
	parallel.Each(len(names), func(i int) {
		data, err := fs.ReadFile(fsys, names[i])
		if err != nil {
			b.Error(err)
		}
		if err := yaml.NewDecoder(bytes.NewReader(data)).Decode(new(yaml.Node)); err != nil {
			b.Error(err)
		}
	})
}

func benchOptions() assess.Options {
	return assess.Options{Date: exact.DateOf(time.Date(2026, 11, 28, 0, 0, 0, 0, time.UTC)), Law: table.Builtin()}
}

// BenchmarkLoad reads a workshop, against decoding its files.
func BenchmarkLoad(b *testing.B) {
	for _, size := range sizes {
		b.Run(sizeName(size), func(b *testing.B) {
			dir, names := onDisk(b, size)
			against(b, "decode", func() { decodeAll(b, dir, names) }, func() { workshop.Load(dir, table.Builtin()) })
		})
	}
}

// BenchmarkCheck reads a workshop and computes all its findings, against decoding
// its files.
func BenchmarkCheck(b *testing.B) {
	for _, size := range sizes {
		b.Run(sizeName(size), func(b *testing.B) {
			dir, names := onDisk(b, size)
			opt := benchOptions()
			against(b, "decode", func() { decodeAll(b, dir, names) }, func() {
				w, _ := workshop.Load(dir, table.Builtin())
				if as, _ := CheckAll(w, w.Computable(w.Products), nil, opt); len(as) != size.Products {
					b.Errorf("%d products computed of %d", len(as), size.Products)
				}
			})
		})
	}
}

// BenchmarkAssess computes the findings of one product, against decoding its
// files; its cost has to grow with the number of variants and no faster.
func BenchmarkAssess(b *testing.B) {
	for _, variants := range []int{1, 12, 60, 600} {
		b.Run(fmt.Sprintf("%dvariants", variants), func(b *testing.B) {
			size := testdata.Size{Sheets: 20, Products: 1, Variants: variants}
			dir, names := onDisk(b, size)
			w, _ := workshop.Load(dir, table.Builtin())
			opt := benchOptions()
			against(b, "decode", func() { decodeAll(b, dir, names) }, func() { CheckAll(w, w.Products, nil, opt) })
		})
	}
}

// benchPack returns the document of a product with so many variants.
func benchPack(b *testing.B, variants int) *document.Document {
	dir, _ := onDisk(b, testdata.Size{Sheets: 20, Products: 1, Variants: variants})
	w, _ := workshop.Load(dir, table.Builtin())
	return pack.Build(Assess(w, w.Products[0], benchOptions()))
}

// BenchmarkPDF prints a pack, against the bare writer printing as many runs of
// text of the same length on as many pages in the same fonts.
func BenchmarkPDF(b *testing.B) {
	for _, variants := range []int{1, 12, 60} {
		b.Run(fmt.Sprintf("%dvariants", variants), func(b *testing.B) {
			doc := benchPack(b, variants)
			runs, pages := textRuns(b, doc)
			b.ReportMetric(float64(len(runs)), "runs")
			against(b, "bare", func() { barePDF(b, runs, pages) }, func() {
				_, _, err := pdf.Render(doc, nil)
				require.NoError(b, err)
			})
		})
	}
}

// textRun is one piece of text that a pack sets.
type textRun struct {
	x, y, size float64
	style      layout.FontStyle
	s          string
}

// textRuns lists what is set on the pages of a document.
func textRuns(b *testing.B, doc *document.Document) (runs []textRun, pages int) {
	w := pdf.NewWriter(doc.ForPages())
	w.Placed = func(x, y, size float64, style layout.FontStyle, s string) {
		runs = append(runs, textRun{x, y, size, style, s})
	}
	w.Document()
	require.NoError(b, w.P.Error())
	return runs, w.P.PageCount()
}

func barePDF(b *testing.B, runs []textRun, pages int) {
	p := fpdf.New("P", "mm", "A4", "")
	for style, name := range pdf.FamilyOf {
		p.AddUTF8FontFromBytes(name[0], name[1], bytes.Clone(layout.Faces[style]().Data))
	}
	perPage := len(runs)/pages + 1
	for i, r := range runs {
		if i%perPage == 0 {
			p.AddPage()
		}
		p.SetFont(pdf.FamilyOf[r.style][0], pdf.FamilyOf[r.style][1], r.size)
		p.Text(r.x, r.y, r.s)
	}
	require.NoError(b, p.Output(io.Discard))
}

// BenchmarkXLSX prints the spreadsheet of a pack, against the stream writer setting
// as many cells with the same contents, each with a style.
func BenchmarkXLSX(b *testing.B) {
	for _, variants := range []int{1, 12, 60} {
		b.Run(fmt.Sprintf("%dvariants", variants), func(b *testing.B) {
			doc := benchPack(b, variants)
			cells := filledCells(b, doc)
			b.ReportMetric(float64(len(cells)), "cells")
			against(b, "stream", func() { streamXLSX(b, cells) }, func() { require.NoError(b, sheet.Write(io.Discard, doc)) })
		})
	}
}

type sheetCell struct {
	sheet, name, value, formula string
	number                      bool
}

var plainNumber = regexp.MustCompile(`^-?\d+(\.\d+)?([eE][+-]?\d+)?$`)

// filledCells lists the cells of a document's workbook.
func filledCells(b *testing.B, doc *document.Document) (cells []sheetCell) {
	var raw bytes.Buffer
	require.NoError(b, sheet.Write(&raw, doc))
	f, err := excelize.OpenReader(&raw)
	require.NoError(b, err)
	defer f.Close()
	for _, oneSheet := range f.GetSheetList() {
		rows, err := f.GetRows(oneSheet, excelize.Options{RawCellValue: true})
		require.NoError(b, err)
		for i, row := range rows {
			for j, v := range row {
				c := sheetCell{sheet: oneSheet, name: sheet.CellName(j+1, i+1), value: v, number: plainNumber.MatchString(v)}
				c.formula, err = f.GetCellFormula(oneSheet, c.name)
				require.NoError(b, err)
				if v != "" || c.formula != "" {
					cells = append(cells, c)
				}
			}
		}
	}
	return cells
}

// streamXLSX writes the cells row by row with the stream writer of the library, which
// keeps no cell: the least that a workbook of them costs with it.
func streamXLSX(b *testing.B, cells []sheetCell) {
	f := excelize.NewFile()
	defer f.Close()
	style, err := f.NewStyle(&excelize.Style{Font: &excelize.Font{Family: sheet.SheetFont, Size: sheet.SheetSize}})
	require.NoError(b, err)
	for i := 0; i < len(cells); {
		name := cells[i].sheet
		if i > 0 || name != "Sheet1" {
			_, err := f.NewSheet(name)
			require.NoError(b, err)
		}
		w, err := f.NewStreamWriter(name)
		require.NoError(b, err)
		for i < len(cells) && cells[i].sheet == name {
			_, row, err := excelize.CellNameToCoordinates(cells[i].name)
			require.NoError(b, err)
			var line []any
			for ; i < len(cells) && cells[i].sheet == name; i++ {
				col, at, err := excelize.CellNameToCoordinates(cells[i].name)
				require.NoError(b, err)
				if at != row {
					break
				}
				for len(line) < col-1 {
					line = append(line, nil)
				}
				c := excelize.Cell{StyleID: style, Formula: cells[i].formula}
				if c.Value = cells[i].value; cells[i].number {
					c.Value, err = strconv.ParseFloat(cells[i].value, 64)
					require.NoError(b, err)
				}
				line = append(line, c)
			}
			require.NoError(b, w.SetRow(fmt.Sprintf("A%d", row), line))
		}
		require.NoError(b, w.Flush())
	}
	require.NoError(b, f.Write(io.Discard))
}

// profileRuns are those of the second document of a pack, the profiles that stand by themselves.
func profileRuns(b *testing.B, variants int) (runs []textRun, pages int) {
	dir, _ := onDisk(b, testdata.Size{Sheets: 20, Products: 1, Variants: variants})
	w, _ := workshop.Load(dir, table.Builtin())
	if d := pack.Volume(Assess(w, w.Products[0], benchOptions())); d != nil {
		return textRuns(b, d)
	}
	return nil, 0
}

// BenchmarkPack makes the files of a pack from a folder at hand, against the page writer
// setting both of its PDFs and the stream writer, one after the other. GOMAXPROCS=1 compares one
// core with one.
func BenchmarkPack(b *testing.B) {
	for _, variants := range []int{1, 12, 60} {
		b.Run(fmt.Sprintf("%dvariants", variants), func(b *testing.B) {
			dir, _ := onDisk(b, testdata.Size{Sheets: 20, Products: 1, Variants: variants})
			doc := benchPack(b, variants)
			runs, pages := textRuns(b, doc)
			further, furtherPages := profileRuns(b, variants)
			cells := filledCells(b, doc)
			out := b.TempDir()
			opt := benchOptions()
			against(b, "writers", func() {
				barePDF(b, runs, pages)
				streamXLSX(b, cells)
				if furtherPages > 0 {
					barePDF(b, further, furtherPages)
				}
			}, func() {
				w, _ := workshop.Load(dir, table.Builtin())
				_, _, err := WritePack(out, Assess(w, w.Products[0], opt))
				require.NoError(b, err)
			})
		})
	}
}

// BenchmarkCliffs checks workshops of which one thing is large, against the same without it.
func BenchmarkCliffs(b *testing.B) {
	plain := testdata.Size{Sheets: 20, Products: 4, Variants: 10}
	for name, change := range map[string]func(*testdata.Size){
		"labels-60x30":     func(s *testdata.Size) { s.SmallLabels = true },
		"100-constituents": func(s *testdata.Size) { s.Constituents = 100 },
		"300-constituents": func(s *testdata.Size) { s.Constituents = 300 },
		"40-lines":         func(s *testdata.Size) { s.Lines = 40 },
		"100-lines":        func(s *testdata.Size) { s.Lines = 100 },
		"600-unknown":      func(s *testdata.Size) { s.Unknown = 150 },
	} {
		b.Run(name, func(b *testing.B) {
			size := plain
			change(&size)
			b.ReportMetric(float64(size.Products*size.Variants*2), "results")
			against(b, "plain", checking(b, plain), checking(b, size))
		})
	}
}

// BenchmarkResult computes the findings of workshops that are read already, and reports
// what one result takes: a variant in a market. Allocations do not depend on the load of
// the machine, processor time does.
func BenchmarkResult(b *testing.B) {
	plain := testdata.Size{Sheets: 400, Products: 100, Variants: 10}
	small := testdata.Size{Sheets: 40, Products: 12, Variants: 10}
	for _, c := range []struct {
		name   string
		size   testdata.Size
		change func(*testdata.Size)
	}{
		{"plain", plain, func(*testdata.Size) {}},
		{"labels-60x30", small, func(s *testdata.Size) { s.SmallLabels = true }},
		{"100-constituents", small, func(s *testdata.Size) { s.Constituents = 100 }},
		{"300-constituents", small, func(s *testdata.Size) { s.Constituents = 300 }},
		{"100-lines", small, func(s *testdata.Size) { s.Lines = 100 }},
	} {
		b.Run(c.name, func(b *testing.B) {
			defer debug.SetGCPercent(debug.SetGCPercent(400))
			c.change(&c.size)
			w, _ := workshop.LoadFS("w", testdata.Large(c.size), table.Builtin())
			var before, after runtime.MemStats
			runtime.ReadMemStats(&before)
			start, n := cpuTime(), 0
			for b.Loop() {
				CheckAll(w, w.Computable(w.Products), nil, benchOptions())
				n += c.size.Products * c.size.Variants * 2
			}
			took := cpuTime() - start
			runtime.ReadMemStats(&after)
			b.ReportMetric(float64(took.Nanoseconds())/1000/float64(n), "cpu-µs/result")
			b.ReportMetric(float64(after.Mallocs-before.Mallocs)/float64(n), "allocs/result")
			b.ReportMetric(float64(after.TotalAlloc-before.TotalAlloc)/1024/float64(n), "kB/result")
			b.ReportMetric(0, "ns/op")
		})
	}
}

// checking returns what reads and checks a workshop of a size.
func checking(b *testing.B, size testdata.Size) func() {
	dir, _ := onDisk(b, size)
	return func() {
		w, _ := workshop.Load(dir, table.Builtin())
		if as, _ := CheckAll(w, w.Computable(w.Products), nil, benchOptions()); len(as) != size.Products {
			b.Errorf("%d products computed of %d", len(as), size.Products)
		}
	}
}
