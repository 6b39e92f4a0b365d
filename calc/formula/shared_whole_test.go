package formula_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"gallipot/calc/formula/formulatest"
	"gallipot/calc/masses"
	"gallipot/ingredients/exact"
)

func made(t testing.TB, ingredient, portion, planned, g string) masses.MadeLine {
	t.Helper()
	l := masses.MadeLine{Ingredient: ingredient, Portion: portion, G: formulatest.Num(t, g)}
	if planned != "" {
		l.PlannedG = formulatest.Ptr(formulatest.Num(t, planned))
	}
	return l
}

// deltas compares a range with three figures worked by hand.
func deltas(t testing.TB, low, middle, high float64, got exact.Range, what string) {
	t.Helper()
	assert.InDelta(t, low, got.Min.Float(), 1e-4, what+", lowest")
	assert.InDelta(t, middle, got.Typ.Float(), 1e-4, what+", middle")
	assert.InDelta(t, high, got.Max.Float(), 1e-4, what+", highest")
}
