package exposure_test

import (
	"encoding/csv"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/calctest"
	"gallipot/calc/exposure"
	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law/rows"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
)

// example is one row of testdata/published/mos_examples.csv.
type example map[string]string

func (e example) figure(t testing.TB, column string) float64 {
	t.Helper()
	f, err := strconv.ParseFloat(e[column], 64)
	require.NoError(t, err, "%s: %s", e["id"], column)
	return f
}

func readExamples(t testing.TB) []example {
	t.Helper()
	f, err := os.Open("../../testdata/published/mos_examples.csv")
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	var out []example
	for _, cells := range rows[1:] {
		e := example{}
		for i, name := range rows[0] {
			e[name] = cells[i]
		}
		require.NotEmpty(t, e["source"], e["id"])
		require.Contains(t, []string{"seen", "partly", "memory"}, e["seen"], e["id"])
		out = append(out, e)
	}
	return out
}

// TestPublishedExamplesThroughTheJob puts the examples with all inputs through
// the main job: the exposure in the product file, the toxicology on a sheet.
func TestPublishedExamplesThroughTheJob(t *testing.T) {
	ran := 0
	for _, e := range readExamples(t) {
		if e["exposure_unit"] != "g_per_d" || e["check"] == "ok-approx" {
			continue
		}
		ran++
		grams, weight := formulatest.Num(t, e["exposure_value"]), formulatest.Num(t, e["body_weight_kg"])
		whole := exact.Int(100)
		pod, dermal := formulatest.Num(t, e["pod_mg_per_kg_bw_d"]), formulatest.Num(t, e["dermal_absorption"])
		oral := formulatest.Num(t, e["oral_bioavailability_factor"]).Mul(whole)
		m := formulatest.Sheet(t, "uv-oil", e["substance"], "100")
		m.Toxicology = []ingredients.Toxicology{{INCI: e["substance"], PoDType: e["pod_type"], PoD: &pod,
			DermalAbsorptionPct: &dermal,
			OralAbsorptionPct:   &oral, Source: e["source"], Replaces: true}}
		p := formulatest.WithFormula(t, formula.Percent, "water", "q.s.", "uv-oil", e["concentration_pct"])
		p.Exposure = &formula.OwnExposure{AmountGDay: &grams, RetentionPct: &whole, BodyWeightKg: &weight,
			Source: e["source"]}
		r := calctest.Assess(t, p, &formula.Variant{}, "sunscreen", rows.EU, 20261125, m,
			formulatest.Sheet(t, "water", "Aqua", "100"))
		x := calctest.Margin(t, r, e["substance"])
		assert.InEpsilon(t, e.figure(t, "computed_SED_mg_per_kg_bw_d"), x.SED.Max, 0.0005, e["id"])
		assert.InEpsilon(t, e.figure(t, "computed_MoS"), x.MoS, 0.001, e["id"])
		want := exposure.MarginReached
		if e["published_MoS"] != ">=100" && e.figure(t, "published_MoS") < 100 {
			want = exposure.MarginBelow
		}
		assert.Equal(t, want, x.Verdict, e["id"])
	}
	assert.Equal(t, 5, ran)
}
