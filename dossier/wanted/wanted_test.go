package wanted

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestOf(t *testing.T) {
	for _, c := range []struct {
		found, want string
		verdict     Verdict
	}{
		{"5.4", "5-6", Within}, {"5", "5-6", Within}, {"6", "5–6", Within}, {"6.01", "5 to 6", Outside},
		{"4.99", "5-6", Outside},
		{"190", "180-200", Within}, {"201", "180-200", Outside}, // beyond 100: a value and no per cent
		{"10", "<10", Outside}, {"9.9", "<10", Within}, {"10", "<=10", Within}, {"10", "max. 10", Within},
		{"10.1", "≤ 10", Outside},
		{"10.1", "at most 10", Outside}, {"0.98", ">0.98", Outside}, {"0.98", ">=0.98", Within},
		{"0.97", "min 0.98", Outside},
		{"0.97", "at least 0.98", Outside}, {"7", "7", Within}, {"7.0", "7", Within}, {"7.1", "7", Outside},
		// units and decimal commas
		{"24 mmol/L", "<20 mmol/L", Outside}, {"24", "<20 mmol/L", Outside}, {"24 mmol/l", "<20", Outside},
		{"24,5", "max. 20 mmol/L", Outside},
		{"19,5 mmol/L", "max. 20 mmol/L", Within}, {"5.4 %", "6-7", Outside}, {"9", "5-6 %", Outside},
		{"5,5", "5,0-6,0", Within},
		{"35 mg/kg", "max. 20 mg/kg", Outside}, {"35 mg/kg", "max. 20 %", Unknown},
		// bounds that were found
		{"<5", "max. 20", Within}, {"<5", "<5", Within}, {"<=5", "<5", Outside}, {"<5", "max. 3", Outside},
		{">98", "min 97", Within}, {">96", "min 97", Outside},
		{"<5", "1-10", Outside}, // nothing says that it is 1 at least
		// words and what may be read in two ways
		{"clear", "5-6", Unknown}, {"9", "", Unknown}, {"9", "1.2.3-4", Unknown}, {"1,000", "max. 10", Unknown},
		{"ca. 5", "max. 10", Unknown},
	} {
		assert.Equal(t, c.verdict, Of(c.found, c.want), "%s in %s", c.found, c.want)
	}
}

func TestFigure(t *testing.T) {
	for want, is := range map[string]bool{"5-6": true, "max. 20 mmol/kg": true, "5": true, "5,0 - 6,0": true,
		"": false, "clear": false, "of the scent named": false} {
		assert.Equal(t, is, Figure(want), want)
	}
}
