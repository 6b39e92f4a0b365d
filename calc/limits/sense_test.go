package limits

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/table"
)

// Benzoic acid, pKa 4.20: half undissociated at pH 4.20, 100/(1 + 10^0.8) = 13.68 %
// at pH 5, 100/(1 + 10^1.8) = 1.56 % at pH 6. By hand.
func TestUndissociatedByHand(t *testing.T) {
	acid := table.Builtin().AcidPreservative("Sodium Benzoate")
	require.NotNil(t, acid)
	for ph, want := range map[float64]float64{4.2: 50, 5: 13.68, 6: 1.56} {
		assert.InDelta(t, want, acid.UndissociatedPct(ph), 0.005*math.Max(1, want), "pH %v", ph)
	}
	assert.Nil(t, table.Builtin().AcidPreservative("Phenoxyethanol"))
}
