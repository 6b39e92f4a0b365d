package documenttest

import (
	"archive/zip"
	"bytes"
	"encoding/csv"
	"encoding/json"
	"encoding/xml"
	"errors"
	"io"
	"regexp"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/dossier/document/page"
	"gallipot/dossier/document/pdf"
	"gallipot/dossier/document/plain"
	"gallipot/dossier/document/sheet"
	"gallipot/dossier/document/word"
	"gallipot/dossier/store"
	"gallipot/dossier/words"
	"gallipot/ingredients/sign"
	"gallipot/testdata"
)

// refused returns the first character that no output may hold.
func refused(s string) string {
	for _, r := range s {
		if sign.Refused(r) || r == utf8.RuneError {
			return string(r)
		}
	}
	return ""
}

// TestEveryOutput prints documents whose every field holds a hostile text, through every
// printer. By default a sample of the texts; all of them with GALLIPOT_LONG=1, which .ci/run sets.
func TestEveryOutput(t *testing.T) {
	require.GreaterOrEqual(t, len(Hostile), 40)
	for i, text := range Hostile {
		if i%8 != 0 && !testdata.Long() {
			continue
		}
		for seed := uint64(1); seed <= 3; seed++ {
			if seed > 1 && !testdata.Long() {
				break
			}
			d := Chance(seed)
			spoilAll(d, text)
			require.Contains(t, d.Title, text)
			var out bytes.Buffer
			require.NoError(t, plain.Write(&out, d), "%q", text)
			assert.Empty(t, refused(out.String()), "terminal %q", text)
			out.Reset()
			require.NoError(t, page.Write(&out, d), "%q", text)
			harmlessPage(t, out.String(), text)
			out.Reset()
			require.NoError(t, sheet.Write(&out, d), "%q", text)
			harmlessWorkbook(t, out.Bytes(), text)
			letter := Small() // of texts and tables alone, which the word processor has
			spoilAll(letter, text)
			out.Reset()
			require.NoError(t, word.Write(&out, letter), "%q", text)
			harmlessWorkbook(t, out.Bytes(), text) // of the same build: parts of XML in an archive
			data, _, err := pdf.Render(d, nil)
			require.NoError(t, err, "%q", text)
			for _, word := range []string{"/JavaScript", "/JS (", "/Launch", "/SubmitForm"} {
				if bytes.Contains(withoutMetadata(data), []byte(word)) {
					assert.Fail(t, "the PDF would act", "%s in %q", word, text)
				}
			}
		}
	}
}

// withoutMetadata leaves out the packet of XML, in which a text is one.
func withoutMetadata(data []byte) []byte {
	before, rest, _ := bytes.Cut(data, []byte("<?xpacket begin"))
	_, after, _ := bytes.Cut(rest, []byte("<?xpacket end"))
	return append(before[:len(before):len(before)], after...)
}

// harmlessPage wants a page without scripts and handlers, and with nothing unseen.
func harmlessPage(t *testing.T, html, text string) {
	assert.Empty(t, refused(html), "page %q", text)
	for _, bad := range []string{"<script", "<img", "<x/>", `href="javascript:`, "<!--a"} {
		assert.NotContains(t, html, bad, "page %q", text)
	}
}

var formula = regexp.MustCompile(`<f[ >][^<]*(?:HYPERLINK|cmd|1\+1|SUM\(A1\))`)

// harmlessWorkbook wants well-formed parts, no formula of ours but those of the program,
// no link out, and nothing unseen.
func harmlessWorkbook(t *testing.T, data []byte, text string) {
	archive, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	require.NoError(t, err)
	for _, f := range archive.File {
		r, err := f.Open()
		require.NoError(t, err)
		part, err := io.ReadAll(r)
		require.NoError(t, err)
		assert.False(t, formula.Match(part), "%s %q", f.Name, text)
		assert.NotContains(t, string(part), `TargetMode="External"`, "%s %q", f.Name, text)
		for dec := xml.NewDecoder(bytes.NewReader(part)); ; {
			token, err := dec.Token()
			if errors.Is(err, io.EOF) {
				break
			}
			require.NoError(t, err, "%s %q", f.Name, text)
			if chars, ok := token.(xml.CharData); ok {
				assert.Empty(t, refused(strings.ReplaceAll(string(chars), "\r", "")), "%s %q", f.Name, text)
			}
		}
	}
}

// TestEveryCell: each text alone, as a cell of CSV, as JSON and for a terminal.
func TestEveryCell(t *testing.T) {
	for _, text := range Hostile {
		var b bytes.Buffer
		w := csv.NewWriter(&b)
		require.NoError(t, w.Write([]string{words.Cell(text), "next"}))
		w.Flush()
		assert.Empty(t, refused(b.String()), "%q", text)
		rows, err := csv.NewReader(&b).ReadAll()
		require.NoError(t, err)
		require.Len(t, rows, 1)
		require.Len(t, rows[0], 2)
		if cell := rows[0][0]; cell != "" {
			assert.NotContains(t, "=+-@＝＋－＠\t", string([]rune(cell)[0]), "%q", text)
		}

		b.Reset()
		require.NoError(t, store.WriteIndented(&b, map[string]string{"text": text}))
		assert.NotContains(t, b.String(), "\x1b")
		assert.Empty(t, refused(strings.ToValidUTF8(strings.ReplaceAll(b.String(), "\ufffd", ""), "")), "%q", text)
		var back map[string]string
		require.NoError(t, json.Unmarshal(b.Bytes(), &back))
		if utf8.ValidString(text) {
			assert.Equal(t, text, back["text"], "JSON keeps the text")
		}

		for _, r := range words.Shown(text) {
			assert.False(t, sign.Refused(r), "%q", text)
		}
	}
}
