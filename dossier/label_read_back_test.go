package dossier

import (
	"bytes"
	"compress/zlib"
	"io"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"unicode/utf16"

	"github.com/stretchr/testify/require"
)

// labelPage is one page of a label file as read back, in mm from its left upper
// corner.
type labelPage struct {
	width, height float64
	trim          [4]float64 // left, top, width, height; zeros where the page names none
	texts         []inkText
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
	objs, _, _, err := splitPDF(data)
	require.NoError(t, err)
	object := func(text []byte) []byte {
		n, err := strconv.Atoi(string(text))
		require.NoError(t, err)
		return objs.list[n-1]
	}
	bold := map[string]bool{}
	for _, o := range objs.list {
		for _, m := range fontObjRE.FindAllSubmatch(o, -1) {
			if base := baseRE.FindSubmatch(object(m[2])); base != nil {
				bold[string(m[1])] = strings.Contains(strings.ToLower(string(base[1])), "bold") || strings.HasSuffix(string(base[1]), "B")
			}
		}
	}
	usual := mediaRE.FindSubmatch(objs.list[0]) // of the pages that name no size of their own
	var pages []labelPage
	for _, o := range objs.list {
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
	style, size := styleRegular, 0.0
	for _, m := range pdfOpRE.FindAllSubmatch(content, -1) {
		switch {
		case m[1] != nil:
			style = styleRegular
			if bold[string(m[1])] {
				style = styleBold
			}
			size = inMM(m[2]) / pointMM
		case m[5] != nil:
			s := pdfText(t, m[5])
			p.texts = append(p.texts, inkText{x: inMM(m[3]), base: p.height - inMM(m[4]), width: textMM(s, style, size), size: size, style: style, s: s})
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
func (p *labelPage) label(t testing.TB) (in, out []inkText) {
	t.Helper()
	for _, x := range p.texts {
		x.x, x.base = x.x-p.trim[0], x.base-p.trim[1]
		up, down := riseShare()*x.size*pointMM, (lineShare()-riseShare())*x.size*pointMM
		inside := x.x > -0.01 && x.x+x.width < p.trim[2]+0.01 && x.base-up > -0.01 && x.base+down < p.trim[3]+0.01
		outside := x.x+x.width < 0 || x.x > p.trim[2] || x.base+down < 0 || x.base-up > p.trim[3]
		require.True(t, inside || outside, "%q lies across the edge of the label", x.s)
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
func wordsOn(texts []inkText) string {
	var parts []string
	line, end := 0.0, 0.0
	for _, x := range texts {
		s := strings.ReplaceAll(x.s, "\u00a0", " ")
		if len(parts) > 0 && x.base == line && x.x < end+0.01 {
			parts[len(parts)-1] += s // the same line goes on in another style
		} else {
			parts = append(parts, s)
		}
		line, end = x.base, x.x+x.width
	}
	return strings.Join(strings.Fields(strings.Join(parts, " ")), " ")
}
