package finding

import "strings"

// Next chooses what to settle first: stops before asks, one for each cause, those of
// batches with packs in the room before all.
func Next(all []Finding, n int) []Finding {
	var first []Finding
	seen := map[string]bool{}
	take := func(want func(*Finding) bool) {
		for i := range all {
			f := &all[i]
			cause := f.Code + f.Pos.File
			if len(first) < n && !seen[cause] && want(f) {
				seen[cause] = true
				first = append(first, *f)
			}
		}
	}
	take(func(f *Finding) bool { return f.Severity == Stop && strings.HasPrefix(f.Pos.File, "batches/") })
	take(func(f *Finding) bool { return f.Severity == Stop })
	take(func(f *Finding) bool { return f.Severity == Ask })
	return first
}
