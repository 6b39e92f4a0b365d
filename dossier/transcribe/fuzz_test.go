package transcribe_test

import (
	"archive/zip"
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"gallipot/calc/law/table"
	"gallipot/dossier/transcribe"
	"gallipot/dossier/transcribe/paper"
	"gallipot/dossier/transcribe/reading"
	"gallipot/ingredients/exact"
	"gallipot/testdata/testrun"
)

func TestMain(m *testing.M) { testrun.Main(m) }

// fuzzForm fuzzes the reading of one form of paper: whatever the bytes are, it is read
// or refused, within two seconds, and what is proposed has bounds in their order. wrap
// puts the bytes where the form has its text.
func fuzzForm(f *testing.F, name string, wrap func(data []byte) []byte, seeds ...string) {
	reader, err := transcribe.New(table.Builtin(), nil)
	require.NoError(f, err)
	files := paper.NewReader()
	f.Cleanup(files.Close)
	for _, s := range seeds {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		start := time.Now()
		file, err := files.Read(name, wrap(data))
		if err != nil {
			return
		}
		r := reader.Read(file)
		require.Less(t, time.Since(start), hung)
		for _, c := range r.Composition {
			inOrder(t, c.Name, c.Low, c.High)
		}
		if r.Allergens != nil {
			for _, a := range r.Allergens.Rows {
				inOrder(t, a.Name, a.Low, a.High)
			}
		}
		for _, p := range append(append([]reading.Property{}, r.Physical...), r.Impurities...) {
			if p.Low != "" && p.High != "" {
				inOrder(t, p.Name, &p.Low, &p.High)
			}
		}
	})
}

func inOrder(t *testing.T, name string, low, high *string) {
	if low == nil || high == nil {
		return
	}
	l, err := exact.ParseNum(*low)
	require.NoError(t, err, name)
	h, err := exact.ParseNum(*high)
	require.NoError(t, err, name)
	require.False(t, h.Less(l), "%s: %s to %s", name, *low, *high)
}

func as(data []byte) []byte { return data }

// seed is a paper of the set.
func seed(f *testing.F, name string) string {
	data, err := os.ReadFile(filepath.Join(papers, name))
	require.NoError(f, err)
	return string(data)
}

func FuzzText(f *testing.F) {
	fuzzForm(f, "a.txt", as, "Composition\nProduct name: x\nLinalool  78-70-6  1,5 - <2 %\n",
		"Allergens\nCitral ...... < 0.01 %\nneral;141-27-5;0.5\nGeranial;141-27-5;0.5\na;b;c\n")
}

func FuzzSeparated(f *testing.F) {
	fuzzForm(f, "a.csv", as, seed(f, "lavandin-allergene.csv"), "Allergen;CAS;ppm\nLinalool;78-70-6;1.500\n")
}

func FuzzMail(f *testing.F) {
	fuzzForm(f, "a.eml", as, seed(f, "orange-mail.txt"),
		"From: a <b@c.example>\nSubject: x\nContent-Type: text/html\n\n<p>pH 5-6</p>\n")
}

func FuzzWeb(f *testing.F) {
	fuzzForm(f, "a.html", as, "<h1>Certificate, IFRA Standards 51st Amendment</h1><table><tr><th>Category<th>Max %<tr><td>5A<td>1.2</table>",
		"<table><tr><td rowspan=3 colspan=2>Linalool<td>1 %</table>", "000 Cd 7A0",
		"<table><tr><td><table><tr><td>Lead<td>&lt; 1 ppm</table></table>")
}

// document is a word-processor file with the bytes as the XML of its body.
func document(data []byte) []byte {
	return zipped(map[string][]byte{"[Content_Types].xml": []byte(`<?xml version="1.0"?><Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"/>`),
		"word/document.xml": data})
}

func zipped(files map[string][]byte) []byte {
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for name, data := range files {
		w, err := z.Create(name)
		if err == nil {
			_, err = w.Write(data)
		}
		if err != nil {
			panic(err)
		}
	}
	if err := z.Close(); err != nil {
		panic(err)
	}
	return b.Bytes()
}

// part takes one file out of a zipped one.
func part(f *testing.F, data, name string) string {
	z, err := zip.NewReader(strings.NewReader(data), int64(len(data)))
	require.NoError(f, err)
	r, err := z.Open(name)
	require.NoError(f, err)
	var b bytes.Buffer
	_, err = b.ReadFrom(r)
	require.NoError(f, err)
	return b.String()
}

func FuzzDocument(f *testing.F) {
	fuzzForm(f, "a.docx", document, part(f, seed(f, "nettle-composition.docx"), "word/document.xml"))
}

// FuzzWorkbook fuzzes the cells of a workbook; FuzzSheetXML the file that holds them.
func FuzzWorkbook(f *testing.F) {
	fuzzForm(f, "a.xlsx", func(data []byte) []byte {
		x := excelize.NewFile()
		defer func() { _ = x.Close() }()
		for i, line := range strings.Split(string(data), "\n") {
			for k, cell := range strings.Split(line, "\t") {
				at, err := excelize.CoordinatesToCellName(k+1, i+1)
				if err == nil {
					_ = x.SetCellStr("Sheet1", at, cell)
				}
			}
		}
		var b bytes.Buffer
		_ = x.Write(&b)
		return b.Bytes()
	}, "Composition\nProduct\tx\nINCI\tCAS\t%\nAqua\t7732-18-5\t60 - 70\nGlycerin\t56-81-5\t<5\n")
}

func FuzzSheetXML(f *testing.F) {
	whole := seed(f, "betaine-composition.xlsx")
	z, err := zip.NewReader(strings.NewReader(whole), int64(len(whole)))
	require.NoError(f, err)
	rest := map[string][]byte{}
	for _, file := range z.File {
		rest[file.Name] = []byte(part(f, whole, file.Name))
	}
	const sheet = "xl/worksheets/sheet1.xml"
	fuzzForm(f, "a.xlsx", func(data []byte) []byte {
		rest[sheet] = data
		return zipped(rest)
	}, string(rest[sheet]))
}
