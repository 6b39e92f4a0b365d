package table_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law"
	"gallipot/calc/law/condition"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/calc/law/trade"
	"gallipot/ingredients/exact"
)

// Keys that stand in the code and not in a table are a programmer's mistake.
func TestUnknownKeysPanic(t *testing.T) {
	tables := table.Builtin()
	assert.PanicsWithValue(t, "law: no label rule L0", func() { law.LabelRule(tables, "L0") })
	assert.PanicsWithValue(t, "law: no stability row Z9", func() { law.StabilityRow(tables, "Z9") })
	assert.PanicsWithValue(t, "law: no dossier item Z9", func() { law.DossierItem(tables, "Z9") })
	assert.PanicsWithValue(t, "law: no figure in stability row C17", func() { law.StabilityNumber(tables, "C17") })
}

// Figures and rows by their keys, as the tables print them.
func TestRowsByKey(t *testing.T) {
	tables := table.Builtin()
	assert.Equal(t, "100", law.StabilityNumber(tables, "L1").Exact(), "ISO 17516, CFU per g, eyes and under three")
	assert.Equal(t, "1000", law.StabilityNumber(tables, "L2").Exact(), "ISO 17516, CFU per g, others")
	assert.Equal(t, "P1", law.DossierItem(tables, "P1").Key)
	assert.Len(t, law.AllergenRows(tables), 109)
	assert.Len(t, law.Dossier(tables), 85)
	assert.Len(t, law.Stability(tables), 147)
	bar, _ := law.ProductType(tables, "bar-soap")
	lotion, _ := law.ProductType(tables, "body-lotion")
	assert.True(t, bar.Judged, "its links are judgement")
	assert.False(t, lotion.Judged)
	guide := tables.TraceGuideRows()[slices.IndexFunc(tables.TraceGuideRows(),
		func(g *trade.TraceGuide) bool { return g.Key == "bvl-lead" })]
	assert.True(t, guide.Covers("pb", ""))
	assert.True(t, guide.Covers("an unknown word", "7439-92-1"))
	assert.False(t, guide.Covers("an unknown word", ""))
}

// Where the preservative annex names a substance twice, the day decides: triclosan
// and the like have rows with an end.
func TestListedIsRemembered(t *testing.T) {
	tables := table.Builtin()
	for range 2 { // the second answer comes from memory
		assert.True(t, law.IsPreservative(tables, "Sorbic Acid", "", rows.EU, day(t, "2026-11-25")))
		assert.False(t, law.IsPreservative(tables, "Glycerin", "", rows.EU, day(t, "2026-11-25")))
		assert.True(t, law.IsUVFilter(tables, "Octocrylene", "", rows.GB, day(t, "2026-11-25")))
	}
}

func TestWordsOfConditions(t *testing.T) {
	c, err := condition.Parse("leave-on & population=under-3 & professional")
	require.NoError(t, err)
	assert.True(t, c.Mentions("population"))
	assert.True(t, c.Mentions("professional"))
	assert.False(t, c.Mentions("nano"))
	assert.Equal(t, []string{"unknown", "no", "yes"}, []string{law.Unknown.String(), law.No.String(), law.Yes.String()})
	butadiene, err := condition.Parse("butadiene>=0.1")
	require.NoError(t, err)
	assert.Equal(t, "butadiene>=0.1", butadiene.Clauses[0].Terms[0].String())
	assert.Equal(t, "population=under-3", c.Clauses[1].Terms[0].String())
	assert.Equal(t, "leave-on", c.Clauses[0].Terms[0].String())
}

// A reading that is made for one label name comes behind those of the whole row.
func TestReadingOfOneName(t *testing.T) {
	uses := law.ToxUses(table.Builtin(), "Cetrimonium / behentrimonium salts", "Cetrimonium Chloride")
	require.NotEmpty(t, uses)
	assert.True(t, uses[len(uses)-1].DermalUnfit, "the absorption measured is that of the longer chain")
	for _, u := range law.ToxUses(table.Builtin(), "Cetrimonium / behentrimonium salts", "Behentrimonium Chloride") {
		assert.False(t, u.DermalUnfit)
	}
	assert.Equal(t, exact.Int(25),
		law.Fact(table.Builtin(), law.ToxUses(table.Builtin(), "2-Phenoxyethanol", "Phenoxyethanol")[0].Target).Number)
}
