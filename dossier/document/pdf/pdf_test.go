package pdf

import (
	"bytes"
	"compress/zlib"
	"crypto/sha256"
	"fmt"
	"io"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"codeberg.org/go-pdf/fpdf"
	"github.com/stretchr/testify/require"
	"golang.org/x/image/font/gofont/gomono"

	"gallipot/dossier/document"
	"gallipot/dossier/document/layout"
	"gallipot/dossier/store"
)

var samples = map[string]func() *document.Document{"small": smallDocument, "rich": richDocument, "long": longDocument}

var sampleFiles = []Attachment{
	{Name: "heath-wash.yaml", MIME: "application/yaml", Description: "the maker's file", Data: []byte("id: heath-wash\n"), Relationship: "Source"},
	{Name: "größe (1).csv", MIME: "text/csv", Data: bytes.Repeat([]byte("a;b\n"), 400), Relationship: "Data"},
	{Name: "empty.txt"},
}

func TestPDFSameBytesTwice(t *testing.T) {
	for name, make := range samples {
		one, _, err := Render(make(), sampleFiles)
		require.NoError(t, err, name)
		before := sha256.Sum256(layout.Faces[layout.StyleMono]().Data)
		require.Equal(t, sha256.Sum256(gomono.TTF), before)
		two, _, err := Render(make(), sampleFiles)
		require.NoError(t, err, name)
		require.True(t, bytes.Equal(one, two), "%s: %d and %d bytes", name, len(one), len(two))
	}
}

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

// placedText is one run of text as drawn, in mm.
type placedText struct {
	page          int
	x, y, w, size float64
	s             string
	top, bottom   float64
}

// watched lays a document out and returns all that was drawn.
func watched(t *testing.T, d *document.Document) (*Writer, []placedText) {
	t.Helper()
	require.NoError(t, d.Mistakes())
	w := NewWriter(d)
	var all []placedText
	w.Placed = func(x, y, size float64, style layout.FontStyle, s string) {
		p := placedText{page: w.P.PageNo(), x: x, y: y, w: layout.TextMM(strings.TrimRight(s, " \u00a0"), style, size), size: size, s: s}
		p.top, p.bottom = y-0.7*size*layout.PointMM, y+0.1*size*layout.PointMM
		all = append(all, p)
	}
	w.Document()
	require.NoError(t, w.P.Error())
	return w, all
}

func TestPDFNothingIsCutAndNothingOverlaps(t *testing.T) {
	for name, make := range samples {
		_, all := watched(t, make())
		requireTidy(t, name, all)
	}
}

// requireTidy fails when a text stands outside its page or upon another.
func requireTidy(t *testing.T, name string, all []placedText) {
	t.Helper()
	byPage := map[int][]placedText{}
	for _, p := range all {
		inside := p.x >= marginL-0.01 && p.x+p.w <= PageW-marginR+0.01 && p.top >= headerY && p.bottom <= footerY+9
		require.True(t, inside, "%s page %d: %q stands outside, from %.1f to %.1f mm at %.1f mm", name, p.page, p.s, p.x, p.x+p.w, p.y)
		if p.bottom > bodyBottom+1 {
			require.Greater(t, p.top, footerY, "%s page %d: %q stands between text and foot", name, p.page, p.s)
		}
		byPage[p.page] = append(byPage[p.page], p)
	}
	for page, list := range byPage {
		for i, a := range list {
			for _, b := range list[i+1:] {
				wide := min(a.x+a.w, b.x+b.w) - max(a.x, b.x)
				high := min(a.bottom, b.bottom) - max(a.top, b.top)
				require.False(t, wide > 0.05 && high > 0.3, "%s page %d: %q and %q overlap", name, page, a.s, b.s)
			}
		}
	}
}

var inkRE = regexp.MustCompile(`(?m)^(q )?(?:([\d.]+) ([\d.]+) ([\d.]+) rg ?|([\d.]+) g ?)?(BT .*Tj ET)?(?: Q)?$`)

// Text must be dark whatever was drawn on its page before.
func TestPDFTextIsDark(t *testing.T) {
	d := longDocument()
	d.AddSection("end", "A page that ends with a black bar").Add(document.Caution("Caution", "The last colour of the document is that of its text."))
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

func TestPDFNoEmptyPagesAndNoLonelyHeadings(t *testing.T) {
	for name, make := range samples {
		w, all := watched(t, make())
		lines := map[int]map[float64]bool{}
		heads := map[int][]float64{}
		for _, p := range all {
			if p.y < headerY+6 || p.y > footerY {
				continue
			}
			if lines[p.page] == nil {
				lines[p.page] = map[float64]bool{}
			}
			lines[p.page][math.Round(p.y*10)] = true
			for _, o := range w.outline {
				if o.page == p.page && p.size > 9 && p.s != emptyTitle && strings.HasSuffix(o.title, "  "+p.s) {
					heads[p.page] = append(heads[p.page], math.Round(p.y*10))
				}
			}
		}
		for page := 1; page <= w.P.PageCount(); page++ {
			require.NotEmpty(t, lines[page], "%s: page %d is empty", name, page)
			for _, y := range heads[page] {
				below := 0
				for l := range lines[page] {
					if l > y+1 {
						below++
					}
				}
				require.GreaterOrEqual(t, below, 2, "%s page %d: a heading at %.1f mm has %d lines below it", name, page, y/10, below)
			}
		}
	}
}

func parsePDF(t *testing.T, data []byte) *pdfObjects {
	t.Helper()
	require.True(t, bytes.HasPrefix(data, []byte("%PDF-1.7\n")))
	objs, _, _, err := SplitPDF(data)
	require.NoError(t, err)
	return objs
}

var (
	annotDestRE   = regexp.MustCompile(`/Subtype /Link /F 4 /Rect \[[^\]]*\] /Border \[0 0 0\] /Dest \[(\d+) 0 R /XYZ 0 ([\d.]+) null\]`)
	outlineDestRE = regexp.MustCompile(`/Dest \[(\d+) 0 R /XYZ 0 [\d.]+ null\]`)
)

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

var spaces = regexp.MustCompile(`[\s\x{00a0}]+`)

func TestPDFContentsNameTheTruePages(t *testing.T) {
	tool := requireTool(t, "pdftotext")
	d := longDocument()
	data, _, err := Render(d, sampleFiles)
	require.NoError(t, err)
	file := t.TempDir() + "/long.pdf"
	require.NoError(t, store.WriteFileAtomic(file, func(w io.Writer) error { _, err := w.Write(data); return err }))
	text, _ := runTool(t, tool, "-layout", file, "-")
	pages := strings.Split(text, "\f")
	checked := 0
	d.Walk(func(s *document.Section, depth int) {
		if depth > ContentsDepth {
			return
		}
		re := regexp.MustCompile(`(?m)^\s*` + regexp.QuoteMeta(s.Number) + `\s+` + regexp.QuoteMeta(s.Title) + `\s+(\d+)\s*$`)
		m := re.FindStringSubmatch(text)
		require.NotNil(t, m, "%s %s is not in the contents", s.Number, s.Title)
		n, _ := strconv.Atoi(m[1])
		head := regexp.MustCompile(`(?m)^\s*` + regexp.QuoteMeta(s.Number) + `\s+` + regexp.QuoteMeta(s.Title) + `\s*$`)
		require.True(t, head.MatchString(pages[n-1]), "%s %s is not on page %d", s.Number, s.Title, n)
		checked++
	})
	require.Greater(t, checked, 40)
	for i, p := range pages[:len(pages)-1] {
		for _, want := range []string{fmt.Sprintf("page %d of %d", i+1, len(pages)-1), sampleCaution, "4f1c 90ab 77d2 e015", "Heath wash · revision 2"} {
			require.True(t, strings.Contains(p, want), "%q is not on page %d", want, i+1)
		}
	}
	for _, want := range []string{"отдушка", "Žižkov", "café", "≤ ≥ ± × µg/cm²", "=SUM(A1:A9)", "not supplied", "† rests on", "no finding about the labels"} {
		require.True(t, strings.Contains(spaces.ReplaceAllString(text, " "), want), want)
	}
}

func TestPDFArchiveParts(t *testing.T) {
	data, warnings, err := Render(richDocument(), sampleFiles)
	require.NoError(t, err)
	require.Len(t, warnings, 3, "%q", warnings) // a byte that is no UTF-8, a pine, a tick
	for _, want := range []string{
		"<pdfaid:part>3</pdfaid:part><pdfaid:conformance>B</pdfaid:conformance>", "/GTS_PDFA1", "/DisplayDocTitle true", "/Lang (en-GB)",
		"/AFRelationship /Source", "/AFRelationship /Unspecified", "/Subtype /text#2Fcsv", "/ModDate (D:20260331000000+00'00')",
		"<xmp:CreateDate>2026-03-31T00:00:00+00:00</xmp:CreateDate>", "/ID [<", "/Names [(empty.txt)",
	} {
		require.True(t, bytes.Contains(data, []byte(want)), want)
	}
	require.False(t, bytes.Contains(data, []byte("{nb}")))
	objs := parsePDF(t, data)
	catalogs := 0
	for _, o := range objs.List {
		if bytes.Contains(o, []byte("/Type /Catalog")) {
			catalogs++
			require.Contains(t, string(o), "/Metadata ")
			require.Contains(t, string(o), "/AF [")
		}
	}
	require.Equal(t, 1, catalogs)
}

func TestPDFWithoutDateHasNone(t *testing.T) {
	d := smallDocument()
	d.Date = 0
	data, _, err := Render(d, nil)
	require.NoError(t, err)
	require.False(t, bytes.Contains(data, []byte("CreationDate")))
	require.False(t, bytes.Contains(data, []byte("CreateDate")))
}

func TestPDFRefusesAttachments(t *testing.T) {
	for want, list := range map[string][]Attachment{
		"no name":              {{}},
		"must not hold":        {{Name: "a/b"}},
		"there twice":          {{Name: "a"}, {Name: "a"}},
		"unknown relationship": {{Name: "a", Relationship: "Cousin"}},
	} {
		_, _, err := Render(smallDocument(), list)
		require.ErrorContains(t, err, want)
	}
}

func TestPDFHostileText(t *testing.T) {
	for _, s := range []string{
		"", " ", "\n\n\n", "\x00\x1b[31m\x07", "\xff\xfe", "e\u0301\u0301\u0301", strings.Repeat("x", 5000), strings.Repeat("漢", 300),
		"\u200b\u200d\ufeff", "a\u00a0" + strings.Repeat("\u00a0", 400), "(\\)%<<>>", "\U0010FFFF", strings.Repeat("a/", 2000), "👩‍👩‍👧‍👦",
	} {
		d := &document.Document{Title: s, Subtitle: s, Author: s, Subject: s, Product: s, Revision: s, Fingerprint: s, Caution: s, Marks: []document.Mark{{ID: "m", Symbol: s, Text: s}}}
		d.Cover = &document.Cover{Kicker: s, Facts: []document.Fact{{Label: s, Value: document.TextCell(s)}}}
		sec := d.AddSection("a", s)
		sec.Number, sec.Intro = s, s
		if len(sec.Number) > 100 {
			sec.Number = "1"
		}
		t1 := &document.Table{ID: "t", Title: s, Columns: []document.Column{{Head: s, Unit: s}, {Head: s}}, Notes: []string{s}, Sources: []string{s}}
		t1.Add(document.TextCell(s).Marked("m").From(s), document.NumCell(pct(1, 3), document.RulePct).In(s)).Group(s)
		sec.Add(document.Para(s), document.List(s, s), document.Caution(s, s), t1, &document.Fields{Items: []document.Field{{Label: s, Hint: s, Options: []string{s}, Value: s}}},
			&document.HBarLog{Title: s, Unit: s, Rows: []document.HBar{{Label: s, Value: math.Inf(1), Limit: math.NaN(), Used: document.TextCell(s)}}},
			&document.LineBand{Title: s, XLabel: s, YLabel: s, Series: []document.LineSeries{{Name: s, Points: []document.LinePoint{{X: math.NaN(), Y: math.NaN()}}}}},
			&document.StackedBar{Title: s, Parts: []string{s}, Rows: []document.StackedRow{{Label: s, Values: []float64{math.NaN()}, Cells: []document.Cell{document.TextCell(s)}}}},
			&document.ReadinessBars{Title: s, Rows: []document.Readiness{{Label: s}}}, &document.KeyFigures{Items: []document.KeyFigure{{Label: s, Value: document.TextCell(s), Note: s}}})
		data, _, err := Render(d, []Attachment{{Name: "x", MIME: s, Description: s}})
		require.NoError(t, err, "%.40q", s)
		require.False(t, bytes.Contains(data, []byte("NaN")))
	}
}

func TestPDFOutsidePrograms(t *testing.T) {
	qpdf, fonts, ppm, detach := requireTool(t, "qpdf"), requireTool(t, "pdffonts"), requireTool(t, "pdftoppm"), requireTool(t, "pdfdetach")
	for name, make := range samples {
		file := t.TempDir() + "/" + name + ".pdf"
		require.NoError(t, store.WriteFileAtomic(file, func(w io.Writer) error { return writePDF(w, make(), sampleFiles) }))
		runTool(t, qpdf, "--check", file)
		list, _ := runTool(t, fonts, file)
		rows := strings.Split(strings.TrimSpace(list), "\n")[2:]
		require.NotEmpty(t, rows)
		for _, r := range rows {
			require.Regexp(t, `Identity-H\s+yes`, r, "%s: a font is not embedded", name)
		}
		_, complaints := runTool(t, ppm, "-r", "20", file, t.TempDir()+"/p")
		require.Empty(t, complaints, name)
		files, _ := runTool(t, detach, "-list", file)
		require.Contains(t, files, "3 embedded files")
	}
}
