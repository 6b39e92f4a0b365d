package frame

import "time"

// Ways in which people write a day that can be read in one way alone.
var dayForms = []string{"2/1/2006", "2.1.2006", "2-1-2006", "2 January 2006", "2 Jan 2006", "January 2, 2006",
	"Jan 2, 2006"}

// WrittenDay is a day as the files write it, of one that was typed in another way; a text that is no day,
// or that can be two, such as 3/4/2026, stays as it was typed.
func WrittenDay(typed string) string {
	for i, form := range dayForms {
		day, err := time.Parse(form, typed)
		if err != nil {
			continue
		}
		if numbers := i < 3; numbers && day.Day() <= 12 && day.Day() != int(day.Month()) {
			return typed // the month may come first
		}
		return day.Format(time.DateOnly)
	}
	return typed
}
