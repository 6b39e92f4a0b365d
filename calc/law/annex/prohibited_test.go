package annex

import (
	"gallipot/ingredients/exact"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestMarkerMet(t *testing.T) {
	for _, c := range []struct {
		marker string
		pct    string
		want   bool
	}{
		{"butadiene>=0.1", "0.1", true}, {"butadiene>=0.1", "0.0999", false},
		{"dmso-extract>3", "3", false}, {"dmso-extract>3", "3.01", true},
	} {
		word, figure, _ := strings.Cut(c.marker, ">")
		m := marker{Constituent: word, AtLeast: strings.HasPrefix(figure, "="), Pct: num(t, strings.TrimPrefix(figure, "="))}
		require.Equal(t, c.want, m.Met(num(t, c.pct)), "%s at %s", c.marker, c.pct)
	}
}

func num(t *testing.T, text string) exact.Num {
	t.Helper()
	n, err := exact.ParseNum(text)
	require.NoError(t, err)
	return n
}
