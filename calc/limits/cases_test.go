package limits

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law/annex"
	"gallipot/calc/law/table"
	"gallipot/calc/law/trade"
)

// Names and numbers, more of them.
func TestMatchingMore(t *testing.T) {
	m := matcherOf(formulatest.Session(table.Builtin()))
	by := func(s formula.Substance, entry string) string {
		for _, f := range m.known(&s).matches {
			if formula.EntryOf(f.Row) == entry {
				return f.by + f.doubt
			}
		}
		return ""
	}
	assert.Equal(t, "name", by(formula.Substance{INCI: "Acetyl Heptapeptide-9 Colloidal Gold", Nano: true}, "II/1728"))
	assert.Equal(t, "", by(formula.Substance{INCI: "Acetyl Heptapeptide-9 Colloidal Gold"}, "II/1728"),
		"the entry is for the nano form")
	// a plant's number settles neither part nor preparation: peanut, III/306
	assert.Equal(t, "name", by(formula.Substance{INCI: "Arachis Hypogaea Seedcoat Extract", CAS: "8002-03-7"}, "III/306"))
	assert.Contains(t, by(formula.Substance{INCI: "Exemplum Hypogaea Seed Extract", CAS: "8002-03-7"},
		"III/306"), "the name does not say which part")
	for _, name := range []string{"Methylparaben", "Titanium Dioxide", "Cetrimonium Chloride", "CI 77891"} {
		rows := m.known(&formula.Substance{INCI: name}).matches
		require.GreaterOrEqual(t, len(rows), 2, name)
		assert.True(t, slices.IsSortedFunc(rows, func(a, b rowMatch) int { return m.order(a.Row) - m.order(b.Row) }), name)
	}
	// raw materials sold for what is on no closed list are carriers
	m = newMatcher(formulatest.Session(table.Builtin()))
	carried := func(functions ...string) bool {
		m.carries = map[string]bool{}
		m.addCarrier(&trade.Material{Functions: functions, Constituents: []trade.Constituent{{INCI: "Exemplum"}}})
		return len(m.carries) > 0
	}
	assert.True(t, carried("solvent"))
	assert.True(t, carried("humectant", "skin conditioning"))
	assert.False(t, carried("preservative"))
	assert.False(t, carried("solvent", "colorant"))
	assert.False(t, carried("UV filter"))
	m.addCarrier(&trade.Material{Functions: []string{"solvent"}})
	assert.Empty(t, m.carries)
}

// One wording of several rows is one text, certain where one of them is, with the
// substances of all.
func TestLabelTextsByHand(t *testing.T) {
	check := func(text, substance string, due labelDue) LimitCheck {
		return LimitCheck{Row: &annex.Limit{LabelText: text}, Substances: []string{substance}, Shape: checkShape{label: due}}
	}
	got := LabelTexts([]LimitCheck{check("x", "A", labelMaybe), check("y", "B", labelCertain),
		check("x", "C", labelCertain), check("x", "A", labelMaybe), check("z", "D", labelNone)})
	require.Len(t, got, 2)
	assert.Equal(t, []string{"A", "C"}, got[0].Substances)
	assert.True(t, got[0].Certain)
	assert.Equal(t, []string{"B"}, got[1].Substances)
	first := LabelTexts([]LimitCheck{check("x", "A", labelCertain), check("x", "B", labelCertain)})
	assert.Equal(t, "x", first[0].Text)
	assert.Len(t, first, 1)
	sure := check("x", "A", labelCertain)
	assert.Same(t, sure.Row, LabelTexts([]LimitCheck{sure, check("x", "B", labelCertain)})[0].Row,
		"the row of the first that is certain")
}
