package figure

import (
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/dossier/transcribe/lexicon"
)

// A raised figure behind ten is a power in a count of germs, whose limits are printed
// as 10² and 10³ (European Pharmacopoeia 5.1.4), and open elsewhere; behind other
// numbers it is the mark of a footnote.
func TestPower(t *testing.T) {
	r := reader(t, Unknown)
	for _, c := range []struct{ text, unit, high, open string }{
		{"< 10² cfu/g", "", "100", ""},
		{"10³", "cfu/g", "1000", ""},
		{"≤ 2 x 10² cfu/g", "", "200", ""},
		{"1.5 · 10³ cfu/g", "", "1500", ""},
		{"10^2 cfu/g", "", "100", ""},
		{"10² %", "", "100", "raised-figure"},
		{"10²", "", "100", "raised-figure"},
		{"12.5² %", "", "12.5", ""},
		{"12.5²", "%", "12.5", ""},
		{"110² cfu/g", "", "110", ""},
	} {
		unit := lexicon.Unit{}
		if c.unit != "" {
			unit, _ = r.UnitIn(c.unit)
		}
		f, ok := r.Parse(c.text, unit)
		require.True(t, ok, c.text)
		require.Equal(t, c.high, f.High, c.text)
		require.Equal(t, c.open, f.Open, c.text)
	}
}

func TestShifted(t *testing.T) {
	for _, c := range []struct {
		value string
		by    int
		want  string
	}{{"10", 1, "100"}, {"0.5", 2, "50"}, {"1.25", 1, "12.5"}, {"10", -1, "1"}, {"2", 3, "2000"},
		{"0.001", 2, "0.1"}} {
		require.Equal(t, c.want, shifted(c.value, c.by), c.value)
	}
}
