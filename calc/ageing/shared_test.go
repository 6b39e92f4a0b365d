package ageing

import (
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/ingredients/exact"
)

func num(t testing.TB, text string) exact.Num {
	t.Helper()
	n, err := exact.ParseNum(text)
	require.NoError(t, err)
	return n
}
