package words

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

var place = exact.Pos{File: "products/x.yaml", Line: 3, Col: 5}

// The keys of a finding in JSON, as the README documents them.
func TestFindingAsJSON(t *testing.T) {
	f := finding.NewFinding(finding.Ask, "short-stability", place,
		finding.With().Count("months", 6).Quote("supported", "2.6 months").
			Those("tests", finding.With().Term("", "no-test",
				nil))).On("Kelp Wash").By(finding.ALaboratory).At("products/x.yaml", "durability", nil)
	f.Variants, f.Markets = []string{"x/a"}, []string{"GB"}
	f.Sum = []finding.Term{{Pos: place, Key: "share",
		Values: finding.With().Num("share", exact.Int(2), "%", finding.AsIs).Name("material", "Oil")}}
	text, err := json.Marshal(Say(&f, Terminal))
	require.NoError(t, err)
	var got map[string]any
	require.NoError(t, json.Unmarshal(text, &got))
	for key, want := range map[string]any{"severity": "ask", "code": "short-stability", "subject": "Kelp Wash",
		"ask_whom": "a laboratory",
		"message":  "the label says 6 months but the tests support only 2.6 months: no test with a temperature and readings",
		"fix":      "continue the tests, or state a shorter period until they have run",
		"variants": []any{"x/a"}, "markets": []any{"GB"}, "sum": []any{map[string]any{"text": "2 % Oil"}},
		"values": map[string]any{"months": 6.0, "supported": "2.6 months", "tests": []any{"no-test"}},
		"settle": map[string]any{"file": "products/x.yaml", "key": "durability"}} {
		assert.Equal(t, want, got[key], key)
	}
	assert.Contains(t, got["why"], "Regulation (EC) 1223/2009")
}

// One finding for three readers: a command, a link, and neither.
func TestReaders(t *testing.T) {
	f := finding.NewFinding(finding.Note, "reading-overdue", place,
		finding.With().Count("overdue", 2).Day("since", 20260301).
			Num("week", exact.Int(4), "", finding.AsIs).Quote("test",
			"heat")).On("Kelp Wash").With(finding.Action{Kind: finding.ActionCalendar, Product: "kelp"})
	assert.Equal(t, "take it and enter it; gallipot stability kelp --ics makes a calendar of the readings to come", Say(&f, Terminal).Fix)
	assert.Equal(t, "take it and enter it; make a calendar of the readings to come", Say(&f, Bench).Fix)
	assert.Equal(t, "take it", Say(&f, Assessor).Fix)
	assert.Empty(t, Faults(&f))
}

// A finding of a later day says what that of the day says.
func TestFindingAboutAnother(t *testing.T) {
	inner := finding.NewFinding(finding.Stop, "not-listed-colourant", place, finding.With().Day("day", 20270101).
		Source("law", finding.With().Quote("", "Annex IV"))).As("number").On("CI 1")
	f := inner
	f.Inner, f.Code, f.Form, f.Severity, f.Values = &inner, "coming-limit", "", finding.Ask,
		finding.With().Day("day", 20270101)
	s := Say(&f, Terminal)
	assert.Equal(t, "CI 1: from 2027-01-01: it is not on the list of permitted colourants", s.Line())
	assert.Equal(t, "before 2027-01-01: check the number against the supplier's document, or choose a listed colourant", s.Fix)
	assert.Empty(t, s.Against, "it does not stop yet")
	assert.Empty(t, Faults(&f))
}

// Every stop says what it is against.
func TestAgainst(t *testing.T) {
	f := finding.NewFinding(finding.Stop, "not-listed-colourant", place, finding.With().Day("day", 20270101).
		Source("law", finding.With().Quote("", "Annex IV"))).As("number").On("CI 1")
	assert.Equal(t, "against the law", Say(&f, Terminal).Against)
	f = finding.NewFinding(finding.Stop, "empty-value", place, nil).On("pct")
	assert.Equal(t, "not computable as it stands", Say(&f, Terminal).Against)
}

// Things that are lists themselves are parted by semicolons.
func TestTextWithThings(t *testing.T) {
	s := Said{Message: "these are open"}
	assert.Equal(t, "these are open", s.Text())
	s.Items = []string{"a", "b"}
	assert.Equal(t, "these are open: a, b", s.Text())
	s.Subject = "a, b"
	assert.Equal(t, "these are open", s.Text(), "the subject names them")
	s.Items, s.lists = []string{"a: 1, 2", "b: 3"}, true
	assert.Equal(t, "these are open: a: 1, 2; b: 3", s.Text())
}

func TestWhom(t *testing.T) {
	assert.Equal(t, "the maker", Whom([]finding.Party{finding.TheMaker}))
	assert.Equal(t, "S or the assessor",
		Whom([]finding.Party{{Role: finding.RoleSupplier, Name: "S"}, finding.TheAssessor}))
	assert.Equal(t, "the supplier of Oil", Whom([]finding.Party{{Role: finding.RoleSupplier, Of: "Oil"}}))
	assert.Equal(t, "", Whom(nil))
}

func TestFaults(t *testing.T) {
	of := func(code, form string, v finding.Values) []string {
		f := finding.NewFinding(finding.Stop, code, place, v).As(form).On("X")
		return Faults(&f)
	}
	assert.Contains(t, of("over-100", "", finding.With().Num("sum", exact.Int(101), "%", finding.AsIs)),
		"over-100: fix names {over}, which is not passed")
	assert.Contains(t, of("empty-formula", "", finding.With().Name("more", "x")), "empty-formula: no text uses {more}")
	assert.Contains(t, of("not-a-code", "", nil), "not-a-code: no message")
	assert.Contains(t, of("ph-limit", "other", nil), "ph-limit/other: no words")
	assert.Contains(t, of("low-risk", "no-report",
		finding.With().Quote("reason", "x").Quotes("criteria", []string{"y"})),
		"low-risk/no-report: stops, and does not say what it is against")
	assert.Contains(t, of("rescaled", "", finding.With().Name("slot", "this is a sentence; names are not")),
		`rescaled: {slot} is a sentence: "this is a sentence; names are not"`)
	assert.Contains(t, of("rescaled", "", finding.With().Term("slot", "nothing", nil)),
		`rescaled: the vocabulary has no term "nothing"`)
	assert.Contains(t, of("rescaled", "", finding.With().Term("slot", "share", nil)),
		"rescaled: the term share names {share}, which is not passed")
}
