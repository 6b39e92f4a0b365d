package table_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/ingredients/exact"
)

func day(t *testing.T, text string) exact.Date {
	t.Helper()
	d, err := exact.ParseDate(text)
	require.NoError(t, err)
	return d
}
