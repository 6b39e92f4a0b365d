package label_test

import (
	"bytes"
	"compress/zlib"
	"io"
	"io/fs"
	"regexp"
	"strconv"
	"strings"
	"sync"
	"testing"
	"unicode/utf16"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law/table"
	"gallipot/dossier/document/layout"
	"gallipot/dossier/document/pdf"
	"gallipot/dossier/label"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
	"gallipot/testdata"
)

// labelPage is one page of a label file as read back, in mm from its left upper
// corner.
type labelPage struct {
	width, height float64
	trim          [4]float64 // left, top, width, height; zeros where the page names none
	texts         []label.InkText
	points        [][2]float64 // ends of all lines and paths
}

var (
	mediaRE   = regexp.MustCompile(`/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]`)
	trimRE    = regexp.MustCompile(`/TrimBox \[([\d.]+) ([\d.]+) ([\d.]+) ([\d.]+)\]`)
	contentRE = regexp.MustCompile(`/Contents (\d+) 0 R`)
	pdfOpRE   = regexp.MustCompile(`(?s)/F([0-9a-f]+) ([\d.]+) Tf|BT (-?[\d.]+) (-?[\d.]+) Td \(((?:\\.|[^\\)])*)\) Tj ET|(-?[\d.]+) (-?[\d.]+) [ml]\b`)
	fontObjRE = regexp.MustCompile(`/F([0-9a-f]+) (\d+) 0 R`)
	baseRE    = regexp.MustCompile(`/BaseFont /(\S+)`)
)

// readLabels reads a label file without help of what wrote it: sizes from the
// boxes of its pages, texts with their place, size and face from their contents.
func readLabels(t testing.TB, data []byte) []labelPage {
	t.Helper()
	objs, _, _, err := pdf.SplitPDF(data)
	require.NoError(t, err)
	object := func(text []byte) []byte {
		n, err := strconv.Atoi(string(text))
		require.NoError(t, err)
		return objs.List[n-1]
	}
	bold := map[string]bool{}
	for _, o := range objs.List {
		for _, m := range fontObjRE.FindAllSubmatch(o, -1) {
			if base := baseRE.FindSubmatch(object(m[2])); base != nil {
				bold[string(m[1])] = strings.Contains(strings.ToLower(string(base[1])),
					"bold") || strings.HasSuffix(string(base[1]), "B")
			}
		}
	}
	usual := mediaRE.FindSubmatch(objs.List[0]) // of the pages that name no size of their own
	var pages []labelPage
	for _, o := range objs.List {
		if !bytes.HasPrefix(o, []byte("<</Type /Page\n")) {
			continue
		}
		var p labelPage
		box := mediaRE.FindSubmatch(o)
		if box == nil {
			box = usual
		}
		p.width, p.height = inMM(box[1]), inMM(box[2])
		if m := trimRE.FindSubmatch(o); m != nil {
			p.trim = [4]float64{inMM(m[1]), p.height - inMM(m[4]), inMM(m[3]) - inMM(m[1]), inMM(m[4]) - inMM(m[2])}
		}
		p.readContent(t, inflated(t, object(contentRE.FindSubmatch(o)[1])), bold)
		pages = append(pages, p)
	}
	return pages
}

func inMM(points []byte) float64 {
	f, err := strconv.ParseFloat(string(points), 64)
	if err != nil {
		panic(err)
	}
	return f * 25.4 / 72
}

func inflated(t testing.TB, o []byte) []byte {
	t.Helper()
	z, err := zlib.NewReader(bytes.NewReader(o[bytes.Index(o, []byte("stream\n"))+7:]))
	require.NoError(t, err)
	content, err := io.ReadAll(z)
	require.NoError(t, err)
	return content
}

func (p *labelPage) readContent(t testing.TB, content []byte, bold map[string]bool) {
	style, size := layout.StyleRegular, 0.0
	for _, m := range pdfOpRE.FindAllSubmatch(content, -1) {
		switch {
		case m[1] != nil:
			style = layout.StyleRegular
			if bold[string(m[1])] {
				style = layout.StyleBold
			}
			size = inMM(m[2]) / layout.PointMM
		case m[5] != nil:
			s := pdfText(t, m[5])
			p.texts = append(p.texts, label.InkText{X: inMM(m[3]), Base: p.height - inMM(m[4]),
				Width: layout.TextMM(s, style, size), Size: size, Style: style, S: s})
		default:
			p.points = append(p.points, [2]float64{inMM(m[6]), p.height - inMM(m[7])})
		}
	}
}

// pdfText decodes the text of a Tj operator: UTF-16 with escapes.
func pdfText(t testing.TB, raw []byte) string {
	t.Helper()
	var b []byte
	for i := 0; i < len(raw); i++ {
		c := raw[i]
		if c == '\\' {
			i++
			if c = raw[i]; c == 'r' {
				c = '\r'
			}
		}
		b = append(b, c)
	}
	require.Zero(t, len(b)%2)
	var units []uint16
	for i := 0; i < len(b); i += 2 {
		units = append(units, uint16(b[i])<<8|uint16(b[i+1]))
	}
	return string(utf16.Decode(units))
}

// label returns the texts inside the trim box, measured from its corner, and
// those outside it. A text across its edge fails the test.
func (p *labelPage) label(t testing.TB) (in, out []label.InkText) {
	t.Helper()
	for _, x := range p.texts {
		x.X, x.Base = x.X-p.trim[0], x.Base-p.trim[1]
		up, down := label.RiseShare()*x.Size*layout.PointMM, (label.LineShare()-label.RiseShare())*x.Size*layout.PointMM
		inside := x.X > -0.01 && x.X+x.Width < p.trim[2]+0.01 && x.Base-up > -0.01 && x.Base+down < p.trim[3]+0.01
		outside := x.X+x.Width < 0 || x.X > p.trim[2] || x.Base+down < 0 || x.Base-up > p.trim[3]
		require.True(t, inside || outside, "%q lies across the edge of the label", x.S)
		if inside {
			in = append(in, x)
		} else {
			out = append(out, x)
		}
	}
	return in, out
}

// unspaced takes the spaces out, so that a name parted at the end of a line reads
// as one.
func unspaced(s string) string {
	return strings.Join(strings.Fields(strings.ReplaceAll(s, "\u00a0", " ")), "")
}

// wordsOn joins texts to the words that a reader sees, in the order drawn.
func wordsOn(texts []label.InkText) string {
	var parts []string
	line, end := 0.0, 0.0
	for _, x := range texts {
		s := strings.ReplaceAll(x.S, "\u00a0", " ")
		if len(parts) > 0 && x.Base == line && x.X < end+0.01 {
			parts[len(parts)-1] += s // the same line goes on in another style
		} else {
			parts = append(parts, s)
		}
		line, end = x.Base, x.X+x.Width
	}
	return strings.Join(strings.Fields(strings.Join(parts, " ")), " ")
}

// demoOnce is the demo workshop, read once: nothing in it changes.
var demoOnce = sync.OnceValue(func() *workshop.Workshop {
	tree, err := fs.Sub(testdata.Demo, "demo")
	if err != nil {
		panic(err)
	}
	w, _ := workshop.LoadFS("demo", tree, table.Builtin())
	return w
})

func labelWorkshop(t testing.TB) *workshop.Workshop {
	t.Helper()
	require.NotNil(t, demoOnce())
	return demoOnce()
}

const testDay = exact.Date(20261125)
