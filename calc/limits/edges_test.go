package limits

import (
	"gallipot/calc/law/table"
	"testing"

	"github.com/stretchr/testify/assert"

	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law/annex"
	"gallipot/calc/law/rows"
	"gallipot/dossier/words/wordstest"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// What a row says where one substance breaks it and another row about it is open.
func TestOneWordOnASubstance(t *testing.T) {
	run := handRun(t, "a", "1")
	row := &annex.Limit{Annex: "III", Entry: "1", Row: rows.Row{Key: "k", File: "limits.csv", Source: "Annex III/1"}}
	check := func(v LimitVerdict, name string) LimitCheck {
		return LimitCheck{Row: row, Substances: []string{name}, Verdict: v,
			LimitPct: formulatest.Ptr(formulatest.Num(t, "1")), HighestPct: formulatest.Ptr(formulatest.Num(t, "1")),
			Content: formulatest.Range(t, "2"), Missing: []string{"what"}, Shape: checkShape{open: true}}
	}
	assert.Equal(t, []string{"stop over-limit", "ask limit-undecided"},
		formulatest.Codes(run.checkFindings([]LimitCheck{check(LimitUndecided, "A"), check(LimitExceeded, "A"),
			check(LimitUndecided, "B"), check(LimitKept, "C")}, 20261125)))

	c := check(LimitUndecided, "A")
	c.Shape.Doubt, c.Reason = severalEntries, "it depends"
	f := run.ask(c, 20261125)
	assert.Equal(t, []string{"limit-entry", "the supplier",
		"ask the supplier for the plant part and preparation, and correct the name and number on the sheet"},
		[]string{f.Code, wordstest.Said(f).Ask, wordstest.Said(f).Fix})
	for doubt, fix := range map[string]string{
		"another doubt": "ask the supplier which substance it is, and correct name and number on the sheet",
		partOpen:        "ask the supplier for the plant part and preparation, and enter them in the name on the sheet",
		partByNumber:    "ask the supplier for the plant part and preparation, and enter them in the name on the sheet",
		otherByName:     "ask the supplier which of name and number is right, and correct the sheet",
		linkedToClass:   "ask the supplier what it is made of, and enter that on the sheet",
		sharedNumber:    "ask the supplier for the plant part, preparation or form, and enter it in the name on the sheet",
		saltOfNamed:     "let the assessor say whether the entry covers the salt",
	} {
		c.Shape.Doubt = doubt
		assert.Equal(t, fix, wordstest.Said(run.ask(c, 20261125)).Fix)
	}
	c.Shape.Doubt = ""
	c.Shape = checkShape{Kind: CheckProhibited, traces: true}
	f = run.ask(c, 20261125)
	assert.Equal(t, []string{"prohibited-trace", "the assessor"}, []string{f.Code, wordstest.Said(f).Ask})
	assert.Equal(t, "a trace of 2 % in the product; it is not permitted in any product", wordstest.Said(f).Message)
	assert.Contains(t, wordstest.Said(f).Why,
		"small traces that cannot be avoided in good manufacturing practice are allowed if the product is safe; Regulation (EC) 1223/2009 Article 17; Annex III/1")
	assert.Equal(t, "show the assessor that the trace cannot be avoided and that the product is safe with it, or choose a purer material", wordstest.Said(f).Fix)
	c.Shape = checkShape{Kind: CheckProhibited}
	f = run.ask(c, 20261125)
	assert.Equal(t, []string{"maybe-prohibited", "the supplier"}, []string{f.Code, wordstest.Said(f).Ask})
	assert.Equal(t, "there may be up to 2 % in the product, and it is not permitted in any product",
		wordstest.Said(f).Message)
	assert.Equal(t, "ask the supplier for the exact content; if there is any, choose another material",
		wordstest.Said(f).Fix)
	c.Shape = checkShape{Kind: checkResidue}
	f = run.ask(c, 20261125)
	assert.Equal(t, []string{"limit-undecided", "the supplier"}, []string{f.Code, wordstest.Said(f).Ask})
	c.Shape = checkShape{Kind: CheckFigure}
	f = run.ask(c, 20261125)
	assert.Equal(t, []string{"limit-undecided", "the maker"}, []string{f.Code, wordstest.Said(f).Ask})
	assert.Equal(t, finding.Ask, f.Severity)

	// the stops
	c = check(LimitExceeded, "A")
	c.Shape = checkShape{Kind: checkTogether, Others: []string{"B"}, entries: []string{"III/2"}}
	c.Row.SumRule = "not both"
	assert.Equal(t, []string{"not-together", "it may not be used together with B (entry III/2): not both",
		"take one of them out"}, stopWords(run, c))
	c.Shape = checkShape{Kind: CheckProhibited}
	assert.Equal(t, []string{"prohibited", "2 % of the product; it is not permitted in any product",
		"take it out, or the material that brings it in; a trace that the supplier cannot avoid belongs under impurities on the sheet"}, stopWords(run, c))
	c.Row = &annex.Limit{Annex: "IV", Entry: "1"}
	assert.Equal(t, []string{"colourant-not-here",
		"it may not be used as a colourant in body lotion or cream: it is listed for use in any product",
		"choose another colourant for this type of product, or leave it out"}, stopWords(run, c))
	// where no material alone can mend it
	c = check(LimitExceeded, "A")
	c.Shape.plain = formulatest.Range(t, "2")
	assert.Equal(t, []string{"over-limit", "2 % of the product; the limit is 1 % in any product",
		"reduce it to 1 % or less in all"}, stopWords(run, c))
	c.Content = formulatest.Range(t, "0.5-2")
	assert.Equal(t, "reduce it to 1 % or less in all, or ask the supplier for the exact content", stopWords(run, c)[2])
}

func stopWords(run *Run, c LimitCheck) []string {
	f := run.stop(c, 20261125)
	return []string{f.Code, wordstest.Said(f).Message, wordstest.Said(f).Fix}
}

// What a row rests on, in words, in each of its markets.
func TestWhyOfARow(t *testing.T) {
	why := func(row *annex.Limit, m rows.Market, day exact.Date) string {
		return rowText((&formula.Input{Market: m, Session: formula.NewSession(table.Builtin())}).LawSource(row, day))
	}
	row := annex.Limit{Annex: "III", Entry: "5", Markets: []rows.Market{rows.EU, rows.GB},
		Row: rows.Row{Key: "k", File: "limits.csv", Source: "Regulation X", Seen: "seen"}}
	assert.Equal(t, "Regulation X, annex III, entry 5, EU (limits.csv, row k)", why(&row, rows.EU, 20261125))
	assert.Equal(t, why(&row, rows.EU, 20261125), why(&row, rows.NI, 20261125), "NI follows the EU")
	row.From, row.Until, row.OffShelf = 20260101, 20280101, 20280701
	assert.Equal(t, "Regulation X, annex III, entry 5, EU, from 2026-01-01 until 2028-01-01; stock already on the market may be sold until 2028-07-01 (limits.csv, row k)", why(&row, rows.EU, 20261125))
	assert.NotContains(t, why(&row, rows.EU, 20250101), "stock already")
	assert.NotContains(t, why(&row, rows.EU, 20280702), "stock already")
	assert.Contains(t, why(&row, rows.EU, 20280701), "stock already")
	assert.Contains(t, why(&row, rows.EU, 20260101), "stock already")
	row.Replaced, row.ReplacedIn = 20270301, []rows.Market{rows.GB}
	assert.Contains(t, why(&row, rows.GB, 20261125), "GB, from 2026-01-01 until 2027-02-28;")
	assert.Contains(t, why(&row, rows.EU, 20261125), "EU, from 2026-01-01 until 2028-01-01;")
	row = annex.Limit{Annex: "III", Entry: "unseen-1", EntryUnread: true, Instrument: annex.InstrumentDraft,
		Row: rows.Row{Key: "k", File: "limits.csv", Source: "Regulation X", Seen: "memory"}}
	assert.Contains(t, why(&row, rows.EU, 20261125), "Regulation X, annex III, entry number not read")
	assert.Contains(t, why(&row, rows.EU, 20261125),
		"(limits.csv, row k); not yet checked against its source; draft, not confirmed as made")
	row = annex.Limit{Annex: "own", Entry: "x", Own: true, Markets: []rows.Market{rows.EU, rows.GB},
		Row: rows.Row{Key: "k", File: "limits/own.csv", Source: "house rule", Seen: "seen"}}
	assert.Contains(t, why(&row, rows.GB, 20261125), "your own rule k, house rule, GB (limits/own.csv, row k)")
}
