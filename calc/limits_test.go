package calc

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law"
	"gallipot/ingredients"
)

// material is a sheet of named contents with its functions.
func material(t testing.TB, id, functions string, parts ...string) *ingredients.Sheet {
	t.Helper()
	s := sheet(t, id, parts...)
	for f := range strings.SplitSeq(functions, ";") {
		if f != "" {
			s.Functions = append(s.Functions, f)
		}
	}
	return s
}

// limitsOf assesses a product that is water but for one material.
func limitsOf(t testing.TB, productType string, market law.Market, day int, audience Audience, pct string, m *ingredients.Sheet, more ...*ingredients.Sheet) *Result {
	t.Helper()
	lines := []string{"water", "q.s.", m.ID, pct}
	p := formula(t, Percent, lines...)
	p.IntendedFor = audience
	no := false
	p.Professional = &no
	return assessed(t, p, &Variant{}, productType, market, day, append(more, m, material(t, "water", "solvent", "Aqua", "100"))...)
}

// checkOf returns the check of a row key.
func checkOf(t testing.TB, r *Result, key string) LimitCheck {
	t.Helper()
	for _, c := range r.Limits {
		if c.Row.Key == key {
			return c
		}
	}
	require.Fail(t, "no check of row "+key)
	return LimitCheck{}
}

// findingOf returns the finding with a code, which must be there.
func findingOf(t testing.TB, r *Result, code string) ingredients.Finding {
	t.Helper()
	for _, f := range r.Findings {
		if f.Code == code {
			return f
		}
	}
	require.Fail(t, "no finding "+code, "%v", codes(r.Findings))
	return ingredients.Finding{}
}

func TestBenzoate(t *testing.T) {
	r := limitsOf(t, "body-lotion", law.EU, 20261125, Adults, "0.6", material(t, "na-benzoate", "preservative", "Sodium Benzoate", "100"))
	c := checkOf(t, r, "V-1-eugb-03")
	assert.Equal(t, LimitExceeded, c.Verdict)
	for _, c := range r.Limits {
		t.Log(c.Row.Key, c.Verdict, c.Reason, c.Content.Max, c.HighestPct)
	}
	for _, f := range r.Findings {
		t.Logf("%+v", f)
	}
}
