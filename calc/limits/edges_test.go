package limits

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"gallipot/calc/law/table"
	"gallipot/ingredients/finding"
)

// What a row says where one substance breaks it and another row about it is open.
func TestOneWordOnASubstance(t *testing.T) {
	run := handRun(t, "a", "1")
	row := &table.Limit{Annex: "III", Entry: "1", Row: table.Row{Key: "k", File: "limits.csv", Source: "Annex III/1"}}
	check := func(v LimitVerdict, name string) LimitCheck {
		return LimitCheck{Row: row, Substances: []string{name}, Verdict: v, LimitPct: ptr(num(t, "1")), HighestPct: ptr(num(t, "1")), Content: rangeOf(t, "2"), Missing: []string{"what"}, Shape: checkShape{open: true}}
	}
	assert.Equal(t, []string{"stop over-limit", "ask limit-undecided"}, codes(run.checkFindings([]LimitCheck{check(LimitUndecided, "A"), check(LimitExceeded, "A"), check(LimitUndecided, "B"), check(LimitKept, "C")}, 20261125)))

	c := check(LimitUndecided, "A")
	c.Shape.Doubt, c.Reason = "which entry", "it depends"
	f := run.ask(c, 20261125)
	assert.Equal(t, []string{"limit-entry", "the supplier", "ask the supplier for the plant part and preparation, and correct name and number in the sheet"}, []string{f.Code, f.Ask, f.Fix})
	c.Shape.Doubt = "CAS 1 stands for B, not for A"
	assert.Equal(t, "check name and number against the supplier's paper, and correct the sheet", run.ask(c, 20261125).Fix)
	c.Shape = checkShape{Kind: CheckProhibited, traces: true}
	f = run.ask(c, 20261125)
	assert.Equal(t, []string{"prohibited-trace", "the assessor"}, []string{f.Code, f.Ask})
	assert.Equal(t, "A is a trace of 2 % in the product and not permitted in any product", f.Message)
	assert.Contains(t, f.Why, "small traces that cannot be avoided in good manufacturing practice are allowed if the product is safe; Regulation (EC) 1223/2009 Article 17; Annex III/1")
	assert.Equal(t, "show the assessor that the trace cannot be avoided and that the product is safe with it, or take a purer material", f.Fix)
	c.Shape = checkShape{Kind: CheckProhibited}
	f = run.ask(c, 20261125)
	assert.Equal(t, []string{"maybe-prohibited", "the supplier"}, []string{f.Code, f.Ask})
	assert.Equal(t, "A may be up to 2 % of the product and is not permitted in any product", f.Message)
	assert.Equal(t, "ask the supplier for the exact content; where there is any, take another material", f.Fix)
	c.Shape = checkShape{Kind: checkResidue}
	f = run.ask(c, 20261125)
	assert.Equal(t, []string{"limit-undecided", "the supplier"}, []string{f.Code, f.Ask})
	c.Shape = checkShape{Kind: CheckFigure}
	f = run.ask(c, 20261125)
	assert.Equal(t, []string{"limit-undecided", "the maker", "ask the supplier for what"}, []string{f.Code, f.Ask, f.Fix})
	assert.Equal(t, finding.Ask, f.Severity)

	// the stops
	c = check(LimitExceeded, "A")
	c.Shape = checkShape{Kind: checkTogether}
	c.Reason = "may not be used together with B"
	assert.Equal(t, []string{"not-together", "A may not be used together with B", "take out one of them"}, stopWords(run, c))
	c.Shape = checkShape{Kind: CheckProhibited}
	assert.Equal(t, []string{"prohibited", "A is 2 % of the product, not permitted in any product", "take out A, or the material that brings it in; a trace that the supplier cannot avoid belongs under the impurities of its sheet"}, stopWords(run, c))
	c.Row = &table.Limit{Annex: "IV", Entry: "1"}
	assert.Equal(t, []string{"colourant-not-here", "A may not be used as a colourant here: it is listed for use in any product", "take another colourant for this type of product (body lotion or cream), or leave it out"}, stopWords(run, c))
	// where no material alone can mend it
	c = check(LimitExceeded, "A")
	c.Shape.plain = rangeOf(t, "2")
	assert.Equal(t, []string{"over-limit", "A is 2 % of the product, allowed 1 % in any product", "lower all of it: at most 1 % of A in all"}, stopWords(run, c))
	c.Content = rangeOf(t, "0.5-2")
	assert.Equal(t, "lower all of it: at most 1 % of A in all, or ask the supplier for the exact content", stopWords(run, c)[2])
}

func stopWords(run *Run, c LimitCheck) []string {
	f := run.stop(c, 20261125)
	return []string{f.Code, f.Message, f.Fix}
}

// What a row rests on, in words.
func TestWhyOfARow(t *testing.T) {
	run := handRun(t)
	row := table.Limit{Annex: "III", Entry: "5", Markets: []table.Market{table.EU, table.GB}, Row: table.Row{Key: "k", File: "limits.csv", Source: "Regulation X", Seen: "seen"}}
	assert.Equal(t, "Regulation X, annex III, entry 5, EU and GB (limits.csv, row k)", run.whyOf(&row, 20261125))
	row.From, row.Until, row.OffShelf = 20260101, 20280101, 20280701
	assert.Equal(t, "Regulation X, annex III, entry 5, EU and GB, from 2026-01-01 to 2028-01-01; stock placed on the market before may be sold until 2028-07-01 (limits.csv, row k)", run.whyOf(&row, 20261125))
	assert.NotContains(t, run.whyOf(&row, 20250101), "stock placed")
	assert.NotContains(t, run.whyOf(&row, 20280702), "stock placed")
	assert.Contains(t, run.whyOf(&row, 20280701), "stock placed")
	assert.Contains(t, run.whyOf(&row, 20260101), "stock placed")
	row = table.Limit{Annex: "III", Entry: "unseen-1", Row: table.Row{Key: "k", File: "limits.csv", Source: "Regulation X", Seen: "memory", Note: "Draft of 2026. More."}}
	assert.Contains(t, run.whyOf(&row, 20261125), "Regulation X, annex III, entry number not read")
	assert.Contains(t, run.whyOf(&row, 20261125), "(limits.csv, row k); not read in the source; draft of 2026")
	row = table.Limit{Annex: "own", Entry: "x", Own: true, Row: table.Row{Key: "k", File: "limits/own.csv", Source: "house rule", Seen: "seen"}}
	assert.Contains(t, run.whyOf(&row, 20261125), "your own rule k, house rule, ")
}
