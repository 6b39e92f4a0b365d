package dossier

import (
	"bytes"
	"fmt"
	"io"
	"io/fs"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"
	"unicode"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/table"
	"gallipot/dossier/assess"
	"gallipot/dossier/batch"
	"gallipot/dossier/document"
	"gallipot/dossier/document/page"
	"gallipot/dossier/document/pdf"
	"gallipot/dossier/document/plain"
	"gallipot/dossier/document/sheet"
	"gallipot/dossier/figures"
	"gallipot/dossier/label"
	"gallipot/dossier/letters"
	"gallipot/dossier/notice"
	"gallipot/dossier/pack"
	"gallipot/dossier/sections"
	"gallipot/dossier/stability"
	"gallipot/dossier/weigh"
	"gallipot/dossier/words/wordstest"
	"gallipot/dossier/workshop"
	"gallipot/dossier/workshop/workshoptest"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
	"gallipot/ingredients/source"
	"gallipot/testdata"
)

// FuzzLoad reads a whole workshop, packed as one text, and does everything with
// it that needs no file: nothing panics, every finding says what, where and how
// to mend it, and what reads without a fault computes and prints. The seeds are
// the smallest workshops of all findings.
func FuzzLoad(f *testing.F) {
	files, err := filepath.Glob("../testdata/findings/*.txtar")
	require.NoError(f, err)
	require.NotEmpty(f, files)
	every := len(files) / testdata.Cases(12, len(files))
	for i, name := range files {
		if i%every != 0 {
			continue
		}
		a, err := txtar.ParseFile(name)
		require.NoError(f, err)
		f.Add(txtar.Format(&txtar.Archive{Files: a.Files}))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		w, findings := workshop.LoadFS("shop", unpacked(data), table.Builtin())
		wantSaid(t, w, findings)
		if w == nil {
			return
		}
		opt := assess.Options{Date: testDay, Law: table.Builtin()}
		as := AssessAll(w, w.Computable(w.Products), opt)
		wantSaid(t, w, assess.MergeFindings(w, as, true))
		wantSaid(t, w, batch.BatchFindings(w, as))
		for _, f := range findings {
			if f.Unread {
				return // the verbs that print go no further either
			}
		}
		printAll(t, w, as, opt)
	})
}

// unpacked makes files of a text in which a line "-- name --" starts each. The
// library that reads such texts elsewhere panics on some.
func unpacked(data []byte) fstest.MapFS {
	shop, name := fstest.MapFS{}, ""
	for line := range bytes.Lines(data) {
		head := strings.TrimRight(string(line), "\n")
		if strings.HasPrefix(head, "-- ") && strings.HasSuffix(head, " --") && len(head) > 6 {
			name = head[3 : len(head)-3]
			continue
		}
		if !fs.ValidPath(name) {
			continue
		}
		if shop[name] == nil {
			shop[name] = &fstest.MapFile{}
		}
		shop[name].Data = append(shop[name].Data, line...)
	}
	return shop
}

// wantSaid wants findings that help: words, a remedy, and a place in the file.
func wantSaid(t *testing.T, w *workshop.Workshop, findings []finding.Finding) {
	t.Helper()
	for _, f := range findings {
		if f.Code == "" || wordstest.Said(f).Message == "" || wordstest.Said(f).Fix == "" && f.Severity != finding.Note {
			t.Fatalf("finding without words: %+v", f)
		}
		if strings.ContainsFunc(wordstest.Said(f).Message+wordstest.Said(f).Fix+wordstest.Said(f).Why,
			func(r rune) bool { return r != '\n' && unicode.IsControl(r) }) {
			t.Fatalf("control character in %+v", f)
		}
		if w == nil || w.Sources[f.Pos.File] == nil || f.Pos.Line == 0 {
			continue
		}
		text := string(w.Sources[f.Pos.File].Bytes)
		if lines := strings.Count(text, "\n") + strings.Count(text,
			"\r") + 1; f.Pos.Line < 0 || f.Pos.Line > lines || f.Pos.Col < 1 || f.Pos.Len < 0 {
			t.Fatalf("place outside the file of %d lines: %+v", lines, f)
		}
		w.Excerpt(f.Pos)
	}
}

// printAll makes every document of a workshop as text and JSON.
func printAll(t *testing.T, w *workshop.Workshop, as []*assess.Assessment, opt assess.Options) {
	t.Helper()
	require.NoError(t, figures.WriteJSON(io.Discard, as))
	figs, err := figures.FiguresOf(as)
	require.NoError(t, err)
	require.Empty(t, figures.Compare(figs, figs))
	docs := []*document.Document{batch.BatchList(w, opt.Date, nil), stability.Document(as, opt.Date)}
	for _, a := range as {
		figures, err := sections.Figures(a, "", nil)
		require.NoError(t, err)
		docs = append(docs, pack.Build(a), figures, notice.Sheet(a), label.Text(a, "", label.LabelOptions{}))
		batchText := exact.Int(1000)
		for _, v := range a.Product.Variants {
			if s, err := weigh.Weigh(w, a, v.ID,
				weigh.WeighOptions{BatchG: &batchText, Code: "F1"}); err == nil && !s.Blocked() {
				docs = append(docs, s.Document())
				_, fs := workshop.ReadBatch(source.NewSource("batches/F1.yaml", batch.RecordText(s)))
				require.Empty(t, fs, "our own record reads")
			}
		}
	}
	for _, b := range w.BatchRecords {
		var a *assess.Assessment
		for _, x := range as {
			if x.Product.ID == b.Product {
				a = x
			}
		}
		docs = append(docs, batch.Review(w, b, a).Document(w, opt.Date))
		if trace, found := batch.TraceBatch(w, b.Code); found {
			docs = append(docs, trace.Document(w, opt.Date))
		}
	}
	letters, err := letters.LettersOf(w, as, opt.Date).Documents(w.Maker.Name, opt.Date)
	require.NoError(t, err)
	for _, l := range letters {
		docs = append(docs, l.Doc)
	}
	for _, d := range docs {
		require.NoError(t, plain.Write(io.Discard, d))
	}
}

// FuzzPrint puts a text wherever a maker may write one, and prints PDF, label
// and spreadsheet: none fails, whatever script the words are in.
func FuzzPrint(f *testing.F) {
	for _, s := range []string{"plain", "", "tall é ﬁ", "שלום world", "日本語 とても長い",
		strings.Repeat("W", 400), "=1+1", "a\nb", "👩‍🔬 e\u0301", "<b>&amp;", `C:\x`, "{#x} {a@head}",
		"\u00a0\u2003", "''\"", "€ µ ≥ ½"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		q := strconv.Quote(text)
		shop := workshoptest.Folder(map[string]string{
			"workshop.yaml":          fmt.Sprintf("maker: {name: %s, address: [%s], country: GB}\nmarkets: [GB]\nbalance: {division_g: 0.1}\n", q, q),
			"ingredients/water.yaml": fmt.Sprintf("id: water\nname: %s\nsupplier: {name: %s}\ncomposition: {complete: true, constituents: [{inci: Aqua, pct: 90}, {inci: %s, pct: 10}]}\nhandling: [%s]\n", q, q, q, q),
			"products/x.yaml": strings.Replace(product, "name: X", "name: "+q,
				1) + fmt.Sprintf("claims: [%s]\ndirections: %s\nwarnings: [%s]\nprocess: [%s]\n"+
				"label: {width_mm: 60, height_mm: 40}\nvariants: [{id: a, name: %s}]\nspecification: {appearance: %s}\n",
				q, q, q, q, q, q),
		})
		w, findings := workshop.LoadFS("shop", shop, table.Builtin())
		wantSaid(t, w, findings)
		as := AssessAll(w, w.Computable(w.Products), assess.Options{Date: testDay, Law: table.Builtin()})
		if len(as) == 0 {
			return
		}
		wantSaid(t, w, as[0].Findings)
		doc := pack.Build(as[0])
		var oneSheet bytes.Buffer
		require.NoError(t, sheet.Write(&oneSheet, doc))
		_, _, err := pdf.Render(doc, nil)
		require.NoError(t, err)
		labels := label.Labels(as[0], "", label.LabelOptions{})
		_, _, _, err = label.PDF(labels, label.LabelOptions{Leaflet: true}, false)
		require.NoError(t, err)
		require.NoError(t, label.WriteCSV(io.Discard, labels))
		require.NoError(t, page.Write(io.Discard, doc))
	})
}

// FuzzParseMass: what parses is above nothing and prints back to the same mass.
func FuzzParseMass(f *testing.F) {
	for _, s := range []string{"2kg", "500 g", "1.5 KG", "0g", "-1kg", "kg", "1e3g", "1,5kg", "\u00a02kg"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		n, err := weigh.ParseMass(text)
		if err != nil {
			return
		}
		require.Positive(t, n.Sign())
		again, err := weigh.ParseMass(n.Exact() + "g")
		if err != nil { // a kilogram has more digits in g than a maker may type
			require.Contains(t, err.Error(), "digits")
			return
		}
		require.True(t, again.Equal(n))
	})
}
