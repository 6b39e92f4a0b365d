package exact

import (
	"fmt"
	"time"
)

// Date is a civil day, with no time of day and no zone. Its zero value means no
// date. Compare with < and > through Before, or as the int yyyymmdd it is.
type Date int

// ParseDate reads a day written YYYY-MM-DD.
func ParseDate(text string) (Date, error) {
	t, err := time.Parse("2006-01-02", text)
	if err != nil {
		return 0, &ValueError{What: fmt.Sprintf("%q is not a date", text),
			Fix: "write the day as YYYY-MM-DD, for example 2026-03-31"}
	}
	return DateOf(t), nil
}

// DateOf returns the day of t in its own zone.
func DateOf(t time.Time) Date {
	y, m, d := t.Date()
	return Date(y*10000 + int(m)*100 + d)
}

// Time returns midnight UTC of the day.
func (d Date) Time() time.Time {
	return time.Date(int(d)/10000, time.Month(int(d)/100%100), int(d)%100, 0, 0, 0, 0, time.UTC)
}

// IsZero says whether there is no date.
func (d Date) IsZero() bool { return d == 0 }

// Before says whether d is an earlier day than e.
func (d Date) Before(e Date) bool { return d < e }

// AddDays returns the day n days after d.
func (d Date) AddDays(n int) Date { return DateOf(d.Time().AddDate(0, 0, n)) }

// AddYears returns the same day n years after d.
func (d Date) AddYears(n int) Date { return DateOf(d.Time().AddDate(n, 0, 0)) }

// String returns the day as YYYY-MM-DD, or "" for no date.
func (d Date) String() string {
	if d.IsZero() {
		return ""
	}
	return fmt.Sprintf("%04d-%02d-%02d", int(d)/10000, int(d)/100%100, int(d)%100)
}

// MarshalText writes the day as YYYY-MM-DD.
func (d Date) MarshalText() ([]byte, error) { return []byte(d.String()), nil }
