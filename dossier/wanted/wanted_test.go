package wanted_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"gallipot/dossier/wanted"
)

func TestOf(t *testing.T) {
	for _, c := range []struct {
		found, want string
		verdict     wanted.Verdict
	}{
		{"5.4", "5-6", wanted.Within}, {"5", "5-6", wanted.Within}, {"6", "5–6", wanted.Within}, {"6.01", "5 to 6", wanted.Outside},
		{"4.99", "5-6", wanted.Outside},
		{"190", "180-200", wanted.Within}, {"201", "180-200", wanted.Outside}, // beyond 100: a value and no per cent
		{"10", "<10", wanted.Outside}, {"9.9", "<10", wanted.Within}, {"10", "<=10", wanted.Within}, {"10", "max. 10", wanted.Within},
		{"10.1", "≤ 10", wanted.Outside},
		{"10.1", "at most 10", wanted.Outside}, {"0.98", ">0.98", wanted.Outside}, {"0.98", ">=0.98", wanted.Within},
		{"0.97", "min 0.98", wanted.Outside},
		{"0.97", "at least 0.98", wanted.Outside}, {"7", "7", wanted.Within}, {"7.0", "7", wanted.Within}, {"7.1", "7", wanted.Outside},
		// units and decimal commas
		{"24 mmol/L", "<20 mmol/L", wanted.Outside}, {"24", "<20 mmol/L", wanted.Outside}, {"24 mmol/l", "<20", wanted.Outside},
		{"24,5", "max. 20 mmol/L", wanted.Outside},
		{"19,5 mmol/L", "max. 20 mmol/L", wanted.Within}, {"5.4 %", "6-7", wanted.Outside}, {"9", "5-6 %", wanted.Outside},
		{"5,5", "5,0-6,0", wanted.Within},
		{"35 mg/kg", "max. 20 mg/kg", wanted.Outside}, {"35 mg/kg", "max. 20 %", wanted.Unknown},
		// bounds that were found
		{"<5", "max. 20", wanted.Within}, {"<5", "<5", wanted.Within}, {"<=5", "<5", wanted.Outside}, {"<5", "max. 3", wanted.Outside},
		{">98", "min 97", wanted.Within}, {">96", "min 97", wanted.Outside},
		{"<5", "1-10", wanted.Outside}, // nothing says that it is 1 at least
		// words and what may be read in two ways
		{"clear", "5-6", wanted.Unknown}, {"9", "", wanted.Unknown}, {"9", "1.2.3-4", wanted.Unknown}, {"1,000", "max. 10", wanted.Unknown},
		{"ca. 5", "max. 10", wanted.Unknown},
	} {
		assert.Equal(t, c.verdict, wanted.Of(c.found, c.want), "%s in %s", c.found, c.want)
	}
}

func TestFigure(t *testing.T) {
	for want, is := range map[string]bool{"5-6": true, "max. 20 mmol/kg": true, "5": true, "5,0 - 6,0": true,
		"": false, "clear": false, "of the scent named": false} {
		assert.Equal(t, is, wanted.Figure(want), want)
	}
}
