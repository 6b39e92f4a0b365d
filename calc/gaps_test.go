package calc

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/exposure"
)

func gapsBy(r *Result, code string) []Gap {
	var out []Gap
	for _, g := range r.Gaps {
		if g.Code == code {
			out = append(out, g)
		}
	}
	return out
}

func TestEverySubstanceHasAMarginOrAGap(t *testing.T) {
	m := sheet(t, "base", "Glycerin", "20", "Exemplum Acid", "10", "Xanthan Gum", "10", "Lead", "1", "Cadmium", "1", "Lactic Acid", "8")
	m.Composition.Complete = false
	m.Supplier.Name = "Alder Supplies (invented)"
	r := job(t, "body-lotion", "50", m, nil)
	listed := map[string]bool{}
	for _, g := range r.Gaps {
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
	assert.Contains(t, said(fs[0]).Items, "Exemplum Acid")
}

func TestMemoryIsAskedOnceForEachTable(t *testing.T) {
	r := job(t, "hand-cream", "10", sheet(t, "m", "Phenoxyethanol", "10", "Urea", "90"), nil)
	rows := map[string]bool{}
	tables := map[string]int{}
	for _, g := range gapsBy(r, "memory") {
		tables[g.Subject]++
		assert.Equal(t, "the assessor", g.Ask)
	}
	assert.Equal(t, map[string]int{"exposure.csv": 1, "facts.csv": 1, "tox-values.csv": 1, "tox-use.csv": 1}, tables)
	require.Len(t, foundBy(r, "figures-unverified"), 1)
	assert.Contains(t, said(foundBy(r, "figures-unverified")[0]).Items, "tox-values.csv Urea")
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
	fo := scentSheet("fo")
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
	r := job(t, "body-lotion", "1", traced(t, sheet(t, "m", "Glycerin", "100"), "Diethylene glycol", "<100 ppm"), nil)
	gaps := gapsBy(r, "no-impurities")
	require.Len(t, gaps, 1)
	assert.Equal(t, "water", gaps[0].Subject, "the sheet that declares a trace is not asked")
}

func TestExposureGaps(t *testing.T) {
	for kind, code := range map[string]string{"nail-oil": "no-exposure", "bath-bomb": "exposure-proxy", "bar-soap": "exposure-mean"} {
		r := job(t, kind, "1", sheet(t, "m", "Glycerin", "100"), nil)
		assert.Len(t, gapsBy(r, code), 1, kind)
	}
	assert.Len(t, gapsBy(job(t, "face-mist", "1", sheet(t, "m", "Glycerin", "100"), nil), "inhalation-shares"), 1)
	assert.Len(t, gapsBy(job(t, "mouth-spray", "1", sheet(t, "m", "Glycerin", "100"), nil), "no-inhalation"), 1)
}
