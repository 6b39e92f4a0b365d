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

	"gallipot/calc/law"
	"gallipot/ingredients"
)

// FuzzLoad reads a whole workshop, packed as one text, and does everything with
// it that needs no file: nothing panics, every finding says what, where and how
// to mend it, and what reads without a fault computes and prints. The seeds are
// the smallest workshops of all findings.
func FuzzLoad(f *testing.F) {
	files, err := filepath.Glob("../testdata/findings/*.txtar")
	require.NoError(f, err)
	require.NotEmpty(f, files)
	for _, name := range files {
		a, err := txtar.ParseFile(name)
		require.NoError(f, err)
		f.Add(txtar.Format(&txtar.Archive{Files: a.Files}))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		w, findings := LoadFS("shop", unpacked(data), law.Builtin())
		wantSaid(t, w, findings)
		if w == nil {
			return
		}
		opt := Options{Date: testDay, Law: law.Builtin()}
		as := w.AssessAll(w.Computable(w.Products), opt)
		wantSaid(t, w, MergeFindings(w, as, true))
		wantSaid(t, w, BatchFindings(w, as))
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
func wantSaid(t *testing.T, w *Workshop, findings []ingredients.Finding) {
	t.Helper()
	for _, f := range findings {
		if f.Code == "" || said(f).Message == "" || said(f).Fix == "" && f.Severity != ingredients.Note {
			t.Fatalf("finding without words: %+v", f)
		}
		if strings.ContainsFunc(said(f).Message+said(f).Fix+said(f).Why, func(r rune) bool { return r != '\n' && unicode.IsControl(r) }) {
			t.Fatalf("control character in %+v", f)
		}
		if w == nil || w.Sources[f.Pos.File] == nil || f.Pos.Line == 0 {
			continue
		}
		text := string(w.Sources[f.Pos.File].Bytes)
		if lines := strings.Count(text, "\n") + strings.Count(text, "\r") + 1; f.Pos.Line < 0 || f.Pos.Line > lines || f.Pos.Col < 1 || f.Pos.Len < 0 {
			t.Fatalf("place outside the file of %d lines: %+v", lines, f)
		}
		w.Excerpt(f.Pos)
	}
}

// printAll makes every document of a workshop as text and JSON.
func printAll(t *testing.T, w *Workshop, as []*Assessment, opt Options) {
	t.Helper()
	require.NoError(t, WriteJSON(io.Discard, as))
	figures, err := FiguresOf(as)
	require.NoError(t, err)
	require.Empty(t, Compare(figures, figures))
	docs := []*Document{BatchList(w, opt.Date), Stability(as, opt.Date)}
	for _, a := range as {
		figures, err := Figures(a, "", nil)
		require.NoError(t, err)
		docs = append(docs, Pack(a), figures, NotificationSheet(a), LabelText(a, "", LabelOptions{}))
		batch := ingredients.Int(1000)
		for _, v := range a.Product.Variants {
			if s, err := w.Weigh(a, v.ID, WeighOptions{BatchG: &batch, Code: "F1"}); err == nil && !s.Blocked() {
				docs = append(docs, s.Document())
				_, fs := ReadBatch(ingredients.NewSource("batches/F1.yaml", s.RecordText()))
				require.Empty(t, fs, "our own record reads")
			}
		}
	}
	for _, b := range w.BatchRecords {
		var a *Assessment
		for _, x := range as {
			if x.Product.ID == b.Product {
				a = x
			}
		}
		docs = append(docs, w.Review(b, a).Document(w, opt.Date))
		if trace, found := w.TraceBatch(b.Code); found {
			docs = append(docs, trace.Document(w, opt.Date))
		}
	}
	letters, err := LettersOf(w, as, opt.Date).Documents(w.Maker.Name, opt.Date)
	require.NoError(t, err)
	for _, l := range letters {
		docs = append(docs, l.Doc)
	}
	for _, d := range docs {
		require.NoError(t, WriteText(io.Discard, d))
	}
}

// FuzzPrint puts a text wherever a maker may write one, and prints PDF, label
// and spreadsheet: none fails, whatever script the words are in.
func FuzzPrint(f *testing.F) {
	for _, s := range []string{"plain", "", "tall é ﬁ", "שלום world", "日本語 とても長い", strings.Repeat("W", 400), "=1+1", "a\nb", "👩‍🔬 e\u0301", "<b>&amp;", `C:\x`, "{#x} {a@head}", "\u00a0\u2003", "''\"", "€ µ ≥ ½"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		q := strconv.Quote(text)
		shop := folder(map[string]string{
			"workshop.yaml":          fmt.Sprintf("maker: {name: %s, address: [%s], country: GB}\nmarkets: [GB]\nbalance: {division_g: 0.1}\n", q, q),
			"ingredients/water.yaml": fmt.Sprintf("id: water\nname: %s\nsupplier: {name: %s}\ncomposition: {complete: true, constituents: [{inci: Aqua, pct: 90}, {inci: %s, pct: 10}]}\nhandling: [%s]\n", q, q, q, q),
			"products/x.yaml": strings.Replace(product, "name: X", "name: "+q, 1) + fmt.Sprintf("claims: [%s]\ndirections: %s\nwarnings: [%s]\nprocess: [%s]\n"+
				"label: {width_mm: 60, height_mm: 40}\nvariants: [{id: a, name: %s}]\nspecification: {appearance: %s}\n", q, q, q, q, q, q),
		})
		w, findings := LoadFS("shop", shop, law.Builtin())
		wantSaid(t, w, findings)
		as := w.AssessAll(w.Computable(w.Products), Options{Date: testDay, Law: law.Builtin()})
		if len(as) == 0 {
			return
		}
		wantSaid(t, w, as[0].Findings)
		doc := Pack(as[0])
		var sheet bytes.Buffer
		require.NoError(t, WriteXLSX(&sheet, doc))
		_, _, err := RenderPDF(doc, nil)
		require.NoError(t, err)
		labels := Labels(as[0], "", LabelOptions{})
		_, _, _, err = LabelPDF(labels, LabelOptions{Leaflet: true}, false)
		require.NoError(t, err)
		require.NoError(t, WriteLabelCSV(io.Discard, labels))
		require.NoError(t, WriteHTML(io.Discard, doc))
	})
}

// FuzzParseCodeScheme: what parses numbers two batches differently, and the
// second counts on from the first.
func FuzzParseCodeScheme(f *testing.F) {
	for _, s := range []string{defaultCode, "{id}-{count3}", "{variant}{yearday}{letter}", "{count}", "{letter}{count}", "{", "}", "{year7}{count}", "a b{count}", "{count6}x", ""} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		s, err := ParseCodeScheme(text)
		if err != nil {
			var v *ingredients.ValueError
			require.ErrorAs(t, err, &v)
			require.NotEmpty(t, v.Fix)
			return
		}
		first, err := s.Next(nil, "heath-wash", "duo", testDay)
		if err != nil {
			return
		}
		second, err := s.Next([]string{first}, "heath-wash", "duo", testDay)
		require.NoError(t, err)
		require.NotEqual(t, strings.ToUpper(first), strings.ToUpper(second))
	})
}

// FuzzParseMass: what parses is above nothing and prints back to the same mass.
func FuzzParseMass(f *testing.F) {
	for _, s := range []string{"2kg", "500 g", "1.5 KG", "0g", "-1kg", "kg", "1e3g", "1,5kg", "\u00a02kg"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		n, err := ParseMass(text)
		if err != nil {
			return
		}
		require.Positive(t, n.Sign())
		again, err := ParseMass(n.Exact() + "g")
		if err != nil { // a kilogram has more digits in g than a maker may type
			require.Contains(t, err.Error(), "digits")
			return
		}
		require.True(t, again.Equal(n))
	})
}
