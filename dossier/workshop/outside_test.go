package workshop

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestOutside(t *testing.T) {
	for _, c := range []struct {
		found, wanted string
		want          bool
	}{
		{"5.4", "5-6", false}, {"5", "5-6", false}, {"6", "5–6", false}, {"6.01", "5 to 6", true}, {"4.99", "5-6", true},
		{"190", "180-200", false}, {"201", "180-200", true}, // beyond 100: a value and no per cent
		{"10", "<10", true}, {"9.9", "<10", false}, {"10", "<=10", false}, {"10", "max. 10", false}, {"10.1", "≤ 10", true}, {"10.1", "at most 10", true},
		{"0.98", ">0.98", true}, {"0.98", ">=0.98", false}, {"0.97", "min 0.98", true}, {"0.97", "at least 0.98", true},
		{"7", "7", false}, {"7.0", "7", false}, {"7.1", "7", true},
		{"clear", "5-6", false}, {"5.4 %", "6-7", false}, {"9", "5-6 %", false}, {"9", "", false}, {"9", "1.2.3-4", false},
	} {
		assert.Equal(t, c.want, Outside(c.found, c.wanted), "%s in %s", c.found, c.wanted)
	}
}
