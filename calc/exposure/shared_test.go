package exposure

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
