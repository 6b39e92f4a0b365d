package soap

import (
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/ingredients/exact"
)

func rangeOf(t testing.TB, text string) exact.Range {
	t.Helper()
	a, err := exact.ParseAmount(text)
	require.NoError(t, err)
	return a.Range
}
