package batch_test

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/table"
	"gallipot/dossier/assess"
	"gallipot/dossier/batch"
	"gallipot/dossier/document/plain"
	"gallipot/dossier/weigh"
	"gallipot/dossier/words/wordstest"
	"gallipot/dossier/workshop"
	"gallipot/dossier/workshop/workshoptest"
	"gallipot/ingredients/exact"
)

// soapShop sells bars of 100 g, of which a tenth of the poured mass dries off.
func soapShop(t testing.TB) (*workshop.Workshop, *assess.Assessment) {
	w, fs := workshop.LoadFS("shop", workshoptest.Folder(map[string]string{
		"workshop.yaml":          "maker: {name: M, address: [A]}\nmarkets: [GB]\nbalance: {division_g: 1}\n",
		"ingredients/water.yaml": sheetFile("water", ""),
		"ingredients/olive.yaml": "id: olive\nname: Olive oil\ncomposition: {complete: true, constituents: [{inci: Olea Europaea Fruit Oil, pct: 100}]}\n",
		"ingredients/lye.yaml":   "id: lye\nname: Caustic soda\nform: solid\ncomposition: {complete: true, constituents: [{inci: Sodium Hydroxide, cas: 1310-73-2, pct: 100}]}\n",
		"products/bar.yaml":      "id: bar\nname: Bar\nrevision: 1\nproduct_type: bar-soap\nintended_for: adults\nnet_content: {g: 100}\nformula:\n  basis: grams\n  saponify: {alkali: NaOH, excess_fat_pct: 5, water_loss_pct: 10}\n  phases:\n    - id: A\n      lines:\n        - {ingredient: olive, amount: 1000}\n        - {ingredient: lye, amount: 123}\n        - {ingredient: water, amount: 300}\n",
	}), table.Builtin())
	require.Empty(t, fs)
	return w, assess.Run(w, w.Product("bar"), batchOptions())
}

// TestPacksOfWhatDries: by hand, 1423 g fill 1423 × 0.9 / 100 = 12.8, 12 bars; 12 bars
// at 3 % loss take 12 × 100 / 0.9 / 0.97 = 1374.57, up to 1375 g; a bar of 100 g is
// poured as 100 / 0.9 = 111.1, up to 112 g.
func TestPacksOfWhatDries(t *testing.T) {
	w, a := soapShop(t)
	s, err := weigh.Weigh(w, a, "", weigh.WeighOptions{BatchG: grams(t, "1423g")})
	require.NoError(t, err)
	assert.Equal(t, 12, s.Units)
	assert.Equal(t, "111.11", s.FillG.Fixed(2))
	var text bytes.Buffer
	require.NoError(t, plain.Write(&text, s.Document()))
	assert.Contains(t, text.String(), "12 of 100 g as sold, after drying")
	assert.Contains(t, text.String(), "112 g while wet: 10 % of it, water, dries off, and 100 g have to be left")
	assert.Contains(t, text.String(), "Once dry, 1281 g are left of that") // 1423 × 0.9 = 1280.7
	s, err = weigh.Weigh(w, a, "", weigh.WeighOptions{Jars: 12, LossPct: exact.Int(3)})
	require.NoError(t, err)
	assert.Equal(t, "1375", s.Plan.TotalG.Exact())
	assert.Equal(t, 12, s.Units)
}

// TestYieldWetOrDry: 12 bars of together 1300 g and one kept, of 1423 g. Wet, a bar
// holds 1300 / 12 × 0.9 = 97.5 g once dry, less than 100, and the one kept 111.1: 99.2 %
// came out, as usual. Dry, a bar holds 108.3 g, and 1400 g are 98.4 % where at most
// 102 × 0.9 = 91.8 % is usual. As long as nobody says which, neither is judged.
func TestYieldWetOrDry(t *testing.T) {
	w, a := soapShop(t)
	s, err := weigh.Weigh(w, a, "", weigh.WeighOptions{BatchG: grams(t, "1423g"), Code: "T1"})
	require.NoError(t, err)
	review := func(dried string) (*batch.BatchReview, string) {
		b := filledIn(t, s, func(line string) string {
			if strings.HasPrefix(line, "yield:") {
				return "yield: {filled_units: 12, filled_g: 1300, dried: " + dried + "}"
			}
			return line
		})
		r := batch.Review(w, b, a)
		var codes []string
		for _, f := range r.Findings {
			if f.Code == "batch-yield" || f.Code == "batch-underfilled" || f.Code == "batch-incomplete" {
				codes = append(codes, f.Code+": "+wordstest.Said(f).Message)
			}
		}
		return r, strings.Join(codes, "\n")
	}
	r, said := review("false")
	assert.Equal(t, "batch-underfilled: the packs contain 97.5 g on average, once 10 % of the 108.33 g they were filled with has dried off; the label says 100 g", said)
	assert.Equal(t, "99.16", r.Yield.Pct.Fixed(2))
	r, said = review("true")
	assert.Equal(t, "batch-yield: the yield is 98.4 % (1400 g of 1423 g), after 10 % has dried off; 85.5 to 91.8 % is usual", said)
	assert.Equal(t, "98.38", r.Yield.Pct.Fixed(2))
	r, said = review("")
	assert.Nil(t, r.Yield)
	assert.Equal(t, "batch-incomplete: the record still lacks whether the mass filled was weighed wet or after drying (dried: false or true)", said)
}
