package law

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/annex"
	"gallipot/calc/law/claims"
	"gallipot/calc/law/duties"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/rows/rowstest"
	"gallipot/calc/law/safety"
	"gallipot/calc/law/table"
	"gallipot/calc/law/trade"
	"gallipot/ingredients/exact"
)

// Rows by their keys, places and bounds.
func TestRowsOfDuties(t *testing.T) {
	caution := func(key, where string) *duties.Caution { return &duties.Caution{Row: rows.Row{Key: key}, Where: where} }
	rule := func(key, part string, above, upTo int64) *duties.LabelRule {
		low, high := exact.Int(above), exact.Int(upTo)
		return &duties.LabelRule{Row: rows.Row{Key: key}, Part: part, Above: &low, UpTo: &high}
	}
	one := exact.Int(1)
	tables := &table.Tables{
		Cautions:   []*duties.Caution{caution("H1", "making"), caution("H2", "workplace"), caution("H3", "making")},
		LabelRules: []*duties.LabelRule{rule("L1", "unit", 0, 10), rule("L2", "height", 0, 50), rule("L3", "height", 50, 200)},
		Countries:  []*duties.Country{{Row: rows.Row{Key: "AD"}}, {Row: rows.Row{Key: "ZW"}}},
		Stability:  []*safety.StabilityItem{{Row: rows.Row{Key: "S1"}}, {Row: rows.Row{Key: "S2"}, Number: &one}},
		Dossier:    []*duties.DossierItem{{Row: rows.Row{Key: "P1"}}, {Row: rows.Row{Key: "P2"}}},
		TQuantiles: []*safety.TQuantile{{Degrees: 1}, {Degrees: 2}, {Degrees: 30}},
	}
	assert.Equal(t, []*duties.Caution{tables.Cautions[0], tables.Cautions[2]}, Cautions(tables, "making"))
	assert.Same(t, tables.Cautions[1], Caution(tables, "H2"))
	assert.Panics(t, func() { Caution(tables, "H4") })
	assert.Equal(t, tables.LabelRules[1:], LabelRules(tables, "height"))
	assert.Same(t, tables.LabelRules[2], LabelRule(tables, "L3"))
	for figure, want := range map[int64]*duties.LabelRule{5: tables.LabelRules[1], 50: tables.LabelRules[1],
		51: tables.LabelRules[2], 201: nil} {
		assert.Same(t, want, LabelBand(tables, "height", exact.Int(figure)), "%d", figure)
	}
	for code, want := range map[string]*duties.Country{"AD": tables.Countries[0], "ZW": tables.Countries[1]} {
		got, ok := Country(tables, code)
		assert.True(t, ok)
		assert.Same(t, want, got)
	}
	_, ok := Country(tables, "XX")
	assert.False(t, ok)
	assert.Same(t, tables.Stability[1], StabilityRow(tables, "S2"))
	assert.Equal(t, "1", StabilityNumber(tables, "S2").Exact())
	assert.Panics(t, func() { StabilityNumber(tables, "S1") })
	assert.Same(t, tables.Dossier[1], DossierItem(tables, "P2"))
	for degrees, want := range map[int]*safety.TQuantile{0: nil, 1: tables.TQuantiles[0], 2: tables.TQuantiles[1],
		29: tables.TQuantiles[1], 30: tables.TQuantiles[2], 400: tables.TQuantiles[2]} {
		assert.Same(t, want, TQuantile(tables, degrees), "%d", degrees)
	}
}

// Claims are read by the rules of the market, and directions by those that are for them.
func TestRulesOfClaims(t *testing.T) {
	cell := rowstest.Cells{"id": "A", "kind": "medicinal", "severity": "stop", "market": "EU+GB", "reads": "all",
		"patterns": "sheep/heal", "why": "w", "fix": "f", "source": "s", "seen": "seen"}
	read, err := claims.ReadClaims("t.csv", rowstest.Table(claims.ClaimColumns, cell,
		cell.With("id", "B").With("market", "GB"), cell.With("id", "C").With("reads", "claims"),
		cell.With("id", "D").With("patterns", "heal ... skin")))
	require.NoError(t, err)
	with := *table.Builtin().WithLimits(table.Builtin().Limits[:1]) // which has a memory of its own
	with.Claims = read
	found := func(m rows.Market, text string, directions bool) (keys []string) {
		for _, c := range ReadClaim(&with, m, text, directions) {
			keys = append(keys, c.Rule.Key)
		}
		return keys
	}
	for range 2 { // the second time from memory
		assert.Equal(t, []string{"A", "B", "C"}, found(rows.GB, "heals", false))
		assert.Equal(t, []string{"A", "C"}, found(rows.NI, "heals", false))
		assert.Equal(t, []string{"A", "B"}, found(rows.GB, "heals", true))
		assert.Equal(t, []string{"A", "C", "D"}, found(rows.EU, "heals the skin", false))
		assert.Nil(t, found(rows.EU, "nothing", false))
	}
}

// Figures of substances by name, synonym and number.
func TestFiguresOfSubstances(t *testing.T) {
	tables := table.Builtin()
	fats := FatsOf(tables, "Olea Europaea Fruit Oil")
	require.NotEmpty(t, fats)
	for _, f := range fats {
		assert.Contains(t, f.Names(), "Olea Europaea Fruit Oil")
	}
	assert.Empty(t, FatsOf(tables, "Glycerin"))
	assert.InDelta(t, 138.16, MassOf(tables, "Phenoxyethanol").Value, 0.02, "C8H10O2 by the atomic masses of IUPAC")
	assert.InDelta(t, 194.23, MassOf(tables, "Zingerone").Value, 0.02, "C11H14O3, from the table of classes")
	assert.Nil(t, MassOf(tables, "Exemplum Novum"))
	assert.Equal(t, []*trade.Fat(nil), FatsOf(tables, ""))
	uses := ToxUses(tables, "Cetrimonium / behentrimonium salts", "Cetrimonium Chloride")
	require.NotEmpty(t, uses)
	assert.Equal(t, "Cetrimonium Chloride", uses[len(uses)-1].INCI, "the reading of the one name stands last")
	for _, u := range ToxUses(tables, "Cetrimonium / behentrimonium salts", "Behentrimonium Chloride") {
		assert.NotEqual(t, "Cetrimonium Chloride", u.INCI)
	}
	byName, byNumber := CramerOf(tables, "Zingerone"), CramerOf(tables, "a name of the maker's own", "122-48-5")
	require.Len(t, byName, 1)
	assert.Equal(t, byName, byNumber)
	assert.Empty(t, CramerOf(tables, "a name of the maker's own"))
	byDictionary := CramerOf(tables, "2-Hexylidene Cyclopentanone") // which a fragrance Standard calls so
	require.Len(t, byDictionary, 1, "by the number that the dictionary has for the name")
	assert.Equal(t, "17373-89-6", byDictionary[0].CAS)
	assert.InDelta(t, 166.26, MassOf(tables, "2-Hexylidene Cyclopentanone").Value, 0.02, "C11H18O by the atomic masses of IUPAC")
}

// Rules of a substance stand in the order of the tables, each with the surest way it was
// found, and are the same when they are asked for again.
func TestOrderOfRules(t *testing.T) {
	tables := table.Builtin()
	for range 2 {
		for _, name := range []string{"Titanium Dioxide", "Salicylic Acid"} {
			matches := LimitsOf(tables, name, nil, nil)
			require.Greater(t, len(matches), 6, name)
			for i := 1; i < len(matches); i++ {
				before, _ := tables.ByLimit().Place(matches[i-1].Limit)
				after, _ := tables.ByLimit().Place(matches[i].Limit)
				assert.Less(t, before, after, name)
			}
		}
	}
	linked := LimitsOf(tables, "Rauwolfia Serpentina Extract", nil, nil) // Annex II/15 by an official list
	require.NotEmpty(t, linked)
	assert.Equal(t, table.ByLinkedName, linked[0].By)
	for _, l := range tables.Limits { // what releases formaldehyde is listed by its own entry too
		if l.Annex != "V" || l.Sum.Kind != annex.SumLabel {
			continue
		}
		for _, name := range l.Names {
			for range 2 {
				assert.True(t, IsPreservative(tables, name, "", l.Markets[0], day(t, "2026-12-01")), name)
			}
		}
	}
}
