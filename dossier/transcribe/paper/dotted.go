package paper

import (
	"cmp"
	"math"
	"slices"
)

// What makes dots and dashes one line: how long one is at most, how far the next one stands at
// most, and from how many on. In points; our own choice.
const (
	longestDash = 6.0
	dashGap     = 4.0
	leastDashes = 6
)

// wholeLines joins the dots and dashes of a line that is printed dotted or dashed: each is an
// object of its own in the file.
func wholeLines(rules []Rule) []Rule {
	var out, small []Rule
	for _, r := range rules {
		if r.X1-r.X0 <= longestDash && r.Y1-r.Y0 <= longestDash {
			small = append(small, r)
		} else {
			out = append(out, r)
		}
	}
	if len(small) < leastDashes {
		return rules
	}
	lines, rest := chains(small, func(r Rule) (across, from, to float64) { return r.Y0, r.X0, r.X1 })
	upright, rest := chains(rest, func(r Rule) (across, from, to float64) { return r.X0, r.Y0, r.Y1 })
	return append(append(append(out, lines...), upright...), rest...)
}

// chains joins the dashes that stand one behind the other; at gives where one stands across
// the line, and from where to where it reaches along it.
func chains(dashes []Rule, at func(Rule) (across, from, to float64)) (lines, rest []Rule) {
	place := func(r Rule) float64 { across, _, _ := at(r); return math.Round(2 * across) }
	slices.SortFunc(dashes, func(a, b Rule) int {
		_, x, _ := at(a)
		_, y, _ := at(b)
		return cmp.Or(cmp.Compare(place(a), place(b)), cmp.Compare(x, y))
	})
	for i := 0; i < len(dashes); {
		whole := dashes[i]
		j := i + 1
		for ; j < len(dashes) && place(dashes[j]) == place(dashes[i]); j++ {
			_, from, _ := at(dashes[j])
			if _, _, end := at(whole); from-end > dashGap {
				break
			}
			whole = Rule{min(whole.X0, dashes[j].X0), min(whole.Y0, dashes[j].Y0),
				max(whole.X1, dashes[j].X1), max(whole.Y1, dashes[j].Y1)}
		}
		if j-i >= leastDashes {
			lines = append(lines, whole)
		} else {
			rest = append(rest, dashes[i:j]...)
		}
		i = j
	}
	return lines, rest
}
