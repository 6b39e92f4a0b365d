package finding_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// Findings that differ in a value are two; those that differ in what they rest on
// are one, with the sources of both.
func TestKeyOfAFinding(t *testing.T) {
	pos := exact.Pos{File: "products/x.yaml", Line: 3, Col: 5}
	of := func(limit int64, source string) finding.Finding {
		return finding.NewFinding(finding.Stop, "over-limit", pos, finding.With().Num("limit", exact.Int(limit), "%", finding.AsIs).Source("law", finding.With().Quote("", source))).On("X")
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
	one, two := exact.Int(1), exact.Int(2)
	a.Grade, c.Grade = &one, &two
	assert.Equal(t, a.CauseKey(), c.CauseKey())
	c.Cause = "another rule"
	assert.NotEqual(t, a.CauseKey(), c.CauseKey())
	d := a.As("form")
	assert.NotEqual(t, a.Key(), d.Key())
	d = a.OnValue((&ingredients.Sheet{ID: "x", Name: "X"}).Named())
	assert.NotEqual(t, a.Key(), d.Key(), "a material is no substance of that name")
}

func TestWhoCanSettle(t *testing.T) {
	f := finding.NewFinding(finding.Ask, "x", exact.Pos{}, nil).By((&ingredients.Sheet{Name: "Oil", Supplier: ingredients.Supplier{Name: "S"}}).Asked(), finding.TheAssessor)
	assert.True(t, f.IsAsked(finding.RoleSupplier))
	assert.True(t, f.IsAsked(finding.RoleAssessor))
	assert.False(t, f.IsAsked(finding.RoleMaker))
	assert.Equal(t, finding.Party{Role: finding.RoleSupplier, Name: "S", Of: "Oil"}, f.Who[0])
}
