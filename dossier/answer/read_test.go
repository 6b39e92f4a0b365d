package answer

import (
	"bytes"
	"encoding/xml"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/tox"
	"gallipot/dossier/answer/answertest"
	"gallipot/dossier/document"
	"gallipot/dossier/document/word"
	"gallipot/dossier/transcribe/paper"
	"gallipot/dossier/workshop"
)

// small is a form with one row of each kind.
func small() *Form {
	item := func(code string, stated string) Row {
		return Row{Code: code, Item: tox.Builtin().Item(code), Issued: []string{tox.Builtin().Item(code).Label, stated}}
	}
	f := &Form{Product: "tide", Fingerprint: "0ded91c3cb7b", Day: 20261129,
		Parts: []Part{{ID: "b1", Number: "B.1", Title: "Conclusion", Groups: []Group{
			{ID: "i", Title: "Places", Kind: Items, Columns: []Column{{Head: "What"}, {Head: "Answer", Answer: true}},
				Rows: []Row{item("B1a", ""), item("B1b", "tide, revision 1: Tide"), item("B1c", ""),
					item("B1d", "GB, EU; law of 2026-11-29"), item("B4", ""), item("B4a", ""), item("B4b", "")}},
			{ID: "v", Title: "Variants", Kind: Variants,
				Columns: []Column{{Head: "Variant"},
					{Head: "Valid", Answer: true, Choices: []string{"valid", "not valid"}}, {Head: "Condition", Answer: true}},
				Rows: []Row{{Code: "V01", ID: "plain", Issued: []string{"Tide, plain", "", ""}}}},
			{ID: "o", Title: "Points", Kind: Points,
				Columns: []Column{{Head: "Whom"}, {Head: "What"},
					{Head: "Answer", Answer: true, Choices: []string{"accepted", "to be settled"}}, {Head: "Because", Answer: true}},
				Rows: []Row{{Code: "O01", Points: []workshop.Accepted{{Finding: "code", About: "Tide", Says: "says"}},
					Issued: []string{"The maker", "open", "", ""}},
					{Code: "O02", Issued: []string{"The maker", "stopped", StopCell, "–"}}}},
			{ID: "s", Title: "Values", Kind: Values,
				Columns: []Column{{Head: "Substance"}, {Head: "Now"}, {Head: "PoD", Answer: true},
					{Head: "Abs", Answer: true}, {Head: "Target", Answer: true}, {Head: "Reason", Answer: true}},
				Rows: []Row{{Code: "S01", ID: "Exemplum", Issued: []string{"Exemplum", "PoD 10", "", "", "", ""}}}},
		}}}}
	f.Seal()
	return f
}

func issued(t testing.TB) []byte {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, word.Write(&b,
		small().Document(document.Document{Title: "Part B", Subtitle: "Tide", Caution: "no assessment"}, nil),
		word.Property{Name: Property, Value: "0ded91c3cb7b"}))
	return b.Bytes()
}

func read(t testing.TB, data []byte) *Reading {
	t.Helper()
	s, err := Read(paper.NewReader(), "answer.docx", data)
	require.NoError(t, err)
	return s.Against(small())
}

func TestRead(t *testing.T) {
	s, err := Read(paper.NewReader(), "answer.docx", issued(t))
	require.NoError(t, err)
	assert.Equal(t, []any{"tide", "0ded91c3cb7b", "2026-11-29", []string{"GB", "EU"}},
		[]any{s.Product, s.Fingerprint, s.Day.String(), s.Markets})
	t.Run("all kinds of row", func(t *testing.T) {
		r := read(t, answertest.Fill(t, issued(t),
			map[string]answertest.Cells{"B1a": {2: "not safe"}, "V01": {2: "not valid", 3: "never"},
				"O01": {3: "accepted", 4: "known"}, "S01": {3: "20 BMDL oral", 6: "paper"}}))
		require.Empty(t, r.Refused)
		assert.Equal(t, "not safe", r.Record.Conclusion)
		assert.Equal(t, []workshop.Valid{{ID: "plain", Verdict: "not valid", Condition: "never"}}, r.Record.Variants)
		assert.Equal(t, []workshop.Accepted{{Finding: "code", About: "Tide", Says: "says", Because: "known"}},
			r.Record.Accepted)
		require.Len(t, r.Record.Values, 1)
		assert.Equal(t, "20 BMDL oral paper",
			r.Record.Values[0].PoD.Exact()+" "+r.Record.Values[0].PoDType+" "+r.Record.Values[0].Route+" "+r.Record.Values[0].Reason)
	})
	t.Run("nothing written", func(t *testing.T) {
		assert.Equal(t, []Fault{{Code: "unfilled"}}, read(t, issued(t)).Refused)
	})
	t.Run("a point that is open no more", func(t *testing.T) {
		s, err := Read(paper.NewReader(), "answer.docx",
			answertest.Fill(t, issued(t), map[string]answertest.Cells{"O01": {3: "accepted"}, "B1a": {2: "safe"}}))
		require.NoError(t, err)
		f := small()
		f.Parts[0].Groups[2].Rows = f.Parts[0].Groups[2].Rows[1:]
		r := s.Against(f)
		assert.Empty(t, r.Refused)
		assert.Empty(t, r.Record.Accepted)
		assert.Contains(t, r.Notes, Fault{Code: "closed-point", Row: "O01"})
	})
	t.Run("every fault has its words", func(t *testing.T) {
		for _, code := range []string{"not-a-form", "altered", "other-figures", "incomplete", "tracked"} {
			assert.NotEqual(t, code, Fault{Code: code}.Message())
		}
	})
}

// FuzzRead reads changed documents: it never panics, and what it takes from one it can
// write into a product file.
func FuzzRead(f *testing.F) {
	f.Add(issued(f))
	f.Add(answertest.Fill(f, issued(f), map[string]answertest.Cells{"B1a": {2: "safe"}, "S01": {3: "20", 6: "paper"}}))
	f.Add([]byte("PK\x03\x04"))
	f.Add([]byte("B1a;x;safe\n"))
	files := paper.NewReader()
	f.Fuzz(func(t *testing.T, data []byte) {
		enterable(t, files, data)
	})
}

// enterable reads a file as an answer: what is not refused can be entered.
func enterable(t *testing.T, files *paper.Reader, data []byte) {
	t.Helper()
	s, err := Read(files, "answer.docx", data)
	if err != nil {
		return
	}
	r := s.Against(small())
	if len(r.Refused) > 0 {
		return
	}
	_, err = Enter("products/tide.yaml", []byte("id: tide\n"), r.Record)
	require.NoError(t, err)
}

// FuzzCells writes anything into the places: what is read back is what was written.
func FuzzCells(f *testing.F) {
	f.Add("safe", "20 NOAEL oral", "a: {b}")
	f.Add("'\"", "- x", "\u2028 #")
	files := paper.NewReader()
	form := issued(f)
	f.Fuzz(func(t *testing.T, conclusion, pod, reason string) {
		s, err := Read(files, "answer.docx",
			answertest.Fill(t, form, map[string]answertest.Cells{"B1a": {2: conclusion}, "S01": {3: pod, 6: reason}}))
		if err != nil {
			return
		}
		r := s.Against(small())
		if len(r.Refused) > 0 {
			return
		}
		if _, err := Enter("products/tide.yaml", []byte("id: tide\n"), r.Record); err != nil {
			require.ErrorContains(t, err, "products/tide.yaml")
		}
	})
}

// FuzzBody puts anything into the text of a filled answer: it never panics, and what it
// takes can be written into a product file. Mutated archives hardly get past the
// unpacking, so the text is changed inside a whole one.
func FuzzBody(f *testing.F) {
	for _, x := range []string{
		`<w:p><w:r><w:t>between the tables</w:t></w:r></w:p>`,
		`<w:tbl><w:tr><w:tc><w:p><w:r><w:t>B1a</w:t></w:r></w:p></w:tc><w:tc/><w:tc><w:p><w:r><w:t>safe</w:t></w:r></w:p></w:tc></w:tr></w:tbl>`,
		`<w:del><w:r><w:delText>gone</w:delText></w:r></w:del><w:ins><w:r><w:t>new</w:t></w:r></w:ins>`,
		`<w:sdt><w:sdtPr><w:tag w:val="B1a"/></w:sdtPr><w:sdtContent><w:p><w:r><w:t>safe</w:t></w:r></w:p></w:sdtContent></w:sdt>`,
		`<mc:AlternateContent><mc:Fallback><w:t>twice</w:t></mc:Fallback></mc:AlternateContent>`,
		`<w:tr><w:tc><w:tcPr><w:gridSpan w:val="99999999"/><w:vMerge/></w:tcPr><w:p/></w:tc></w:tr>`,
		`</w:tc></w:tr></w:tbl>`, `<!DOCTYPE x [<!ENTITY a "aa">]>&a;`, `<w:t>&#0;&#xFFFF;</w:t>`, `<w:br/><w:tab/><w:cr/>`,
	} {
		f.Add(x, uint16(0))
		f.Add(x, uint16(2000))
		f.Add(x, uint16(9000))
	}
	files := paper.NewReader()
	filled := answertest.Fill(f, issued(f), map[string]answertest.Cells{"B1a": {2: "safe"}, "S01": {3: "20", 6: "paper"}})
	f.Fuzz(func(t *testing.T, text string, at uint16) {
		data := answertest.Body(t, filled, func(body string) string {
			i := strings.IndexByte(body[int(at)%len(body):], '<')
			if i < 0 {
				return body + text
			}
			i += int(at) % len(body)
			return body[:i] + text + body[i:]
		})
		enterable(t, files, data)
	})
}

// FuzzTracked: what was deleted or moved away under tracked changes is never read, what was
// inserted is, and the reader is told.
func FuzzTracked(f *testing.F) {
	f.Add("read in ", "the old paper", "the new paper")
	f.Add("", "x", "y")
	f.Add("a<b&c", "\u00ad", "\u00a0")
	files := paper.NewReader()
	form := issued(f)
	f.Fuzz(func(t *testing.T, kept, deleted, inserted string) {
		for _, s := range []string{kept, deleted, inserted} {
			if strings.ContainsFunc(s, func(r rune) bool { return r == utf8.RuneError || !unicode.IsPrint(r) }) {
				t.Skip("not what a word processor writes")
			}
		}
		if squeezed(kept+inserted) == "" {
			t.Skip("nothing is written")
		}
		const mark = "MARKEDPLACE"
		escape := func(s string) string {
			var b bytes.Buffer
			_ = xml.EscapeText(&b, []byte(s)) // a buffer takes all
			return b.String()
		}
		filled := answertest.Fill(t, form, map[string]answertest.Cells{"B1a": {2: "safe"}, "S01": {3: "20", 6: mark}})
		data := answertest.Body(t, filled, func(body string) string {
			return strings.Replace(body, mark+`</w:t></w:r>`, escape(kept)+`</w:t></w:r>`+
				`<w:del w:id="1"><w:r><w:delText xml:space="preserve">`+escape(deleted)+`</w:delText></w:r></w:del>`+
				`<w:moveFrom w:id="2"><w:r><w:t xml:space="preserve">`+escape(deleted)+`</w:t></w:r></w:moveFrom>`+
				`<w:ins w:id="3"><w:r><w:t xml:space="preserve">`+escape(inserted)+`</w:t></w:r></w:ins>`, 1)
		})
		s, err := Read(files, "answer.docx", data)
		require.NoError(t, err)
		r := s.Against(small())
		require.Empty(t, r.Refused)
		require.Contains(t, r.Notes, Fault{Code: "tracked"})
		if len(r.Record.Values) == 1 { // not where what is left is the words of the place itself
			require.Equal(t, squeezed(kept+inserted), squeezed(r.Record.Values[0].Reason))
		}
	})
}
