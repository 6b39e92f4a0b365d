package pack_test

import (
	"archive/zip"
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/dossier/document"
	"gallipot/dossier/document/documenttest"
	"gallipot/dossier/document/sheet"
	"gallipot/dossier/dossiertest"
	"gallipot/dossier/pack"
)

// TestWorkbookPrints prints the workbook as a person would: sheet after sheet on A4 across,
// no page that ends with the caption of a table, and fewer than 30 tabs.
func TestWorkbookPrints(t *testing.T) {
	office, reader := documenttest.Tool(t, "soffice"), documenttest.Tool(t, "pdftotext")
	dir := t.TempDir()
	for _, id := range []string{"heath-wash", "lip-balm"} {
		d := pack.Build(dossiertest.Demo(t, id))
		var book bytes.Buffer
		require.NoError(t, sheet.Write(&book, d))
		name := filepath.Join(dir, id+".xlsx")
		require.NoError(t, os.WriteFile(name, book.Bytes(), 0o600))
		documenttest.Run(t, office, "-env:UserInstallation=file://"+filepath.ToSlash(dir)+"/profile", "--headless",
			"--convert-to", "pdf", "--outdir", dir, name)
		documenttest.Run(t, reader, "-layout", filepath.Join(dir, id+".pdf"), filepath.Join(dir, id+".txt"))
		text, err := os.ReadFile(filepath.Join(dir, id+".txt"))
		require.NoError(t, err)
		captions := map[string]bool{}
		for _, b := range append(d.Blocks(), (&document.Document{Sections: d.Workbook}).Blocks()...) {
			if x, ok := b.(*document.Table); ok && x.Title != "" {
				captions[x.Title] = true
			}
		}
		pages := strings.Split(strings.TrimSuffix(string(text), "\f"), "\f")
		for i, page := range pages {
			lines := strings.Split(strings.TrimSpace(page), "\n")
			require.Contains(t, lines[len(lines)-1], "page ", "the foot of %s %d", id, i+1)
			var last [2]string // a caption, and a head below it
			for _, l := range lines[:len(lines)-1] {
				if l = strings.TrimSpace(l); l != "" {
					last = [2]string{last[1], l}
				}
			}
			for _, l := range last {
				if number, title, ok := strings.Cut(l, "  "); ok && strings.HasPrefix(number, "Table ") {
					l = strings.TrimSpace(title)
				}
				assert.False(t, captions[l], "%s: page %d ends with the caption or the head of %q", id, i+1, l)
			}
		}
		t.Logf("%s: %d pages", id, len(pages))
	}
}

// TestTabs: a workbook has fewer than 30.
func TestTabs(t *testing.T) {
	all := others(t)
	for _, id := range []string{"heath-wash", "body-cream", "lip-balm", "salt-scrub"} {
		all[id] = dossiertest.Demo(t, id)
	}
	all["two materials"] = twoMaterials(t)
	for id, a := range all {
		var book bytes.Buffer
		require.NoError(t, sheet.Write(&book, pack.Build(a)))
		z, err := zip.NewReader(bytes.NewReader(book.Bytes()), int64(book.Len()))
		require.NoError(t, err)
		tabs := 0
		for _, f := range z.File {
			if strings.HasPrefix(f.Name, "xl/worksheets/sheet") {
				tabs++
			}
		}
		assert.Less(t, tabs, 30, id)
		assert.Greater(t, tabs, 15, id)
	}
}
