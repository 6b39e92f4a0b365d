package exact

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// FuzzParseDate: what parses is a day of the calendar and prints back as typed.
func FuzzParseDate(f *testing.F) {
	for _, s := range []string{"2026-03-31", "2024-02-29", "2023-02-29", "0001-01-01", "9999-12-31", "0000-00-00", "2026-3-1", "26-03-01", "2026-03-31T00:00", "+2026-01-01", ""} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		d, err := ParseDate(text)
		if err != nil {
			var v *ValueError
			require.ErrorAs(t, err, &v)
			return
		}
		require.Equal(t, text, d.String())
		require.Equal(t, d, DateOf(d.Time()))
		require.True(t, d.Before(d.AddDays(1)))
	})
}

// FuzzCheckNumbers: a CAS or EC number that is accepted is refused as soon as its
// check digit is another.
func FuzzCheckNumbers(f *testing.F) {
	for _, s := range []string{"7732-18-5", "50-00-0", "231-791-2", "7732-18-4", "7732185", "1-1-1", "٧٧٣٢-١٨-٥", "--", ""} {
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
