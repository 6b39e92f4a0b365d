package calc

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law"
	"gallipot/ingredients"
)

// A challenge test is passed only by what is shown for all organisms. ISO 11930 as in
// stability-micro.csv, rows C18 to C20.
func TestVerdictOfAChallenge(t *testing.T) {
	missing := []string{"E. coli"}
	for _, c := range []struct {
		r    ChallengeResult
		want string
	}{
		{ChallengeResult{A: MicroPass, B: MicroPass}, "A"}, {ChallengeResult{A: MicroPass, B: MicroPass, Missing: missing}, "open"},
		{ChallengeResult{A: MicroFail, B: MicroPass}, "B"}, {ChallengeResult{A: MicroFail, B: MicroPass, Missing: missing}, "open"},
		{ChallengeResult{A: MicroQuery, B: MicroPass}, "open"}, {ChallengeResult{A: MicroFail, B: MicroQuery}, "open"}, {ChallengeResult{A: MicroFail, B: MicroFail}, "fail"},
		{ChallengeResult{A: MicroFail, B: MicroFail, Missing: missing}, "fail"},
	} {
		assert.Equal(t, c.want, c.r.Verdict(), "%+v", c.r)
	}
}

// Old stock without the newer names: Regulation (EU) 2023/1545, new products from
// 2026-07-31, stock to 2028-07-31.
func TestOldStockInWords(t *testing.T) {
	in := &Input{Session: testSession(law.Builtin()), Product: &Product{ID: "test"}, Market: law.EU, Date: 20261125}
	total := func(name, regime string, until ingredients.Date, v Verdict) AllergenTotal {
		return AllergenTotal{LabelName: name, Verdict: v, Row: &law.Allergen{Regime: regime, From: 20260731, Until: until}}
	}
	all := []AllergenTotal{total("Menthol", "2023-list", 20280731, Declare), total("Pinene", "2023-list", 20280731, Open), total("Linalool", "2003-list", 20280731, Declare),
		total("Camphor", "2023-list", 20280731, Below), total("Vanillin", "2023-list", 0, Declare), total("Anethole", "2023-list", 20261124, Declare)}
	fs := oldStock(in, all)
	require.Equal(t, []string{"note old-stock"}, codes(fs))
	assert.Equal(t, "stock placed on the EU market before 2026-07-31 without Menthol and Pinene on its label may be sold until 2028-07-31", said(fs[0]).Message)
	assert.Equal(t, "from 2028-08-01 relabel or withdraw what is left of it", said(fs[0]).Fix)
	in.Date = 20280731
	assert.Len(t, oldStock(in, all), 1, "the last day")
	in.Date = 20280801
	assert.Empty(t, oldStock(in, all))
}

func TestMarksAndGapsOfValues(t *testing.T) {
	row := &law.Tox{Row: law.Row{Key: "r", File: "tox-values.csv", Source: "book", Seen: "seen"}}
	k := &knowledge{published: &published{uses: map[*law.Tox]law.ToxUse{row: {AbsorptionSeen: "memory"}}}}
	assert.Equal(t, Stated{Value: 5, Source: "book", Table: "tox-values.csv", Row: "r", Seen: "memory"}, k.absorption(row, &law.Figure{Value: 5}))
	k.uses[row] = law.ToxUse{}
	assert.Equal(t, "seen", k.absorption(row, &law.Figure{Value: 5}).Seen)

	// a Cramer class screens and is no value: one gap, not two
	m := sheet(t, "m", "Exemplum Acid", "100")
	tox(t, m, "", "", "", "").CramerClass = "III"
	r := job(t, "body-lotion", "1", m, nil)
	require.Len(t, gapsBy(r, "ttc-only"), 1)
	for _, g := range gapsBy(r, "no-pod") {
		assert.NotEqual(t, "Exemplum Acid", g.Subject)
	}

	// without a lye named, the lye that is safe is told as KOH
	p := potashSoap(t, func(p *Product, _ *ingredients.Sheet) { p.Saponify.Alkali = nil })
	assert.Equal(t, "9", p.Reactions[0].SafePct.Exact())

	// what a spray puts into the lungs is the same as a fraction and as a float
	in := exposureInput(t, "deodorant-aerosol", Adults, nil)
	e, _ := ExposureOf(in)
	h := InhalationOf(in, e)
	require.True(t, h.Known())
	assert.InEpsilon(t, h.MgPerKg, h.exactMgPerKg().Float(), 1e-12)
}

// What conditions, words and rows that do not apply are read as.
func TestReadingOfFacts(t *testing.T) {
	assert.Equal(t, []string{"a", "b", "c", "d"}, nameWords("A B-C/d"))
	for _, word := range []string{"ADI", "TDI", "TWI", "PTWI", "UL", "ARfD", "RfD", "DNEL", "tolerable intake", "acceptable intake"} {
		assert.Equal(t, podIntake, kindOf(law.Builtin(), word), word)
	}
	powder := material(t, "m", "emollient", "CI 77891", "100")
	powder.Form = "powder"
	in := &Input{Session: testSession(law.Builtin()), Sheets: map[string]*ingredients.Sheet{"m": powder}, Materials: map[string]*Material{}}
	s := brought(t, "CI 77891", "m", "1").s
	assert.Equal(t, []string{fnOther, fnColorant}, rolesOf(in, s).main)
	assert.Equal(t, []string{fnOther, fnColorant}, rolesOf(in, s).all)
	assert.Equal(t, law.No, useSituation(in, law.Situation{}, s).Massive)
	powder.Form = "solid"
	assert.Equal(t, law.Unknown, useSituation(in, law.Situation{}, s).Massive)

	run := handRun(t, "a", "1")
	c := LimitCheck{Row: &law.Limit{Annex: "III", Entry: "1", MaxPct: ptr(num(t, "1"))}}
	run.show(&c, []*limitUse{brought(t, "A", "a", "2")})
	assert.Equal(t, "2", c.Content.Max.Exact())
	assert.Nil(t, c.HighestPct, "nothing is allowed or forbidden by a row that does not apply")
	assert.Empty(t, c.Room)
	c = run.prohibit(c, []term{{u: brought(t, "A", "a", "2"), factor: ingredients.Int(1), own: true}}, answer{Answer: law.Answer{Verdict: law.Undecided, Missing: []string{law.MissingFunction}}})
	assert.Equal(t, "2", c.Content.Max.Exact(), "what may hold counts too")
}
