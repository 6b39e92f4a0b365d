package workshop

import (
	"regexp"
	"strings"

	"gallipot/ingredients/exact"
)

// wantedForms are the forms in which people write what a number has to be: a range, a
// bound, or the number itself.
var (
	wantedRange = regexp.MustCompile(`^([0-9.]+)\s*(?:-|–|to)\s*([0-9.]+)$`)
	wantedBound = regexp.MustCompile(`^(<=?|≤|max\.?|up to|at most|>=?|≥|min\.?|at least)\s*([0-9.]+)$`)
)

// Outside says whether a number that was found is outside a wanted number or range. Words,
// and amounts with a unit, are left to people.
func Outside(found, wanted string) bool {
	n, err := exact.ParseNum(strings.TrimSpace(found))
	if err != nil {
		return false
	}
	wanted = strings.ToLower(strings.TrimSpace(wanted))
	num := func(text string) (x exact.Num, ok bool) {
		x, err := exact.ParseNum(text)
		return x, err == nil
	}
	if m := wantedRange.FindStringSubmatch(wanted); m != nil {
		low, lowOK := num(m[1])
		high, highOK := num(m[2])
		return lowOK && highOK && (n.Less(low) || high.Less(n))
	}
	if m := wantedBound.FindStringSubmatch(wanted); m != nil {
		bound, ok := num(m[2])
		switch {
		case !ok:
			return false
		case m[1] == "<":
			return !n.Less(bound)
		case m[1] == ">":
			return !bound.Less(n)
		case strings.HasPrefix(m[1], "<"), m[1] == "≤", strings.HasPrefix(m[1], "max"), m[1] == "up to", m[1] == "at most":
			return bound.Less(n)
		}
		return n.Less(bound)
	}
	exactly, ok := num(wanted)
	return ok && !exactly.Equal(n)
}
