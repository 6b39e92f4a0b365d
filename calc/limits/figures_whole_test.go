package limits_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/calctest"
	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law/rows"
	"gallipot/calc/limits"
)

// Contents are told with four digits, limits as the law has them, and what would do is cut
// down. Phenoxyethanol: 1 % (V/29). By hand: of 12.3456 % of a material that is 9 to 10 %,
// 1.111104 to 1.23456 %, and 10 % of the material would do.
func TestFiguresOfLimits(t *testing.T) {
	c := calctest.Case{Product: "body-lotion"}
	blend := formulatest.Material(t, "blend", "preservative", "Phenoxyethanol", "9-10", "Glycerin", "q.s.")
	r := c.Of(t, blend, "12.3456")
	f := calctest.Finding(t, r, "over-limit")
	assert.Equal(t, []string{"1.111 to 1.235", "1"}, []string{calctest.Shown(t, f, "content"),
		calctest.Shown(t, f, "limit")})
	ways, ok := f.Values.Get("ways")
	require.True(t, ok)
	require.Len(t, ways.List, 1)
	assert.NotNil(t, f.Settle)
	_, exactly := f.Values.Get("exact")
	assert.False(t, exactly, "all of the range is above the limit")
	assert.Len(t, f.Sum, 1)
	assert.Equal(t, "1.23456", f.Grade.Exact())
	r = c.Of(t, formulatest.Supplied(formulatest.Material(t, "blend", "preservative", "Phenoxyethanol", "5-10",
		"Glycerin", "q.s."), "Alder Supplies (invented)", ""), "12.3456")
	f = calctest.Finding(t, r, "over-limit")
	_, exactly = f.Values.Get("exact")
	assert.True(t, exactly, "the range begins below the limit")
	assert.Len(t, f.Who, 2)

	// two materials of two functions each: both lines could be reduced
	r = c.Of(t, blend, "6.17284", formulatest.Material(t, "other", "preservative", "Phenoxyethanol", "100"), "0.61728")
	f = calctest.Finding(t, r, "over-limit")
	ways, _ = f.Values.Get("ways")
	assert.Len(t, ways.List, 2)
	_, others := f.Values.Get("others")
	assert.True(t, others)

	// a draft: 0.0123456 % of a substance that it would ban
	r = calctest.Case{Product: "face-cream", Market: rows.GB}.Of(t,
		formulatest.Pure(t, "skin conditioning", "N,N-Methylenebisacrylamide"), "0.0123456")
	f = calctest.Finding(t, r, "draft-law")
	assert.Equal(t, "0.01235", calctest.Shown(t, f, "content"))
	assert.NotEmpty(t, f.Sum)

	// prohibited, and in a range that begins at 0
	gone := formulatest.Material(t, "x", "solvent", "Benzene", "0-12.3456", "Glycerin", "q.s.")
	f = calctest.Finding(t, c.Of(t, gone, "10"), "maybe-prohibited")
	assert.Equal(t, "1.235", calctest.Shown(t, f, "most"))
	f = calctest.Finding(t, c.Of(t, formulatest.Material(t, "x", "solvent", "Benzene", "12.3456", "Glycerin", "q.s."),
		"10"), "prohibited")
	assert.Equal(t, "1.235", calctest.Shown(t, f, "content"))
}

// A number that belongs to another substance than the name says: which it is decides, and
// both are told. 111-46-6 is diethylene glycol (III/186).
func TestNumberAgainstName(t *testing.T) {
	r := calctest.Case{Product: "body-lotion"}.Of(t,
		formulatest.Coded(formulatest.Material(t, "x", "humectant", "Glycerin", "100"), "111-46-6"), "5.12345")
	f := calctest.Finding(t, r, "limit-entry")
	assert.Equal(t, "number", f.Form)
	cas, _ := f.Values.Get("cas")
	others, _ := f.Values.Get("others")
	assert.Equal(t, "111-46-6", cas.Text)
	require.NotEmpty(t, others.List)
	assert.Equal(t, "5.123", calctest.Shown(t, f, "content"))
	sheets, _ := f.Values.Get("sheets")
	require.Len(t, sheets.List, 1)
	assert.Equal(t, "x", sheets.List[0].ID)
}

// A content that only part of counts, by the table's words: cocamide DEA 3.21 %, at most 0.5 %
// of secondary amine (III/60).
func TestCountedPart(t *testing.T) {
	s := formulatest.Material(t, "dea", "foam boosting", "Cocamide DEA", "100")
	r := calctest.Case{Product: "shower-gel"}.Of(t, s, "3.214567")
	c := checkOf(t, r, "III-60-eugb-01")
	assert.Equal(t, limits.LimitUndecided, c.Verdict)
	assert.Equal(t, "0.5", c.LimitPct.Exact())
	// in several materials and portions the check is the same
	in := *r.Input
	in.Shared = &formula.Shared{}
	checks, _ := limits.Limits(&in, r.Compositions)
	for i, x := range checks {
		assert.Equal(t, r.Limits[i].Verdict, x.Verdict)
		assert.Equal(t, r.Limits[i].Reason, x.Reason)
	}
}
