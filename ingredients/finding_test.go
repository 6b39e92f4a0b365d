package ingredients

import (
	"encoding/json"
	"math/big"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestSeverityAsText(t *testing.T) {
	assert.Equal(t, []string{"stop", "ask", "note"}, []string{Stop.String(), Ask.String(), Note.String()})
	text, err := json.Marshal(Ask)
	require.NoError(t, err)
	assert.Equal(t, `"ask"`, string(text))
}

// Findings that differ in a value are two; those that differ in what they rest on
// are one, with the sources of both.
func TestKeyOfAFinding(t *testing.T) {
	pos := Pos{File: "products/x.yaml", Line: 3, Col: 5}
	of := func(limit int64, source string) Finding {
		return NewFinding(Stop, "over-limit", pos, With().Num("limit", Int(limit), "%", AsIs).Source("law", With().Quote("", source))).On("X")
	}
	a, b, c := of(1, "EU"), of(1, "GB"), of(2, "EU")
	assert.Equal(t, a.Key(), b.Key())
	assert.NotEqual(t, a.Key(), c.Key())
	both := a.JoinSources(b).JoinSources(b)
	law, ok := both.Values.Get("law")
	require.True(t, ok)
	assert.Len(t, law.List, 2)
	law, _ = a.Values.Get("law")
	assert.Len(t, law.List, 1, "the finding itself stays as it is")

	assert.Equal(t, a.Key(), a.CauseKey(), "without a grade each stands alone")
	one, two := Int(1), Int(2)
	a.Grade, c.Grade = &one, &two
	assert.Equal(t, a.CauseKey(), c.CauseKey())
	c.Cause = "another rule"
	assert.NotEqual(t, a.CauseKey(), c.CauseKey())
	d := a.As("form")
	assert.NotEqual(t, a.Key(), d.Key())
	d = a.OnValue((&Sheet{ID: "x", Name: "X"}).Named())
	assert.NotEqual(t, a.Key(), d.Key(), "a material is no substance of that name")
}

func TestWhoCanSettle(t *testing.T) {
	f := NewFinding(Ask, "x", Pos{}, nil).By((&Sheet{Name: "Oil", Supplier: Supplier{Name: "S"}}).Asked(), TheAssessor)
	assert.True(t, f.IsAsked(RoleSupplier))
	assert.True(t, f.IsAsked(RoleAssessor))
	assert.False(t, f.IsAsked(RoleMaker))
	assert.Equal(t, Party{Role: RoleSupplier, Name: "S", Of: "Oil"}, f.Who[0])
}

func TestPlacesInOrder(t *testing.T) {
	a := Pos{File: "a.yaml", Line: 2, Col: 3}
	for _, c := range []struct {
		p, q Pos
		want bool
	}{
		{a, Pos{File: "b.yaml", Line: 1, Col: 1}, true}, {Pos{File: "b.yaml", Line: 1, Col: 1}, a, false},
		{a, Pos{File: "a.yaml", Line: 3, Col: 1}, true}, {a, Pos{File: "a.yaml", Line: 2, Col: 4}, true}, {a, a, false},
		{Pos{File: "a.yaml", Line: 9, Col: 1}, Pos{File: "a.yaml", Line: 10, Col: 1}, true},
	} {
		assert.Equal(t, c.want, c.p.Before(c.q), "%s %s", c.p, c.q)
	}
	assert.Equal(t, "a.yaml:2:3", a.String())
	assert.Equal(t, "a.yaml", Pos{File: "a.yaml"}.String())
	assert.Empty(t, Pos{Line: 2}.String())
	assert.True(t, Pos{Line: 2}.IsZero())
	assert.False(t, a.IsZero())
}

func TestDateAsText(t *testing.T) {
	d, err := ParseDate("2026-11-05")
	require.NoError(t, err)
	text, err := json.Marshal(map[Date]Date{d: d})
	require.NoError(t, err)
	assert.Equal(t, `{"2026-11-05":"2026-11-05"}`, string(text))
	assert.Empty(t, Date(0).String())
}

// Numbers beyond 64 bits print like the others: 10^20 / 3 and 1 / (3 × 10^20) by
// hand, a third being 0.333…
func TestBigNumbersInPrint(t *testing.T) {
	ten20, _ := new(big.Int).SetString("100000000000000000000", 10)
	three := big.NewInt(3)
	large, small := FromRat(new(big.Rat).SetFrac(ten20, three)), FromRat(new(big.Rat).SetFrac(big.NewInt(1), new(big.Int).Mul(ten20, three)))
	assert.Equal(t, "33333333333333333333", large.Sig(4))
	assert.Equal(t, "33333333333333333333.33", large.Fixed(2))
	assert.Equal(t, "-33333333333333333333", large.Neg().Sig(4))
	assert.Equal(t, "0.000000000000000000003333", small.Sig(4))
	assert.Equal(t, "1/300000000000000000000", small.Exact())
	assert.Equal(t, "0.0000000000000000000033333333333333333", small.Decimal())
	assert.Equal(t, "100000000000000000000", FromRat(new(big.Rat).SetInt(ten20)).Exact())
	// as many decimals as an uint64 holds digits, and one more
	assert.Equal(t, "0.3333333333333333333", Frac(1, 3).Fixed(19))
	assert.Equal(t, "0.33333333333333333333", Frac(1, 3).Fixed(20))
	// 18446744073709551615.5 would round to 2^64, which no uint64 holds
	assert.Equal(t, "18446744073709551616", FromRat(new(big.Rat).SetFrac(new(big.Int).Add(new(big.Int).Lsh(big.NewInt(1), 65), big.NewInt(-1)), big.NewInt(2))).Fixed(0))
}

func TestErrorWithoutFix(t *testing.T) {
	assert.Equal(t, "it is wrong", (&ValueError{What: "it is wrong"}).Error())
	assert.Equal(t, "it is wrong: mend it", (&ValueError{What: "it is wrong", Fix: "mend it"}).Error())
}
