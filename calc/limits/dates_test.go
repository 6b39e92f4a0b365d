package limits

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law"
	"gallipot/calc/law/table"
	"gallipot/ingredients/exact"
)

func TestCriteriaWords(t *testing.T) {
	assert.Equal(t, "peroxide value below 10 mmol/L (of the substance, not the product)",
		specWords("peroxide_mmol_l<10 (of the substance, not the product)"))
	assert.Equal(t, "total PAH at most 500 ppb", specWords("total_PAH_ppb<=500"))
	assert.Equal(t, "ethylene glycol in raw material at most 0.1 %", specWords("ethylene_glycol_in_raw_material_pct<=0.1"))
	assert.Equal(t, "alpha terthienyl in extract at most 0.35 %", specWords("alpha_terthienyl_pct_in_extract<=0.35"))
	assert.Equal(t, "free from cyanide ions", specWords("free from cyanide ions"))
	// No criterion of the table prints its raw name.
	for _, l := range law.Limits(table.Builtin()) {
		for _, s := range l.Spec {
			words := specWords(s)
			assert.NotContains(t, words, "_", l.Key)
		}
		if l.PH != nil {
			assert.Contains(t, l.PH.Words(), "pH ", l.Key)
			kept, broken := l.PH.Kept(exact.Exactly(formulatest.Num(t, "3")))
			assert.NotEqual(t, kept, broken, l.Key) // pH 3 is one or the other
		}
	}
}
