// Package answertest fills in Part B for tests as an assessor would: text in cells of the
// tables, in a document that any word processor may have saved.
package answertest

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"io"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

var (
	rowRE  = regexp.MustCompile(`(?s)<w:tr[ >].*?</w:tr>`)
	cellRE = regexp.MustCompile(`(?s)<w:tc>.*?</w:tc>`)
	textRE = regexp.MustCompile(`(?s)<w:t(?: [^>]*)?>(.*?)</w:t>`)
)

// Cells are texts by the number of their cell, the code being cell 0.
type Cells map[int]string

// Fill puts texts into the rows with the given codes.
func Fill(t testing.TB, docx []byte, answers map[string]Cells) []byte {
	t.Helper()
	left := len(answers)
	out := Body(t, docx, func(text string) string {
		return rowRE.ReplaceAllStringFunc(text, func(row string) string {
			cells := cellRE.FindAllString(row, -1)
			if len(cells) == 0 {
				return row
			}
			write, asked := answers[textOf(cells[0])]
			if !asked {
				return row
			}
			left--
			n := -1
			return cellRE.ReplaceAllStringFunc(row, func(cell string) string {
				n++
				if s, ok := write[n]; ok {
					return withText(cell, s)
				}
				return cell
			})
		})
	})
	require.Zero(t, left, "rows that are not in the document")
	return out
}

func textOf(cell string) string {
	s := ""
	for _, m := range textRE.FindAllStringSubmatch(cell, -1) {
		s += m[1]
	}
	return strings.TrimSpace(s)
}

// withText puts a text into the first run of a cell and empties the others.
func withText(cell, s string) string {
	var b bytes.Buffer
	_ = xml.EscapeText(&b, []byte(s)) // a buffer takes all
	first := true
	return textRE.ReplaceAllStringFunc(cell, func(string) string {
		if first {
			first = false
			return `<w:t xml:space="preserve">` + strings.ReplaceAll(b.String(), "&#xA;",
				`</w:t><w:br/><w:t xml:space="preserve">`) + `</w:t>`
		}
		return `<w:t></w:t>`
	})
}

// Body changes the text of a document and leaves its other parts as they are.
func Body(t testing.TB, docx []byte, change func(string) string) []byte {
	t.Helper()
	z, err := zip.NewReader(bytes.NewReader(docx), int64(len(docx)))
	require.NoError(t, err)
	var out bytes.Buffer
	w := zip.NewWriter(&out)
	for _, f := range z.File {
		r, err := f.Open()
		require.NoError(t, err)
		data, err := io.ReadAll(r)
		require.NoError(t, err)
		if f.Name == "word/document.xml" {
			data = []byte(change(string(data)))
		}
		to, err := w.Create(f.Name)
		require.NoError(t, err)
		_, err = to.Write(data)
		require.NoError(t, err)
	}
	require.NoError(t, w.Close())
	return out.Bytes()
}
