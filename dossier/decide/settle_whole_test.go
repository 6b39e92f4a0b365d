package decide_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/rows"
	"gallipot/dossier/assess"
	"gallipot/dossier/decide"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// markOf is the mark of the one ask of a code.
func markOf(t *testing.T, a *assess.Assessment, code string) string {
	t.Helper()
	asks := of(a, finding.Ask, code)
	require.NotEmpty(t, asks, code)
	return decide.Mark(&asks[0])
}

func TestSettle(t *testing.T) {
	before := assessed(t, files(""), today)
	values := "values: " + markOf(t, before, "no-stability")

	t.Run("the ask stays listed, as decided", func(t *testing.T) {
		a := assessed(t, files(decision("code: no-stability", "subject: Tide", values)), today)
		settled := of(a, finding.Decided, "no-stability")
		require.Len(t, settled, 1)
		assert.Equal(t, "asked on the telephone", settled[0].Decided.Text)
		assert.Equal(t, "I. Nobody", settled[0].Decided.By)
		assert.Equal(t, exact.Date(20261101), settled[0].Decided.Date)
		assert.Empty(t, of(a, finding.Ask, "no-stability"))
		assert.Len(t, a.Findings, len(before.Findings))
		assert.Equal(t, finding.Count(before.Findings).Ask-1, finding.Count(a.Findings).Ask)
	})
	t.Run("the figures and their fingerprint are the same", func(t *testing.T) {
		a := assessed(t, files(decision("code: no-stability", values)), today)
		assert.Equal(t, before.Fingerprint, a.Fingerprint)
	})
	t.Run("a line more above the values opens nothing", func(t *testing.T) {
		a := assessed(t, files("\n# a remark\n"+decision("code: no-stability", values)), today)
		assert.Len(t, of(a, finding.Decided, "no-stability"), 1)
	})
	t.Run("a decision of the workshop counts for every product", func(t *testing.T) {
		fsys := files("")
		fsys["workshop.yaml"].Data = []byte(shop + decision("code: no-stability", values))
		a := assessed(t, fsys, today)
		assert.Len(t, of(a, finding.Decided, "no-stability"), 1)
		assert.Equal(t, before.Fingerprint, a.Fingerprint)
	})
	t.Run("not before its day", func(t *testing.T) {
		a := assessed(t, files(decision("code: no-stability", values)), 20261031)
		assert.Empty(t, of(a, finding.Decided, "no-stability"))
	})
	t.Run("until the day and not on it", func(t *testing.T) {
		more := decision("code: no-stability", values, "until: 2026-11-26")
		assert.Len(t, of(assessed(t, files(more), 20261125), finding.Decided, "no-stability"), 1)
		a := assessed(t, files(more), 20261126)
		assert.Empty(t, of(a, finding.Decided, "no-stability"))
		assert.Len(t, of(a, finding.Note, "decision-ended"), 1)
	})
	t.Run("without the values nothing is settled", func(t *testing.T) {
		a := assessed(t, files(decision("code: no-stability")), today)
		assert.Len(t, of(a, finding.Ask, "no-stability"), 1)
		unbound := of(a, finding.Ask, "decision-unbound")
		require.Len(t, unbound, 1)
		v, _ := unbound[0].Values.Get("values")
		assert.Equal(t, "values: "+v.Text, values)
	})
	t.Run("a newer decision takes the place of one that no longer holds", func(t *testing.T) {
		a := assessed(t, files("decisions:\n"+
			"  - {code: no-stability, subject: Tide, values: v0000000000, decision: one, by: I. Nobody, date: 2026-10-01}\n"+
			"  - {code: no-stability, subject: Tide, "+values+", decision: two, by: I. Nobody, date: 2026-11-01}\n"), today)
		require.Len(t, of(a, finding.Decided, "no-stability"), 1)
		assert.Equal(t, "two", of(a, finding.Decided, "no-stability")[0].Decided.Text)
		assert.Empty(t, of(a, finding.Note, "decision-changed"))
	})
}

// The declaration of a fragrance is asked for in the variants that have it.
func TestSettleVariants(t *testing.T) {
	const code = "no-declaration"
	before := assessed(t, files(""), today)
	asks := of(before, finding.Ask, code)
	require.Len(t, asks, 1)
	require.Equal(t, []string{"tide/moor", "tide/dune"}, asks[0].Variants)
	values := "values: " + decide.Mark(&asks[0])

	t.Run("for one of them the others stay open", func(t *testing.T) {
		a := assessed(t, files(decision("code: "+code, "variant: moor", values)), today)
		settled, open := of(a, finding.Decided, code), of(a, finding.Ask, code)
		require.Len(t, settled, 1)
		require.Len(t, open, 1)
		assert.Equal(t, []string{"tide/moor"}, settled[0].Variants)
		assert.Equal(t, []string{"tide/dune"}, open[0].Variants)
	})
	t.Run("for a variant that has it not nothing is settled", func(t *testing.T) {
		a := assessed(t, files(decision("code: "+code, "variant: plain", values)), today)
		assert.Empty(t, of(a, finding.Decided, code))
		assert.Len(t, of(a, finding.Note, "decision-changed"), 1)
	})
	t.Run("one of several variants checked alone is decided too", func(t *testing.T) {
		a := assessed(t, files(decision("code: "+code, values)), today).Only([]string{"moor"})
		assert.Len(t, of(a, finding.Decided, code), 1)
	})
	t.Run("of a part of the variants a decision on others is not called idle", func(t *testing.T) {
		a := assessed(t, files(decision("code: "+code, values)), today).Only([]string{"plain"})
		assert.Empty(t, of(a, finding.Note, "decision-unmatched"))
	})
	t.Run("for a market alone the other stays open", func(t *testing.T) {
		a := assessed(t, files(decision("code: "+code, "market: GB", values)), today)
		assert.Empty(t, of(a, finding.Decided, code))
		a = assessed(t, files(decision("code: "+code, "market: GB", values)), today,
			func(o *assess.Options) { o.Markets = []rows.Market{rows.GB} })
		assert.Len(t, of(a, finding.Decided, code), 1)
	})
}

// A stop is never decided away, whatever a decision says.
func TestSettleStop(t *testing.T) {
	fsys := files("")
	fsys["products/tide.yaml"].Data = []byte(notHundred)
	a := assessed(t, fsys, today)
	stops := of(a, finding.Stop, "not-100")
	require.NotEmpty(t, stops)
	fsys["products/tide.yaml"].Data = []byte(notHundred + decision("code: not-100", "values: "+decide.Mark(&stops[0])))
	a = assessed(t, fsys, today)
	assert.NotEmpty(t, of(a, finding.Stop, "not-100"))
	assert.Empty(t, of(a, finding.Decided, "not-100"))
	assert.NotEmpty(t, of(a, finding.Ask, "decision-on-stop"))
}

const notHundred = `id: tide
name: Tide
revision: 1
product_type: body-lotion
intended_for: adults
net_content: {g: 100}
formula: {basis: percent, phases: [{id: A, lines: [{ingredient: water, amount: 90}]}]}
`

func TestOn(t *testing.T) {
	a := assessed(t, files(""), today)
	asks := of(a, finding.Ask, "no-declaration")
	require.Len(t, asks, 1)

	d, ok := decide.On(a, &asks[0], "")
	assert.True(t, ok)
	assert.Equal(t, workshop.Decision{Code: "no-declaration", Subject: "Moor",
		Variants: []string{"moor", "dune"}, Values: decide.Mark(&asks[0]), Date: today}, d)
	d, ok = decide.On(a, &asks[0], "dune")
	assert.True(t, ok)
	assert.Equal(t, []string{"dune"}, d.Variants)
	_, ok = decide.On(a, &asks[0], "plain")
	assert.False(t, ok)
}
