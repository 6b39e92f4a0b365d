package exact

import (
	"encoding/json"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

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
	for _, text := range []string{"", "2023-02-29", "2024-13-01", "2024-00-10", "2024-1-1", "24-01-01",
		"31.12.2024", "2024-01-01T00:00", "2024/01/01", "today"} {
		_, err := ParseDate(text)
		assert.ErrorContains(t, err, "YYYY-MM-DD", text)
	}
}

func TestDateAsText(t *testing.T) {
	d, err := ParseDate("2026-11-05")
	require.NoError(t, err)
	text, err := json.Marshal(map[Date]Date{d: d})
	require.NoError(t, err)
	assert.Equal(t, `{"2026-11-05":"2026-11-05"}`, string(text))
	assert.Empty(t, Date(0).String())
}

// FuzzParseDate: what parses is a day of the calendar and prints back as typed.
func FuzzParseDate(f *testing.F) {
	for _, s := range []string{"2026-03-31", "2024-02-29", "2023-02-29", "0001-01-01", "9999-12-31",
		"0000-00-00", "2026-3-1", "26-03-01", "2026-03-31T00:00", "+2026-01-01", ""} {
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
