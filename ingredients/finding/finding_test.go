package finding

import (
	"encoding/json"
	"math/big"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/ingredients/exact"
)

func TestSeverityAsText(t *testing.T) {
	assert.Equal(t, []string{"stop", "ask", "note"}, []string{Stop.String(), Ask.String(), Note.String()})
	text, err := json.Marshal(Ask)
	require.NoError(t, err)
	assert.Equal(t, `"ask"`, string(text))
}

func TestPlacesInOrder(t *testing.T) {
	a := exact.Pos{File: "a.yaml", Line: 2, Col: 3}
	for _, c := range []struct {
		p, q exact.Pos
		want bool
	}{
		{a, exact.Pos{File: "b.yaml", Line: 1, Col: 1}, true}, {exact.Pos{File: "b.yaml", Line: 1, Col: 1}, a, false},
		{a, exact.Pos{File: "a.yaml", Line: 3, Col: 1}, true}, {a, exact.Pos{File: "a.yaml", Line: 2, Col: 4}, true}, {a, a, false},
		{exact.Pos{File: "a.yaml", Line: 9, Col: 1}, exact.Pos{File: "a.yaml", Line: 10, Col: 1}, true},
	} {
		assert.Equal(t, c.want, c.p.Before(c.q), "%s %s", c.p, c.q)
	}
	assert.Equal(t, "a.yaml:2:3", a.String())
	assert.Equal(t, "a.yaml", exact.Pos{File: "a.yaml"}.String())
	assert.Empty(t, exact.Pos{Line: 2}.String())
	assert.True(t, exact.Pos{Line: 2}.IsZero())
	assert.False(t, a.IsZero())
}

func TestDateAsText(t *testing.T) {
	d, err := exact.ParseDate("2026-11-05")
	require.NoError(t, err)
	text, err := json.Marshal(map[exact.Date]exact.Date{d: d})
	require.NoError(t, err)
	assert.Equal(t, `{"2026-11-05":"2026-11-05"}`, string(text))
	assert.Empty(t, exact.Date(0).String())
}

// Numbers beyond 64 bits print like the others: 10^20 / 3 and 1 / (3 × 10^20) by
// hand, a third being 0.333…
func TestBigNumbersInPrint(t *testing.T) {
	ten20, _ := new(big.Int).SetString("100000000000000000000", 10)
	three := big.NewInt(3)
	large, small := exact.FromRat(new(big.Rat).SetFrac(ten20, three)), exact.FromRat(new(big.Rat).SetFrac(big.NewInt(1), new(big.Int).Mul(ten20, three)))
	assert.Equal(t, "33333333333333333333", large.Sig(4))
	assert.Equal(t, "33333333333333333333.33", large.Fixed(2))
	assert.Equal(t, "-33333333333333333333", large.Neg().Sig(4))
	assert.Equal(t, "0.000000000000000000003333", small.Sig(4))
	assert.Equal(t, "1/300000000000000000000", small.Exact())
	assert.Equal(t, "0.0000000000000000000033333333333333333", small.Decimal())
	assert.Equal(t, "100000000000000000000", exact.FromRat(new(big.Rat).SetInt(ten20)).Exact())
	// as many decimals as an uint64 holds digits, and one more
	assert.Equal(t, "0.3333333333333333333", exact.Frac(1, 3).Fixed(19))
	assert.Equal(t, "0.33333333333333333333", exact.Frac(1, 3).Fixed(20))
	// 18446744073709551615.5 would round to 2^64, which no uint64 holds
	assert.Equal(t, "18446744073709551616", exact.FromRat(new(big.Rat).SetFrac(new(big.Int).Add(new(big.Int).Lsh(big.NewInt(1), 65), big.NewInt(-1)), big.NewInt(2))).Fixed(0))
}

func TestErrorWithoutFix(t *testing.T) {
	assert.Equal(t, "it is wrong", (&exact.ValueError{What: "it is wrong"}).Error())
	assert.Equal(t, "it is wrong: mend it", (&exact.ValueError{What: "it is wrong", Fix: "mend it"}).Error())
}
