package soap_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"gallipot/calc/calctest"
	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/calc/law/trade"
	"gallipot/calc/soap"
	"gallipot/dossier/words"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
)

// Who is asked about a lye that may be too much: those whose range leaves most open.
func TestWidestFats(t *testing.T) {
	use := func(id, low, high string) *soap.FatUse {
		return &soap.FatUse{Ingredient: id,
			TakesKOH: exact.Range{Min: formulatest.Num(t, low), Max: formulatest.Num(t, high)}}
	}
	assert.Equal(t, []string{"b"},
		(&soap.Reaction{Fats: []*soap.FatUse{use("a", "1", "2"), use("b", "1", "3"), use("c", "1", "2")}}).Widest())
	assert.Equal(t, []string{"a", "b"},
		(&soap.Reaction{Fats: []*soap.FatUse{use("a", "1", "2"), use("b", "2", "3"), use("a", "4", "5")}}).Widest())
	row := func(key, seen string) *trade.Fat { return &trade.Fat{Row: rows.Row{Key: key, Seen: seen}} }
	r := &soap.Reaction{Fats: []*soap.FatUse{{Rows: []*trade.Fat{row("a", "memory"), row("b", "seen")}},
		{Rows: []*trade.Fat{row("b", "seen")}}, {Own: true, Rows: []*trade.Fat{row("c", "memory")}}, {Own: true}}}
	var sources []string
	for _, x := range r.Sources() {
		sources = append(sources, words.Term(x.Text, x.List, words.Terminal))
	}
	assert.Equal(t, []string{"saponification.csv row a (not yet checked against its source)",
		"saponification.csv row b", "your own values under saponify"}, sources)
	assert.True(t, r.FromMemory())
	r.Fats = r.Fats[1:]
	assert.False(t, r.FromMemory(), "the maker's own value replaces the table's")
	for name, want := range map[string]bool{"Exemplum Seed Oil": true, "Exemplum Butter": true, "Beeswax": true,
		"Stearic Acid": true, "Cera Alba": true, "Lard": true, "Tallow": true, "Adeps Suillus": true,
		"Caprylic Triglyceride": true, "Tocopherol": false, "Kaolin": false} {
		assert.Equal(t, want, table.Builtin().Words(rows.WordsSoapFat).In(name), name)
	}
	asked := func(inci string, change func(*ingredients.Sheet)) int {
		odd := formulatest.Sheet(t, "odd", inci, "100")
		change(odd)
		p := formulatest.SoapProduct(t, "NaOH", "olive", "1000", "odd", "50", "naoh", "110", "water", "300")
		r := calctest.Assess(t, p, &formula.Variant{}, "bar-soap", rows.GB, 20261125,
			append(formulatest.SoapSheets(t, "olive", "Olea Europaea Fruit Oil"), odd)...)
		return len(calctest.Findings(r, "fat-unknown"))
	}
	as := func(*ingredients.Sheet) {}
	for name, want := range map[string]int{"Exemplum Seed Oil": 1, "Exemplum Butter": 1, "Exemplum Cera": 1,
		"Exemplum Wax": 1, "Exemplum Oil Powder": 0, "Kaolin": 0} {
		assert.Equal(t, want, asked(name, as), name)
	}
	assert.Equal(t, 0, asked("Exemplum Seed Oil", func(s *ingredients.Sheet) { s.Functions = []string{"perfuming"} }))
	assert.Equal(t, 0, asked("Exemplum Seed Oil", func(s *ingredients.Sheet) { formulatest.Certified(t, s, "9", "1") }))
	assert.Equal(t, 0, asked("Exemplum Seed Oil", func(s *ingredients.Sheet) { s.LabelAs = ingredients.LabelParfum }))

	// only wax: what it takes may be nothing, so that only the middle has an excess. By
	// hand: 100 g beeswax (89 to 103, middle 96) take 9.6 g KOH; 4.8 g leave half of it
	p := formulatest.SoapProduct(t, "KOH", "wax", "100", "koh", "4.8", "water", "95.2")
	r2 := calctest.Assess(t, p, &formula.Variant{}, "bar-soap", rows.GB, 20261125,
		formulatest.SoapSheets(t, "wax", "Cera Alba")...)
	assert.Equal(t, [3]string{"50", "50", "50"}, formulatest.ExactRange(r2.Reactions[0].ExcessFatPct))
	assert.Equal(t, "0", r2.Reactions[0].TakesKOH.Min.Exact())
}
