package pdf

import (
	"bytes"
	"compress/zlib"
	"io"
	"regexp"
	"strconv"
	"testing"

	"codeberg.org/go-pdf/fpdf"
	"github.com/stretchr/testify/require"

	"gallipot/dossier/document"
	"gallipot/dossier/document/documenttest"
	"gallipot/dossier/document/layout"
)

// Widths must be those of the page writer, or lines would not end where they are
// drawn to end.
func TestTextWidthsAreThoseOfThePageWriter(t *testing.T) {
	p := fpdf.New("P", "mm", "A4", "")
	p.SetCellMargin(0)
	text := "Hydroxyisohexyl 3-Cyclohexene Carboxaldehyde 0.0123 µg/cm² Žižkov отдушка Ελληνικά †‡[1] – ▲■○"
	for style, name := range FamilyOf {
		p.AddUTF8FontFromBytes(name[0], name[1], bytes.Clone(layout.Faces[style]().Data))
		p.SetFont(name[0], name[1], 9.5)
		require.InDelta(t, p.GetStringWidth(text), layout.TextMM(text, layout.FontStyle(style), 9.5), 1e-6, "style %d", style)
	}
	require.NoError(t, p.Error())
}

var inkRE = regexp.MustCompile(`(?m)^(q )?(?:([\d.]+) ([\d.]+) ([\d.]+) rg ?|([\d.]+) g ?)?(BT .*Tj ET)?(?: Q)?$`)

// Text must be dark whatever was drawn on its page before.
func TestPDFTextIsDark(t *testing.T) {
	d := documenttest.Long()
	d.AddSection("end", "A page that ends with a black bar").Add(document.Caution("Caution",
		"The last colour of the document is that of its text."))
	data, _, err := Render(d, nil)
	require.NoError(t, err)
	texts := 0
	for _, o := range parsePDF(t, data).List {
		if !bytes.HasPrefix(o, []byte("<</Filter /FlateDecode /Length ")) {
			continue
		}
		z, err := zlib.NewReader(bytes.NewReader(o[bytes.Index(o, []byte("stream\n"))+7:]))
		require.NoError(t, err)
		content, err := io.ReadAll(z)
		require.NoError(t, err)
		page := 0.0 // the darkest is 0
		for _, m := range inkRE.FindAllSubmatch(content, -1) {
			ink := page
			if m[2] != nil {
				ink, _ = strconv.ParseFloat(string(m[3]), 64) // green tells grey from dark
			} else if m[5] != nil {
				ink, _ = strconv.ParseFloat(string(m[5]), 64)
			}
			if m[1] == nil {
				page = ink
			}
			if m[6] != nil {
				texts++
				require.Less(t, ink, 0.5, "%s", m[6][:min(len(m[6]), 60)])
			}
		}
	}
	require.Greater(t, texts, 3000)
}

// Every link and bookmark of the finished file, attachments and all, must lead to
// the page that its target was drawn on.
func TestPDFEveryLinkLeadsToItsPage(t *testing.T) {
	for name, make := range samples {
		d := make()
		w, err := LayPages(d)
		require.NoError(t, err)
		file, err := w.Archive()
		require.NoError(t, err)
		data, err := file.With(sampleFiles)
		require.NoError(t, err)
		objs := parsePDF(t, data)
		var pages []int // object numbers
		for i, o := range objs.List {
			if bytes.HasPrefix(o, []byte("<</Type /Page\n")) {
				pages = append(pages, i+1)
			}
		}
		require.Len(t, pages, w.P.PageCount())
		links := 0
		for n, obj := range pages {
			var want []string
			for _, l := range w.linkRefs {
				if l.page == n+1 {
					want = append(want, l.anchor)
				}
			}
			got := annotDestRE.FindAllSubmatch(objs.List[obj-1], -1)
			require.Equal(t, bytes.Count(objs.List[obj-1], []byte("/Annot ")), len(got), "%s page %d", name, n+1)
			require.Len(t, got, len(want), "%s page %d", name, n+1)
			for i, m := range got {
				target, err := strconv.Atoi(string(m[1]))
				require.NoError(t, err)
				require.NotZero(t, w.Pages[want[i]], "%s: %q was never drawn", name, want[i])
				require.Equal(t, pages[w.Pages[want[i]]-1], target, "%s page %d: link to %q", name, n+1, want[i])
				links++
			}
		}
		if name != "small" {
			require.Greater(t, links, 10)
		}
		var marks []int
		for _, o := range objs.List {
			if bytes.HasPrefix(o, []byte("<</Title")) && bytes.Contains(o, []byte("/Parent")) {
				m := outlineDestRE.FindSubmatch(o)
				require.NotNil(t, m)
				n, _ := strconv.Atoi(string(m[1]))
				marks = append(marks, n)
				require.NotContains(t, string(o), "/Count 0")
			}
		}
		require.Len(t, marks, len(w.outline))
		for i, o := range w.outline {
			require.Equal(t, pages[o.page-1], marks[i], "%s: bookmark %q", name, o.title)
		}
	}
}
