package pdf

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"math"
	"os"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/image/font/gofont/gomono"

	"gallipot/dossier/document"
	"gallipot/dossier/document/documenttest"
	"gallipot/dossier/document/layout"
	"gallipot/dossier/words"
	"gallipot/ingredients/exact"
	"gallipot/testdata"
	"gallipot/testdata/testrun"
)

func TestMain(m *testing.M) { testrun.Main(m) }

var samples = map[string]func() *document.Document{"small": documenttest.Small, "rich": documenttest.Rich,
	"long": documenttest.Long}

var sampleFiles = []Attachment{
	{Name: "heath-wash.yaml", MIME: "application/yaml", Description: "the maker's file",
		Data: []byte("id: heath-wash\n"), Relationship: "Source"},
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
		p := placedText{page: w.P.PageNo(), x: x, y: y,
			w: layout.TextMM(strings.TrimRight(s, " \u00a0"), style, size), size: size, s: s}
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
		require.True(t, inside, "%s page %d: %q stands outside, from %.1f to %.1f mm at %.1f mm", name, p.page, p.s,
			p.x, p.x+p.w, p.y)
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
				if o.page == p.page && p.size > 9 && p.s != documenttest.EmptyTitle && strings.HasSuffix(o.title, "  "+p.s) {
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
				require.GreaterOrEqual(t, below, 2, "%s page %d: a heading at %.1f mm has %d lines below it", name, page,
					y/10, below)
			}
		}
	}
}

var (
	annotDestRE   = regexp.MustCompile(`/Subtype /Link /F 4 /Rect \[[^\]]*\] /Border \[0 0 0\] /Dest \[(\d+) 0 R /XYZ 0 ([\d.]+) null\]`)
	outlineDestRE = regexp.MustCompile(`/Dest \[(\d+) 0 R /XYZ 0 [\d.]+ null\]`)
)

var spaces = regexp.MustCompile(`[\s\x{00a0}]+`)

func TestPDFHostileText(t *testing.T) {
	for _, s := range []string{
		"", " ", "\n\n\n", "\x00\x1b[31m\x07", "\xff\xfe", "e\u0301\u0301\u0301", strings.Repeat("x", 5000),
		strings.Repeat("漢", 300),
		"\u200b\u200d\ufeff", "a\u00a0" + strings.Repeat("\u00a0", 400), "(\\)%<<>>", "\U0010FFFF",
		strings.Repeat("a/", 2000), "👩‍👩‍👧‍👦",
	} {
		d := &document.Document{Title: s, Subtitle: s, Author: s, Subject: s, Product: s, Revision: s,
			Fingerprint: s, Caution: s, Marks: []document.Mark{{ID: "m", Symbol: s, Text: s}}}
		d.Cover = &document.Cover{Kicker: s, Facts: []document.Fact{{Label: s, Value: document.TextCell(s)}}}
		sec := d.AddSection("a", s)
		sec.Number, sec.Intro = s, s
		if len(sec.Number) > 100 {
			sec.Number = "1"
		}
		t1 := &document.Table{ID: "t", Title: s, Columns: []document.Column{{Head: s, Unit: s}, {Head: s}},
			Notes: []string{s}, Sources: []string{s}}
		t1.Add(document.TextCell(s).Marked("m").From(s), document.NumCell(exact.Frac(1, 3), document.RulePct).In(s)).Group(s)
		sec.Add(document.Para(s), document.List(s, s), document.Caution(s, s), t1,
			&document.Fields{Items: []document.Field{{Label: s, Hint: s, Options: []string{s}, Value: s}}},
			&document.HBarLog{Title: s, Unit: s,
				Rows: []document.HBar{{Label: s, Value: math.Inf(1), Limit: math.NaN(), Used: document.TextCell(s)}}},
			&document.LineBand{Title: s, XLabel: s, YLabel: s,
				Series: []document.LineSeries{{Name: s, Points: []document.LinePoint{{X: math.NaN(), Y: math.NaN()}}}}},
			&document.StackedBar{Title: s, Parts: []string{s},
				Rows: []document.StackedRow{{Label: s, Values: []float64{math.NaN()},
					Cells: []document.Cell{document.TextCell(s)}}}},
			&document.ReadinessBars{Title: s, Rows: []document.Readiness{{Label: s}}},
			&document.KeyFigures{Items: []document.KeyFigure{{Label: s, Value: document.TextCell(s), Note: s}}})
		data, _, err := Render(d, []Attachment{{Name: "x", MIME: s, Description: s}})
		require.NoError(t, err, "%.40q", s)
		require.False(t, bytes.Contains(data, []byte("NaN")))
	}
}

func TestPDFOutsidePrograms(t *testing.T) {
	qpdf, fonts, ppm, detach := documenttest.Tool(t, "qpdf"), documenttest.Tool(t, "pdffonts"),
		documenttest.Tool(t, "pdftoppm"), documenttest.Tool(t, "pdfdetach")
	for name, make := range samples {
		if name == "long" && !testdata.Long() {
			continue
		}
		file := t.TempDir() + "/" + name + ".pdf"
		data, _, err := Render(make(), sampleFiles)
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(file, data, 0o600))
		documenttest.Run(t, qpdf, "--check", file)
		list, _ := documenttest.Run(t, fonts, file)
		rows := strings.Split(strings.TrimSpace(list), "\n")[2:]
		require.NotEmpty(t, rows)
		for _, r := range rows {
			require.Regexp(t, `Identity-H\s+yes`, r, "%s: a font is not embedded", name)
		}
		_, complaints := documenttest.Run(t, ppm, "-r", "20", file, t.TempDir()+"/p")
		require.Empty(t, complaints, name)
		files, _ := documenttest.Run(t, detach, "-list", file)
		require.Contains(t, files, "3 embedded files")
	}
}

// Documents put together by chance, the same ones every time, must be as tidy as
// those put together by hand.
func TestPDFTidyByChance(t *testing.T) {
	for seed := range uint64(testdata.Cases(4, 12)) {
		_, all := watched(t, documenttest.Chance(seed))
		requireTidy(t, fmt.Sprintf("seed %d", seed), all)
	}
}

// TestWholeTables: a table that is to stay whole is on one page wherever on the
// page it comes to stand; one that is not gets parted somewhere.
func TestWholeTables(t *testing.T) {
	parted := map[bool]bool{}
	for _, whole := range []bool{true, false} {
		for fill := range 45 {
			d := &document.Document{Title: "T", Date: 20261125, NoContents: true}
			sec := d.AddSection("s", "S")
			for range fill {
				sec.Add(document.Para("one line"))
			}
			table := &document.Table{ID: "t", Whole: whole, Columns: []document.Column{{Head: "A"}}}
			for i := range 12 {
				table.Add(document.TextCell("row").At("row-" + words.Itoa(i)))
			}
			sec.Add(table)
			w, err := LayPages(d)
			require.NoError(t, err)
			require.Contains(t, w.Pages, "row-11")
			if w.Pages["row-0"] != w.Pages["row-11"] {
				parted[whole] = true
			}
		}
	}
	assert.Equal(t, map[bool]bool{false: true}, parted)
}
