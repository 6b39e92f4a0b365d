package exact

import (
	"testing"
	"time"

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
	for _, cas := range []string{"", "7732185", "7732-18", "7732-18-55", "7-18-5", "12345678-18-5", "7732-1-5", "7732-18-5 ", "7732-1a-5", "７７３２-18-5", "--"} {
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
	for ec, name := range map[string]string{"231-791-2": "water", "200-362-1": "caffeine", "200-001-8": "formaldehyde", "200-578-6": "ethanol"} {
		assert.NoError(t, CheckEC(ec), name+": EC inventory (from memory)")
	}
	for _, ec := range []string{"231-791-3", "231-719-2", "200-362-2"} {
		assert.ErrorContains(t, CheckEC(ec), "check digit", ec)
	}
	for _, ec := range []string{"", "2317912", "231-791", "231-791-22", "23-791-2", "231-79a-2", "231-791-2-1"} {
		assert.ErrorContains(t, CheckEC(ec), "is not an EC number", ec)
	}
}

func TestDate(t *testing.T) {
	d, err := ParseDate("2024-02-29")
	require.NoError(t, err)
	assert.Equal(t, Date(20240229), d)
	assert.Equal(t, "2024-02-29", d.String())
	assert.Equal(t, "2024-03-01", d.AddDays(1).String())
	assert.Equal(t, "2025-03-01", d.AddYears(1).String(), "29 February moves on where there is none")
	assert.Equal(t, "2028-02-29", d.AddYears(4).String())
	assert.True(t, d.Before(d.AddDays(1)))
	assert.False(t, d.Before(d))
	assert.Equal(t, time.Date(2024, 2, 29, 0, 0, 0, 0, time.UTC), d.Time())
	assert.Equal(t, d, DateOf(time.Date(2024, 2, 29, 23, 59, 0, 0, time.FixedZone("", 3600))))
	assert.True(t, Date(0).IsZero())
	assert.Equal(t, "", Date(0).String())
	for _, text := range []string{"", "2023-02-29", "2024-13-01", "2024-00-10", "2024-1-1", "24-01-01", "31.12.2024", "2024-01-01T00:00", "2024/01/01", "today"} {
		_, err := ParseDate(text)
		assert.ErrorContains(t, err, "YYYY-MM-DD", text)
	}
}
