package word

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/dossier/document"
	"gallipot/dossier/document/documenttest"
)

func sample() *document.Document {
	d := &document.Document{Title: "Part B", Subtitle: "Heath & Moor <wash>", Author: "Skerry (invented)",
		Date: 20261129, Product: "Heath wash", Revision: "revision 2",
		Fingerprint: "0ded91c3cb7b", Caution: "prepared for assessment; not a safety assessment"}
	s := d.AddSection("b1", "Conclusion")
	s.Number, s.Intro = "B.1", "Write into the shaded places."
	t := &document.Table{ID: "t", Title: "Places", Columns: []document.Column{{Head: "Code"},
		{Head: "What", Weight: 2}, {Head: "Answer", Weight: 3}}}
	t.Group("A group over all columns")
	t.Add(document.TextCell("B1a"), document.TextCell("first line\nsecond line"), document.WriteInCell())
	s.Add(t, &document.Table{ID: "u", Title: "Empty", Empty: "Nothing is open.", Columns: t.Columns},
		document.List("one", "two"), document.PageBreak{})
	return d
}

func written(t *testing.T, d *document.Document, properties ...Property) []byte {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, Write(&b, d, properties...))
	return b.Bytes()
}

func TestWrite(t *testing.T) {
	data := written(t, sample(), Property{"Figures", "0ded91c3cb7b"}, Property{"Odd", `<&">`})
	t.Run("the same bytes each time", func(t *testing.T) {
		assert.Equal(t, data, written(t, sample(), Property{"Figures", "0ded91c3cb7b"}, Property{"Odd", `<&">`}))
	})
	parts := map[string]string{}
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	require.NoError(t, err)
	for _, f := range z.File {
		r, err := f.Open()
		require.NoError(t, err)
		text, err := io.ReadAll(r)
		require.NoError(t, err)
		parts[f.Name] = string(text)
	}
	t.Run("every part is well formed", func(t *testing.T) {
		assert.Len(t, parts, 10)
		for name, text := range parts {
			dec := xml.NewDecoder(bytes.NewReader([]byte(text)))
			for {
				_, err := dec.Token()
				if errors.Is(err, io.EOF) {
					break
				}
				require.NoError(t, err, name)
			}
		}
	})
	t.Run("fingerprint, caution and page on each page", func(t *testing.T) {
		for _, want := range []string{"0ded91c3cb7b", "prepared for assessment; not a safety assessment",
			"PAGE", "NUMPAGES"} {
			assert.Contains(t, parts["word/footer1.xml"], want)
		}
		assert.Contains(t, parts["docProps/custom.xml"], "<vt:lpwstr>0ded91c3cb7b</vt:lpwstr>")
	})
	t.Run("heads repeat, a place to write has its words", func(t *testing.T) {
		assert.Contains(t, parts["word/document.xml"], "<w:tblHeader/>")
		assert.Contains(t, parts["word/document.xml"], WriteIn)
	})
	t.Run("a date is not broken at its hyphens", func(t *testing.T) {
		assert.Contains(t, run("law of 2026-11-29, form 12-3456-78", ""), "law of 2026\u201111\u201129, form 12-3456-78<")
	})
	t.Run("not opened as a file of an older program", func(t *testing.T) {
		assert.Contains(t, parts["word/settings.xml"], `w:name="compatibilityMode"`)
	})
}

func TestWriteRefuses(t *testing.T) {
	d := sample()
	d.Sections[0].Add(&document.HBarLog{ID: "c", Title: "A chart", Unit: "MoS",
		Rows: []document.HBar{{Label: "x", Value: 1, Limit: 1}}})
	assert.ErrorContains(t, Write(io.Discard, d), "no place in text")
}

// A word processor shows every text, in its order.
func TestWordProcessor(t *testing.T) {
	office, pdftotext := documenttest.Tool(t, "soffice"), documenttest.Tool(t, "pdftotext")
	dir := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, "b.docx"), written(t, sample()), 0o600))
	documenttest.Run(t, office, "-env:UserInstallation=file://"+filepath.ToSlash(filepath.Join(dir,
		"profile")), "--headless", "--convert-to", "pdf", "--outdir", dir, filepath.Join(dir, "b.docx"))
	text, _ := documenttest.Run(t, pdftotext, "-layout", filepath.Join(dir, "b.pdf"), "-")
	for _, want := range []string{"Heath & Moor <wash>", "B.1", "Conclusion", "A group over all columns",
		"B1a", "first line", "second line", "[write here]", "Nothing is open.", "1 of 1"} {
		assert.Contains(t, text, want)
	}
}
