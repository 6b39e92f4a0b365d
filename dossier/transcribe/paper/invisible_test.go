package paper

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// drawnPDF is a PDF of one page with the content given and a grey picture of one dot, which
// the content may draw as /P.
func drawnPDF(content string) []byte {
	var b bytes.Buffer
	var at []int
	object := func(text string) {
		at = append(at, b.Len())
		fmt.Fprintf(&b, "%d 0 obj\n%s\nendobj\n", len(at), text)
	}
	b.WriteString("%PDF-1.4\n")
	object("<< /Type /Catalog /Pages 2 0 R >>")
	object("<< /Type /Pages /Kids [3 0 R] /Count 1 >>")
	object("<< /Type /Page /Parent 2 0 R /MediaBox [0 0 595 842] /Contents 4 0 R /Resources << " +
		"/Font << /F 5 0 R >> /XObject << /P 6 0 R >> >> >>")
	object(fmt.Sprintf("<< /Length %d >>\nstream\n%s\nendstream", len(content), content))
	object("<< /Type /Font /Subtype /Type1 /BaseFont /Helvetica /Encoding /WinAnsiEncoding >>")
	object("<< /Type /XObject /Subtype /Image /Width 1 /Height 1 /ColorSpace /DeviceGray /BitsPerComponent 8 " +
		"/Length 1 >>\nstream\n\xc8\nendstream")
	start := b.Len()
	fmt.Fprintf(&b, "xref\n0 %d\n0000000000 65535 f \n", len(at)+1)
	for _, n := range at {
		fmt.Fprintf(&b, "%010d 00000 n \n", n)
	}
	fmt.Fprintf(&b, "trailer\n<< /Size %d /Root 1 0 R >>\nstartxref\n%d\n%%%%EOF\n", len(at)+1, start)
	return b.Bytes()
}

// line is a line of text at a height, with a mode: 0 seen, 3 not.
func line(mode, y int, text string) string {
	return fmt.Sprintf("BT /F 10 Tf %d Tr 1 0 0 1 60 %d Tm (%s) Tj ET\n", mode, y, text)
}

// Text that nobody sees under a picture of the page is told and not trusted, also where a
// stamp or a foot is seen; a line of it among others that are seen is told and not read.
func TestInvisibleText(t *testing.T) {
	const picture = "q 595 0 0 842 0 0 cm /P Do Q\n"
	rows := func(mode int) (out string) {
		for i, s := range []string{"ALLERGEN DECLARATION", "Product name: Fell Mint", "Linalool 78-70-6 1.5 %",
			"Limonene 5989-27-5 0.4 %", "Citral 5392-40-5 0.02 %"} {
			out += line(mode, 760-20*i, s)
		}
		return out
	}
	seen := ""
	for i := range 12 {
		seen += line(0, 400-14*i, fmt.Sprintf("a line of the foot, seen, number %d", i))
	}
	r := NewReader()
	t.Cleanup(r.Close)
	for name, c := range map[string]struct {
		content string
		trust   Trust
		hidden  string
	}{
		"a layer under the picture":                     {rows(3) + picture, Invisible, ""},
		"a layer under the picture, and a foot over it": {rows(3) + picture + seen, Invisible, ""},
		"a layer without a picture":                     {rows(3), Invisible, ""},
		"all is seen, before a picture":                 {picture + rows(0), "", ""},
		"a line nobody sees among others": {rows(0) + seen + line(3, 640, "Geraniol 106-24-1 9 %"),
			"", "Geraniol"},
		"white words on white paper": {rows(0) + seen + "1 g\n" + line(0, 640,
			"Geraniol 106-24-1 9 %") + "0 g\n", "", "Geraniol"},
		"white words on a dark band are read": {"0.2 g 50 630 400 24 re f\n1 g\n" + line(0, 640,
			"Geraniol 106-24-1 9 %") + "0 g\n" + rows(0), "", ""},
		"a picture of the page alone": {picture, Picture, ""},
	} {
		t.Run(name, func(t *testing.T) {
			f, err := r.Read("x.pdf", drawnPDF(c.content))
			require.NoError(t, err)
			require.Equal(t, c.trust, f.Pages[0].Trust)
			hidden := ""
			for _, x := range f.Cautions {
				if x.Code == "hidden-text" {
					hidden += x.Text
				}
			}
			require.Equal(t, c.hidden != "", hidden != "")
			require.Contains(t, hidden, c.hidden)
			for _, l := range f.Pages[0].Lines {
				require.False(t, c.hidden != "" && strings.Contains(l.Text(" "), c.hidden), "read although nobody sees it")
			}
		})
	}
}
