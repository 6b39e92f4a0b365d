package exact

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestCheckCAS(t *testing.T) {
	for _, c := range []struct{ cas, source string }{
		{"107-07-3", "worked example of CAS, Check Digit Verification of CAS Registry Numbers (from memory): 1×7 + 2×0 + 3×7 + 4×0 + 5×1 = 33, so 3"},
		{"7732-18-5", "water; EU cosmetic ingredient database (from memory)"},
		{"58-08-2", "caffeine; EU cosmetic ingredient database (from memory)"},
		{"50-00-0", "formaldehyde; Regulation (EC) 1223/2009, Annex V entry 5"},
		{"64-17-5", "ethanol; EU cosmetic ingredient database (from memory)"},
	} {
		assert.NoError(t, CheckCAS(c.cas), c.source)
	}
	// One digit wrong, and two neighbours swapped.
	for _, cas := range []string{"107-07-4", "7732-18-4", "7723-18-5", "58-80-2", "58-08-1"} {
		assert.ErrorContains(t, CheckCAS(cas), "check digit", cas)
	}
	for _, cas := range []string{"", "7732185", "7732-18", "7732-18-55", "7-18-5", "12345678-18-5", "7732-1-5",
		"7732-18-5 ", "7732-1a-5", "７７３２-18-5", "--"} {
		assert.ErrorContains(t, CheckCAS(cas), "is not a CAS number", cas)
	}
}

func TestCheckCASFindsEveryWrongCheckDigit(t *testing.T) {
	for d := byte('0'); d <= '9'; d++ {
		err := CheckCAS("7732-18-" + string(d))
		assert.Equal(t, d == '5', err == nil, "check digit %c", d)
	}
}

func TestCheckEC(t *testing.T) {
	for ec, name := range map[string]string{"231-791-2": "water", "200-362-1": "caffeine",
		"200-001-8": "formaldehyde", "200-578-6": "ethanol"} {
		assert.NoError(t, CheckEC(ec), name+": EC inventory (from memory)")
	}
	for _, ec := range []string{"231-791-3", "231-719-2", "200-362-2"} {
		assert.ErrorContains(t, CheckEC(ec), "check digit", ec)
	}
	for _, ec := range []string{"", "2317912", "231-791", "231-791-22", "23-791-2", "231-79a-2", "231-791-2-1"} {
		assert.ErrorContains(t, CheckEC(ec), "is not an EC number", ec)
	}
}

// FuzzCheckNumbers: a CAS or EC number that is accepted is refused as soon as its
// check digit is another.
func FuzzCheckNumbers(f *testing.F) {
	for _, s := range []string{"7732-18-5", "50-00-0", "231-791-2", "7732-18-4", "7732185", "1-1-1",
		"٧٧٣٢-١٨-٥", "--", ""} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		for _, check := range []func(string) error{CheckCAS, CheckEC} {
			if err := check(text); err != nil {
				var v *ValueError
				require.ErrorAs(t, err, &v)
				require.NotEmpty(t, v.Fix)
				continue
			}
			last := len(text) - 1
			other := text[:last] + string('0'+(text[last]-'0'+1)%10)
			require.Error(t, check(other), other)
		}
	})
}
