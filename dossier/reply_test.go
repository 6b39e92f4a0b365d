package dossier

import (
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"gallipot/calc/exposure"
	"gallipot/calc/law/table"
	"gallipot/dossier/answer"
	"gallipot/dossier/answer/answertest"
	"gallipot/dossier/assess"
	"gallipot/dossier/document/documenttest"
	"gallipot/dossier/store"
	"gallipot/dossier/transcribe/paper"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/finding"
	"gallipot/testdata"
)

var tagRE = regexp.MustCompile(`<[^>]*>`)

// answered is a demo workshop on disk with a product whose pack was sent out.
type answered struct {
	t    testing.TB
	dir  string
	id   string
	form []byte
}

func sent(t testing.TB, id string) *answered {
	t.Helper()
	s := &answered{t: t, dir: filepath.Join(t.TempDir(), "demo"), id: id}
	tree, err := fs.Sub(testdata.Demo, "demo")
	require.NoError(t, err)
	require.NoError(t, store.WriteTree(s.dir, tree))
	made, _ := forms.LoadOrStore(id, sync.OnceValues(func() ([]byte, error) { return MakePartB(s.now()) }))
	s.form, err = made.(func() ([]byte, error))()
	require.NoError(t, err)
	return s
}

// forms keeps Part B of each product as it was sent: the demo is the same each time.
var forms sync.Map // id → func() ([]byte, error)

func (s *answered) load() *workshop.Workshop {
	s.t.Helper()
	w, _ := workshop.Load(s.dir, table.Builtin())
	require.NotNil(s.t, w)
	return w
}

func (s *answered) now() *assess.Assessment {
	s.t.Helper()
	w := s.load()
	return Assess(w, w.Product(s.id), assess.Options{Date: testDay, Law: table.Builtin()})
}

func (s *answered) read(data []byte) *Reply {
	s.t.Helper()
	r, err := ReadReply(s.load(), paper.NewReader(), "answer.docx", data, "", filepath.Join(s.dir, "out"),
		assess.Options{Date: testDay, Law: table.Builtin()})
	require.NoError(s.t, err)
	return r
}

func (s *answered) record(r *Reply) {
	s.t.Helper()
	require.Empty(s.t, r.Reading.Refused)
	require.NoError(s.t, store.MakeFolder(filepath.Join(s.dir, "out")))
	require.NoError(s.t, store.WriteFiles(r.Files...))
}

func (s *answered) edit(old, new string) {
	s.t.Helper()
	name := filepath.Join(s.dir, "products", s.id+".yaml")
	data, err := os.ReadFile(name)
	require.NoError(s.t, err)
	require.Contains(s.t, string(data), old)
	require.NoError(s.t, os.WriteFile(name, []byte(strings.Replace(string(data), old, new, 1)), 0o600))
}

func margin(t testing.TB, a *assess.Assessment, inci string) *exposure.Margin {
	t.Helper()
	for i := range a.Results[0].Margins {
		if m := &a.Results[0].Margins[i]; m.INCI == inci {
			return m
		}
	}
	require.Fail(t, "no margin", inci)
	return nil
}

// rowOf finds the code of a row by what stands in its second cell.
func rowOf(t testing.TB, s *answered, letter, begins string) string {
	t.Helper()
	code := ""
	answertest.Body(t, s.form, func(text string) string {
		for row := range strings.SplitSeq(text, "</w:tr>") {
			plain := strings.Join(strings.Fields(tagRE.ReplaceAllString(row, " ")), " ")
			if fields := strings.SplitN(plain, " ", 2); len(fields) == 2 && strings.HasPrefix(fields[0], letter) &&
				strings.HasPrefix(fields[1], begins) {
				code = fields[0]
			}
		}
		return text
	})
	require.NotEmpty(t, code, "%s %s", letter, begins)
	return code
}

func TestReplyRoundTrip(t *testing.T) {
	s := sent(t, "heath-wash")
	before := s.now()
	old := margin(t, before, "Phenoxyethanol")
	code := rowOf(t, s, "S", "Phenoxyethanol ")
	filled := answertest.Fill(t, s.form, with(signature(), code,
		answertest.Cells{3: "178.5 NOAEL dermal", 4: "40 %", 5: "100",
			6: "half of the study's level, for its short recovery group"}))
	r := s.read(filled)
	s.record(r)
	rec := r.Reading.Record
	t.Run("what was understood", func(t *testing.T) {
		assert.Equal(t, "safe under the conditions written", rec.Conclusion)
		assert.Equal(t, "2026-11-25", rec.Dated.String())
		assert.Equal(t, "at most 0.9 % of the preservative\nin the jar as tested", rec.Conditions, "line ends stay")
		assert.Equal(t, []workshop.Valid{{ID: "plain", Verdict: "valid"},
			{ID: "heather", Verdict: "valid on condition", Condition: "after its own challenge test"}}, rec.Variants)
		assert.Empty(t, r.Reading.Notes)
	})
	after := s.now()
	t.Run("the fingerprint stays", func(t *testing.T) { assert.Equal(t, before.Fingerprint, after.Fingerprint) })
	t.Run("figures use it and say whose it is", func(t *testing.T) {
		m := margin(t, after, "Phenoxyethanol")
		// by hand: dose and content as before, absorption 40 % in place of 80 %: half the dose;
		// dermal study: internal PoD = 178.5 × 40 % = 71.4 mg/kg bw/d
		assert.InEpsilon(t, old.SED.Max/2, m.SED.Max, 1e-12)
		assert.InEpsilon(t, 71.4, m.PoDSys, 1e-12)
		assert.InEpsilon(t, 71.4/m.SED.Max, m.MoS, 1e-12)
		assert.Equal(t, 100.0, m.Target.Value)
		assert.Contains(t, m.PoD.Source, "assessor Dr Morag Fenwick")
		assert.False(t, m.PoD.FromMemory())
		found := false
		for _, f := range after.Findings {
			found = found || f.Code == "assessors-value" && f.Subject == "Phenoxyethanol"
		}
		assert.True(t, found, "the note that says whose figures they are")
	})
	t.Run("not signed until the report is filed with its hash", func(t *testing.T) {
		assert.Nil(t, after.Product.Newest())
		printed, err := os.ReadFile(r.Printed)
		require.NoError(t, err)
		files, filed, err := SignReply(s.load(), s.load().Product(s.id), printed)
		require.NoError(t, err)
		require.NoError(t, store.WriteFiles(files...))
		signed := s.now()
		require.NotNil(t, signed.Product.Newest())
		assert.Equal(t, filed, signed.Product.Newest().File)
		assert.Equal(t, before.Fingerprint, signed.Fingerprint)
		_, _, err = SignReply(s.load(), s.load().Product(s.id), printed)
		assert.ErrorContains(t, err, "no complete answer")
	})
	t.Run("the same file twice", func(t *testing.T) {
		assert.Equal(t, []answer.Fault{{Code: "already"}}, s.read(filled).Reading.Refused)
	})
	t.Run("a corrected answer is held against the same words", func(t *testing.T) {
		assert.Empty(t, s.read(answertest.Fill(t, filled,
			map[string]answertest.Cells{"B2c": {2: "none needed for a wash"}})).Reading.Refused)
	})
	t.Run("a content changed by 0.001 % is another product", func(t *testing.T) {
		s.edit("{ingredient: glycerin, amount: 4}", "{ingredient: glycerin, amount: 4.001}")
		changed := s.now()
		assert.NotEqual(t, before.Fingerprint, changed.Fingerprint)
		assert.Nil(t, changed.Answer)
		assert.InEpsilon(t, old.PoDSys, margin(t, changed, "Phenoxyethanol").PoDSys, 1e-12,
			"the assessor's figures are for others")
		refused := s.read(answertest.Fill(t, filled,
			map[string]answertest.Cells{"B2c": {2: "none"}})).Reading.Refused
		require.Len(t, refused, 1)
		assert.Equal(t, "other-figures", refused[0].Code)
	})
}

func TestReplyAcceptedPoints(t *testing.T) {
	s := sent(t, "heath-wash")
	before := s.now()
	code := rowOf(t, s, "O", "The supplier or the assessor No toxicological value")
	s.record(s.read(answertest.Fill(t, s.form, with(signature(), code,
		answertest.Cells{3: "accepted", 4: "food ingredients and salts"}))))
	after := s.now()
	count := func(a *assess.Assessment, code string, sev finding.Severity) (n int) {
		for _, f := range a.Findings {
			if f.Code == code && f.Severity == sev {
				n++
			}
		}
		return n
	}
	t.Run("without a reason it stays open and is asked about", func(t *testing.T) {
		question := rowOf(t, s, "Q", "No margin of safety was computed")
		silent := s.read(answertest.Fill(t, s.form, with(with(signature(), code, answertest.Cells{3: "accepted"}),
			question, answertest.Cells{3: "accepted"})))
		assert.Empty(t, silent.Reading.Record.Accepted)
		assert.Equal(t, []answer.Fault{{Code: "accepted-without-reason", Row: code},
			{Code: "accepted-without-reason", Row: question}}, silent.Reading.Notes)
		assert.Equal(t, "accepted", silent.Reading.Record.Replies[0].Answer, "kept as said")
	})
	assert.Equal(t, 1, count(before, "no-point-of-departure", finding.Ask))
	assert.Zero(t, count(after, "no-point-of-departure", finding.Ask))
	assert.Equal(t, 1, count(after, "accepted-by-assessor", finding.Note))
	assert.Equal(t, before.Fingerprint, after.Fingerprint)
	assert.True(t, len(after.Findings) == len(before.Findings)+1,
		"it stays listed, and the answer waits for its signature")
	assert.Equal(t, 1, count(after, "assessors-answer", finding.Ask))
}

func TestReplyIncomplete(t *testing.T) {
	s := sent(t, "heath-wash")
	parts := []string{"B4", "B1a", "B4a", "B4b"}
	for _, lacking := range parts[:testdata.Cases(2, len(parts))] {
		t.Run("without "+lacking, func(t *testing.T) {
			s := sent(t, "heath-wash")
			a := signature()
			delete(a, lacking)
			code := rowOf(t, s, "S", "Phenoxyethanol ")
			r := s.read(answertest.Fill(t, s.form, with(a, code, answertest.Cells{5: "50", 6: "reason"})))
			assert.Equal(t, "incomplete", r.Reading.Notes[len(r.Reading.Notes)-1].Code)
			s.record(r)
			after := s.now()
			assert.Nil(t, after.Answer)
			assert.NotEqual(t, 50.0, margin(t, after, "Phenoxyethanol").Target.Value)
		})
	}
	cases := []struct {
		name string
		row  answertest.Cells
		code string
	}{
		{"figures without a reason", answertest.Cells{3: "50"}, "no-reason"},
		{"a decimal comma", answertest.Cells{3: "0,5", 6: "x"}, "number"},
		{"two numbers", answertest.Cells{3: "50 60", 6: "x"}, "number"},
		{"absorption above 100", answertest.Cells{4: "140", 6: "x"}, "per-cent"},
		{"a target of nothing", answertest.Cells{5: "0", 6: "x"}, "number"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			code := rowOf(t, s, "S", "Phenoxyethanol ")
			r := s.read(answertest.Fill(t, s.form, with(signature(), code, c.row)))
			require.NotEmpty(t, r.Reading.Notes)
			assert.Equal(t, c.code, r.Reading.Notes[0].Code)
			assert.Empty(t, r.Reading.Record.Values, "a row is taken over as a whole or not at all")
		})
	}
	t.Run("a word that is no choice", func(t *testing.T) {
		r := s.read(answertest.Fill(t, s.form, with(signature(), "B1a", answertest.Cells{2: "looks fine"})))
		assert.Empty(t, r.Reading.Record.Conclusion)
		assert.Equal(t, []workshop.Statement{{Code: "B1a", Text: "looks fine"}}, r.Reading.Record.Statements,
			"kept as text")
	})
}

func TestReplyRefused(t *testing.T) {
	s := sent(t, "heath-wash")
	filled := answertest.Fill(t, s.form, signature())
	cases := []struct {
		name   string
		change func(string) string
		code   string
	}{
		{"an issued figure changed", func(x string) string {
			return strings.Replace(x, "target 25", "target 10",
				1)
		}, "altered"},
		{"the fingerprint changed", func(x string) string {
			return strings.ReplaceAll(x, s.now().Fingerprint,
				"0123456789ab")
		}, "property-differs"},
		{"a row taken out", func(x string) string {
			i := strings.Index(x, ">B3a<")
			from := strings.LastIndex(x[:i], "<w:tr>")
			return x[:from] + x[i+strings.Index(x[i:], "</w:tr>")+len("</w:tr>"):]
		}, "missing"},
		{"a code changed", func(x string) string { return strings.Replace(x, ">B3a<", ">B3z<", 1) }, "missing"},
		{"a row doubled with another answer", func(x string) string {
			i := strings.Index(x, ">B3a<")
			from, to := strings.LastIndex(x[:i], "<w:tr>"), i+strings.Index(x[i:], "</w:tr>")+len("</w:tr>")
			return x[:to] + strings.Replace(x[from:to], "[write here]", "other words", 1) + x[to:]
		}, "twice"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			r := s.read(answertest.Body(t, filled, c.change))
			require.NotEmpty(t, r.Reading.Refused)
			assert.Equal(t, c.code, r.Reading.Refused[0].Code)
			assert.Empty(t, r.Files, "nothing is written")
		})
	}
	t.Run("text between the tables is named", func(t *testing.T) {
		r := s.read(answertest.Body(t, filled, func(x string) string {
			return strings.Replace(x, "</w:body>",
				`<w:p><w:r><w:t>Only in the jar as tested.</w:t></w:r></w:p></w:body>`, 1)
		}))
		assert.Equal(t, []answer.Fault{{Code: "new-text", Value: "Only in the jar as tested."}}, r.Reading.Notes)
	})
	t.Run("tracked changes: deleted text is not read", func(t *testing.T) {
		r := s.read(answertest.Body(t, filled, func(x string) string {
			return strings.Replace(x, `<w:t xml:space="preserve">valid</w:t></w:r>`,
				`<w:t xml:space="preserve">valid</w:t></w:r><w:del><w:r><w:delText> not at all</w:delText></w:r></w:del><w:ins><w:r><w:t></w:t></w:r></w:ins>`, 1)
		}))
		assert.Empty(t, r.Reading.Refused)
		assert.Equal(t, "valid", r.Reading.Record.Variants[0].Verdict)
		assert.Equal(t, []answer.Fault{{Code: "tracked"}}, r.Reading.Notes)
	})
	t.Run("a paper filed in the meantime does not matter", func(t *testing.T) {
		s := sent(t, "heath-wash")
		filled := answertest.Fill(t, s.form, signature())
		require.NoError(t, os.WriteFile(filepath.Join(s.dir, "evidence", "phytate-50-sds.txt"),
			[]byte("Safety data sheet (invented)\n"), 0o600))
		assert.Empty(t, s.read(filled).Reading.Refused)
	})
	t.Run("no answer at all", func(t *testing.T) {
		_, err := ReadReply(s.load(), paper.NewReader(), "x.txt", []byte("Dear maker, it is fine."), "", s.dir,
			assess.Options{Date: testDay, Law: table.Builtin()})
		assert.ErrorContains(t, err, "no Part B")
	})
}

// TestReplySettlesByAFigure puts five times the vitamin E into the cream, whose margin is
// then 6.44 below a target of 10 (TestMarginIsAsked computes it by hand). Twice the point of
// departure makes 12.88; people's own target of 10 has to be given with it. The point is
// settled by these figures, and says by whom.
func TestReplySettlesByAFigure(t *testing.T) {
	s := sent(t, "body-cream")
	s.edit("{ingredient: tocopherol-70, amount: 0.3}", "{ingredient: tocopherol-70, amount: 1.5}")
	form, err := MakePartB(s.now())
	require.NoError(t, err)
	s.form = form
	about := func(a *assess.Assessment, code string) (said []string) {
		for _, f := range a.Findings {
			if f.Code == code && f.Subject == "Tocopherol" {
				x := words.Say(&f, words.Assessor)
				said = append(said, x.Text())
			}
		}
		return said
	}
	require.Len(t, about(s.now(), "mos-below-target"), 1)
	code := rowOf(t, s, "S", "Tocopherol ")
	s.record(s.read(answertest.Fill(t, s.form, with(signature(), code,
		answertest.Cells{3: "18 NOAEL oral", 5: "10", 6: "longer study of people (invented)"}))))
	after := s.now()
	assert.InDelta(t, 12.88, margin(t, after, "Tocopherol").MoS, 0.01)
	assert.Empty(t, about(after, "mos-below-target"))
	by := strings.Join(about(after, "assessors-value"), "; ")
	assert.Contains(t, by, "Dr Morag Fenwick (invented)")
}

// A stop has no place to accept it, and writing over its words is refused.
func TestReplyStop(t *testing.T) {
	s := sent(t, "salt-scrub")
	code := ""
	answertest.Body(t, s.form, func(text string) string {
		for row := range strings.SplitSeq(text, "</w:tr>") {
			if strings.Contains(row, answer.StopCell) {
				plain := strings.Fields(tagRE.ReplaceAllString(row, " "))
				code = plain[0]
			}
		}
		return text
	})
	r := s.read(answertest.Fill(t, s.form, with(signature(), code, answertest.Cells{3: "accepted", 4: "–"})))
	require.NotEmpty(t, r.Reading.Refused)
	assert.Equal(t, answer.Fault{Code: "stop-accepted", Row: code}, r.Reading.Refused[0])
}

// The rows are read from the workbook too.
func TestReplyWorkbook(t *testing.T) {
	if testing.Short() {
		t.Skip("a large workbook is given up by a clock, which the race detector outruns")
	}
	s := sent(t, "heath-wash")
	_, book, _, err := MakePack(s.now())
	require.NoError(t, err)
	x, err := excelize.OpenReader(strings.NewReader(string(book)))
	require.NoError(t, err)
	list, err := x.GetRows("Answers")
	require.NoError(t, err)
	answers := signature()
	for i, row := range list {
		if len(row) == 0 {
			continue
		}
		for col, text := range answers[row[0]] {
			cell, err := excelize.CoordinatesToCellName(col+1, i+1)
			require.NoError(t, err)
			require.NoError(t, x.SetCellStr("Answers", cell, text))
		}
	}
	buf, err := x.WriteToBuffer()
	require.NoError(t, err)
	r, err := ReadReply(s.load(), paper.NewReader(), "answer.xlsx", buf.Bytes(), "", s.dir,
		assess.Options{Date: testDay, Law: table.Builtin()})
	require.NoError(t, err)
	require.Empty(t, r.Reading.Refused)
	assert.Equal(t, "safe under the conditions written", r.Reading.Record.Conclusion)
	assert.Len(t, r.Reading.Record.Variants, 2)
	assert.Equal(t, 1, len(r.Reading.Record.Markets))
}

// What a word processor saves is read as it was filled in, whatever format it went through.
func TestReplyThroughWordProcessor(t *testing.T) {
	office := documenttest.Tool(t, "soffice")
	s := sent(t, "heath-wash")
	profile := "-env:UserInstallation=file://" + filepath.ToSlash(filepath.Join(t.TempDir(), "profile"))
	convert := func(t *testing.T, data []byte, from, to string) []byte {
		in, out := t.TempDir(), t.TempDir()
		require.NoError(t, os.WriteFile(filepath.Join(in, "b."+from), data, 0o600))
		documenttest.Run(t, office, profile, "--headless", "--convert-to", to, "--outdir", out,
			filepath.Join(in, "b."+from))
		saved, err := os.ReadFile(filepath.Join(out, "b."+to))
		require.NoError(t, err)
		return saved
	}
	value, question := rowOf(t, s, "S", "Phenoxyethanol "), rowOf(t, s, "Q", "No margin of safety was computed")
	point := rowOf(t, s, "O", "The supplier or the assessor No toxicological value")
	answers := func() map[string]answertest.Cells {
		a := with(signature(), value, answertest.Cells{3: "178.5 NOAEL dermal", 4: "40 %", 5: "100",
			6: "half of the study's level,\nfor its short recovery group"})
		return with(with(a, question, answertest.Cells{3: "accepted", 4: "coarse and coated"}), point,
			answertest.Cells{3: "accepted", 4: "food ingredients and salts"})
	}
	check := func(t *testing.T, data []byte) {
		r := s.read(data)
		require.Empty(t, r.Reading.Refused)
		require.Len(t, r.Reading.Record.Values, 1)
		j := r.Reading.Record.Values[0]
		assert.Equal(t, []string{"Phenoxyethanol", "178.5", "NOAEL", "dermal", "40", "100"},
			[]string{j.INCI, j.PoD.Exact(), j.PoDType, j.Route, j.AbsorptionPct.Exact(), j.Target.Exact()})
		assert.Equal(t, "half of the study's level, for its short recovery group", j.Reason)
		because := map[string]string{}
		for _, x := range r.Reading.Record.Accepted {
			because[x.Finding] = x.Because
		}
		assert.Equal(t, map[string]string{"insoluble-particles": "coarse and coated",
			"no-point-of-departure": "food ingredients and salts"}, because)
		assert.Equal(t, "coarse and coated", r.Reading.Record.Replies[0].Words)
		assert.Equal(t, "safe under the conditions written", r.Reading.Record.Conclusion)
		assert.Equal(t, "at most 0.9 % of the preservative\nin the jar as tested", r.Reading.Record.Conditions)
		assert.Len(t, r.Reading.Record.Variants, 2)
		assert.Empty(t, r.Reading.Record.Lacks())
		assert.Empty(t, r.Reading.Notes)
	}
	filled := answertest.Fill(t, s.form, answers())
	t.Run("filled, saved", func(t *testing.T) { check(t, convert(t, filled, "docx", "docx")) })
	t.Run("opened, saved, filled, saved", func(t *testing.T) {
		check(t, convert(t, answertest.Fill(t, convert(t, s.form, "docx", "docx"), answers()), "docx", "docx"))
	})
	t.Run("an issued figure changed, saved: refused, and said where", func(t *testing.T) {
		altered := answertest.Body(t, filled,
			func(x string) string { return strings.Replace(x, "target 25", "target 10", 1) })
		r := s.read(convert(t, altered, "docx", "docx"))
		require.Len(t, r.Reading.Refused, 1)
		assert.Equal(t, "altered", r.Reading.Refused[0].Code)
		assert.Equal(t, value, r.Reading.Refused[0].Row)
		assert.Contains(t, r.Reading.Refused[0].Error(), "target 10")
		assert.Empty(t, r.Files, "nothing is written")
	})
	t.Run("saved and read for other figures: refused", func(t *testing.T) {
		saved := convert(t, filled, "docx", "docx")
		other := sent(t, "heath-wash")
		other.edit("{ingredient: glycerin, amount: 4}", "{ingredient: glycerin, amount: 4.001}")
		r := other.read(saved)
		require.Len(t, r.Reading.Refused, 1)
		assert.Equal(t, "other-figures", r.Reading.Refused[0].Code)
		assert.Empty(t, r.Files, "nothing is written")
	})
	t.Run("by way of an open document", func(t *testing.T) {
		check(t, convert(t, convert(t, filled, "docx",
			"odt"), "odt", "docx"))
	})
	t.Run("by way of an old office format", func(t *testing.T) {
		check(t, convert(t, convert(t, filled,
			"docx", "doc"), "doc", "docx"))
	})
}
