package ageing

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law/table"
)

// Cases of the notes to stability-micro.csv, section 4: with Q10 2 and a shelf of
// 25 °C, 3 months at 40 °C give only 8.5 months; 8 weeks at 45 °C.
func TestSupportedLife(t *testing.T) {
	tables := table.Builtin()
	store := func(pairs ...string) (out []Storage) {
		for i := 0; i < len(pairs); i += 2 {
			out = append(out, Storage{TempC: formulatest.Num(t, pairs[i]), Weeks: formulatest.Num(t, pairs[i+1])})
		}
		return out
	}
	l := SupportedLife(store("40", "13"), tables) // 13 weeks are 3 months
	require.NotNil(t, l.Months)
	assert.InDelta(t, 8.5, *l.Months, 0.02)
	assert.True(t, l.Supports(8))
	assert.False(t, l.Supports(9))
	assert.Nil(t, l.Real)

	l = SupportedLife(store("40", "12", "20", "26"), tables)
	assert.InDelta(t, 6, *l.Months, 1e-9, "26 weeks in real time are the shorter answer")
	assert.InDelta(t, 12*12.0/52*2.828427, *l.Accelerate, 1e-5)
	assert.Equal(t, StorageReal, l.Spans[1].Kind)

	l = SupportedLife(store("45", "8"), tables) // factor 2^2 = 4; the rule of thumb Q1 says 12 months
	assert.InDelta(t, 8*12.0/52*4, *l.Months, 1e-9)

	l = SupportedLife(store("4", "52"), tables)
	assert.Nil(t, l.Months, "a cold store says nothing on the length of life")
	assert.False(t, l.Supports(1))
	l = SupportedLife(store("40", "0"), tables)
	assert.Nil(t, l.Months, "nothing was read yet")
	assert.Nil(t, SupportedLife(nil, tables).Months)
}
