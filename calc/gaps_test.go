package calc

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/exposure"
	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/dossier/words/wordstest"
	"gallipot/ingredients"
)

func gapsBy(r *Result, code string) []Gap {
	var out []Gap
	for _, g := range r.Gaps() {
		if g.Code == code {
			out = append(out, g)
		}
	}
	return out
}

func TestEverySubstanceHasAMarginOrAGap(t *testing.T) {
	m := formulatest.Sheet(t, "base", "Glycerin", "20", "Exemplum Acid", "10", "Xanthan Gum", "10", "Lead", "1",
		"Cadmium", "1", "Lactic Acid", "8")
	m.Composition.Complete = false
	m.Supplier.Name = "Alder Supplies (invented)"
	r := job(t, "body-lotion", "50", m, nil)
	listed := map[string]bool{}
	for _, g := range r.Gaps() {
		assert.NotEmpty(t, g.Missing, g.Subject)
		assert.NotEmpty(t, g.Why, g.Subject)
		assert.NotEmpty(t, g.Ask, g.Subject)
		listed[g.Subject] = true
	}
	for _, x := range r.Margins {
		answered := x.Verdict != exposure.MarginNone || x.None == exposure.NoMarginNotNeeded || x.None == exposure.NoMarginNotAbsorbed
		assert.Equal(t, !answered, listed[x.INCI], x.INCI)
	}
	assert.Equal(t, "Alder Supplies (invented), else the assessor", gapsBy(r, "no-pod")[0].Ask)
	assert.Len(t, gapsBy(r, "undeclared"), 1)
	assert.Len(t, gapsBy(r, "ttc-only"), 1)
	fs := foundBy(r, "no-point-of-departure")
	require.Len(t, fs, 1, "one finding for all of them")
	assert.Contains(t, wordstest.Said(fs[0]).Items, "Exemplum Acid")
}

func TestMemoryIsAskedOnceForEachTable(t *testing.T) {
	r := job(t, "hand-cream", "10", formulatest.Sheet(t, "m", "Phenoxyethanol", "10", "Urea", "90"), nil)
	rows := map[string]bool{}
	tables := map[string]int{}
	for _, g := range gapsBy(r, "memory") {
		tables[g.Subject]++
		assert.Equal(t, "the assessor", g.Ask)
	}
	assert.Equal(t, map[string]int{"exposure.csv": 1, "facts.csv": 1, "tox-values.csv": 1, "tox-use.csv": 1}, tables)
	require.Len(t, foundBy(r, "figures-unverified"), 1)
	assert.Contains(t, wordstest.Said(foundBy(r, "figures-unverified")[0]).Items, "tox-values.csv Urea")
	for _, f := range r.MemoryFigures() {
		assert.False(t, rows[f.Table+f.Row], "a row is named once")
		assert.NotEqual(t, "seen", f.Seen)
		rows[f.Table+f.Row] = true
	}
	assert.True(t, rows["tox-values.csvUrea"])
	assert.True(t, rows["exposure.csvhand-cream"])
	assert.True(t, rows["facts.csvdermal-absorption-default"])
}

func TestScentGaps(t *testing.T) {
	fo := formulatest.ScentSheet("fo")
	fo.Supplier.Name = "Heath Scents (invented)"
	r := job(t, "body-lotion", "1", fo, nil)
	require.Len(t, gapsBy(r, "not-disclosed"), 1)
	assert.Equal(t, "Heath Scents (invented)", gapsBy(r, "not-disclosed")[0].Ask)
	fo.Composition.HeldByAssessor = true
	r = job(t, "body-lotion", "1", fo, nil)
	assert.Empty(t, gapsBy(r, "not-disclosed"))
	assert.Equal(t, "the assessor", gapsBy(r, "held-by-assessor")[0].Ask)
}

func TestTraceStatementsAreAskedOfSuppliers(t *testing.T) {
	r := job(t, "body-lotion", "1",
		formulatest.Traced(t, formulatest.Sheet(t, "m", "Glycerin", "100"), "Diethylene glycol", "<100 ppm"), nil)
	gaps := gapsBy(r, "no-impurities")
	require.Len(t, gaps, 1)
	assert.Equal(t, "water", gaps[0].Subject, "the sheet that declares a trace is not asked")
}

func TestExposureGaps(t *testing.T) {
	for kind, code := range map[string]string{"nail-oil": "no-exposure", "bath-bomb": "exposure-proxy",
		"bar-soap": "exposure-mean"} {
		r := job(t, kind, "1", formulatest.Sheet(t, "m", "Glycerin", "100"), nil)
		assert.Len(t, gapsBy(r, code), 1, kind)
	}
	assert.Len(t, gapsBy(job(t, "face-mist", "1", formulatest.Sheet(t, "m", "Glycerin", "100"), nil),
		"inhalation-shares"), 1)
	assert.Len(t, gapsBy(job(t, "mouth-spray", "1", formulatest.Sheet(t, "m", "Glycerin", "100"), nil),
		"no-inhalation"), 1)
}

// Gaps: what is missing, and who has it.
func TestGapsInWords(t *testing.T) {
	codesOfGaps := func(r *Result) map[string]int {
		n := map[string]int{}
		for _, g := range r.Gaps() {
			n[g.Code]++
		}
		return n
	}
	r := job(t, "body-lotion", "1", formulatest.Sheet(t, "m", "Cocamidopropyl Betaine", "100"), nil)
	n := codesOfGaps(r)
	assert.Equal(t, 0, n["child-exposure"])
	assert.Equal(t, 0, n["no-skin-area"])
	require.Len(t, gapsBy(r, "absorption-default"), 1)
	assert.Contains(t, gapsBy(r, "absorption-default")[0].Subject, "Cocamidopropyl Betaine")
	assert.Equal(t, "dermal absorption measured on human skin", gapsBy(r, "absorption-default")[0].Missing)

	p := formulatest.WithFormula(t, formula.Percent, "water", "q.s.", "m", "1")
	p.IntendedFor = formula.ChildrenThree
	r = assessed(t, p, &formula.Variant{}, "body-lotion", rows.EU, 20261125,
		formulatest.Sheet(t, "m", "Glycerin", "100"), formulatest.Sheet(t, "water", "Aqua", "100"))
	assert.Equal(t, 1, codesOfGaps(r)["child-exposure"])

	// a trace without a value is a gap too
	r = job(t, "body-lotion", "1",
		formulatest.Impure(t, formulatest.Sheet(t, "m", "Glycerin", "100"), "Exemplum Trace", "0.1"), nil)
	var subjects []string
	for _, g := range gapsBy(r, "no-pod") {
		subjects = append(subjects, g.Subject)
	}
	assert.Contains(t, subjects, "Exemplum Trace")

	// what went to the assessor in confidence, only where all of it did
	secret := func(held bool) []Gap {
		a, b := formulatest.ScentSheet("fo-a"), formulatest.ScentSheet("fo-b")
		a.Composition.HeldByAssessor, b.Composition.HeldByAssessor = true, held
		r := assessed(t, formulatest.WithFormula(t, formula.Percent, "base", "q.s.", "fo-a", "0.1", "fo-b", "0.1"),
			&formula.Variant{}, "body-lotion", rows.EU, 20261125, formulatest.Squalane(t), a, b)
		return append(gapsBy(r, "held-by-assessor"), gapsBy(r, "not-disclosed")...)
	}
	require.Len(t, secret(true), 1)
	assert.Equal(t, "held-by-assessor", secret(true)[0].Code)
	assert.Equal(t, "the assessor", secret(true)[0].Ask)
	require.Len(t, secret(false), 1)
	assert.Equal(t, "not-disclosed", secret(false)[0].Code)
	part := formulatest.Supplied(formulatest.Sheet(t, "m", "Glycerin", "40"), "Alder Supplies (invented)", "")
	part.Composition.Complete = false
	r = job(t, "body-lotion", "1", part, nil)
	require.Len(t, gapsBy(r, "undeclared"), 1)
	assert.Equal(t, "Alder Supplies (invented)", gapsBy(r, "undeclared")[0].Ask)
	part.Composition.HeldByAssessor = true
	r = job(t, "body-lotion", "1", part, nil)
	assert.Empty(t, gapsBy(r, "undeclared"))
	require.Len(t, gapsBy(r, "held-by-assessor"), 1)

	g := gapList{In: &formula.Input{Session: formulatest.Session(table.Builtin()),
		Sheets: map[string]*ingredients.Sheet{"a": formulatest.Supplied(formulatest.ScentSheet("a"), "Alder", ""),
			"b": formulatest.ScentSheet("b")}}}
	assert.Equal(t, "Alder, the supplier of b, the supplier of c",
		g.SuppliersOf([]formula.Contribution{{Ingredient: "a"}, {Ingredient: "b"}, {Ingredient: "a"}, {Ingredient: "c"}}))
	_, held := g.HeldByAssessor(nil)
	assert.False(t, held)
	assert.Equal(t, []string{"1 row", "0 rows", "2 rows"},
		[]string{exposure.CountOf(1, "row"), exposure.CountOf(0, "row"), exposure.CountOf(2, "row")})
	assert.Equal(t, "a; b (partly)",
		exposure.RowNames([]exposure.MemoryFigure{{Row: "a", Seen: "memory"}, {Row: "b", Seen: "partly"}}))
	groups := exposure.ByTable([]exposure.MemoryFigure{{Table: "x", Row: "1"}, {Table: "x", Row: "2"},
		{Table: "y", Row: "1"}})
	require.Len(t, groups, 2)
	assert.Len(t, groups[0], 2)
}
