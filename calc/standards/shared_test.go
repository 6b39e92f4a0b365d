package standards

import (
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

func codes(fs []finding.Finding) []string {
	var out []string
	for _, f := range fs {
		out = append(out, f.Severity.String()+" "+f.Code)
	}
	return out
}

func num(t testing.TB, text string) exact.Num {
	t.Helper()
	n, err := exact.ParseNum(text)
	require.NoError(t, err)
	return n
}

func rangeOf(t testing.TB, text string) exact.Range {
	t.Helper()
	a, err := exact.ParseAmount(text)
	require.NoError(t, err)
	return a.Range
}

func ptr(n exact.Num) *exact.Num { return &n }
