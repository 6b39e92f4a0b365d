// Package wanted holds what was found to what was wanted, as people write both: "5.4" in "5-6",
// "24 mmol/kg" under "max. 20 mmol/kg".
package wanted

import (
	"strings"

	"gallipot/ingredients/exact"
	"gallipot/ingredients/pattern"
)

// Verdict is what a comparison comes to.
type Verdict int

// The verdicts.
const (
	Unknown Verdict = iota // words, or units that differ: a person has to look
	Within
	Outside
)

// The forms in which people write what a number has to be: a range, a bound, or the number
// itself; each with a unit behind it or without.
var (
	rangeForm = pattern.New(`^([0-9.,]+)\s*(?:-|–|to|bis|à)\s*([0-9.,]+)\s*(.*)$`)
	boundForm = pattern.New(`^(<=?|≤|max(?:imum|\.)?|up to|at most|not more than|>=?|≥|min(?:imum|\.)?|at least|not less than)\s*([0-9.,]+)\s*(.*)$`)
	plainForm = pattern.New(`^([0-9.,]+)\s*(.*)$`)
	commaForm = pattern.New(`^[0-9]+,(?:[0-9]{1,2}|[0-9]{4,})$`) // three digits may be thousands
)

// bounds are what a text allows: from low to high, without them where open; nil is no bound.
type bounds struct {
	low, high         *exact.Num
	openLow, openHigh bool
	unit              string
}

// number reads a number with a point or a comma.
func number(text string) *exact.Num {
	if commaForm.MatchString(text) {
		text = strings.Replace(text, ",", ".", 1)
	}
	n, err := exact.ParseNum(strings.TrimRight(text, "."))
	if err != nil {
		return nil
	}
	return &n
}

// unit is a unit without case and blanks.
func unit(text string) string { return strings.ReplaceAll(strings.ToLower(text), " ", "") }

func read(text string) (b bounds, ok bool) {
	text = strings.ToLower(strings.TrimSpace(text))
	if m := rangeForm.FindStringSubmatch(text); m != nil {
		b = bounds{low: number(m[1]), high: number(m[2]), unit: unit(m[3])}
		return b, b.low != nil && b.high != nil
	}
	if m := boundForm.FindStringSubmatch(text); m != nil {
		n := number(m[2])
		if b.unit = unit(m[3]); strings.HasPrefix(m[1], ">") || m[1] == "≥" || strings.HasPrefix(m[1], "min") ||
			strings.HasSuffix(m[1], "least") || m[1] == "not less than" {
			b.low, b.openLow = n, m[1] == ">"
		} else {
			b.high, b.openHigh = n, m[1] == "<"
		}
		return b, n != nil
	}
	if m := plainForm.FindStringSubmatch(text); m != nil {
		n := number(m[1])
		return bounds{low: n, high: n, unit: unit(m[2])}, n != nil
	}
	return b, false
}

// Of says whether what was found is within what was wanted. A bound that was found, such as
// <5, is within only where all that it allows is; a unit on one side alone is that of the other.
func Of(found, want string) Verdict {
	f, ok1 := read(found)
	w, ok2 := read(want)
	if !ok1 || !ok2 || f.unit != "" && w.unit != "" && f.unit != w.unit {
		return Unknown
	}
	switch {
	case w.high != nil && (f.high == nil || w.high.Less(*f.high) ||
		w.openHigh && !f.openHigh && f.high.Equal(*w.high)):
		return Outside
	case w.low != nil && (f.low == nil || f.low.Less(*w.low) ||
		w.openLow && !f.openLow && f.low.Equal(*w.low)):
		// below a bound: nothing says that it is not less than wanted
		return Outside
	}
	return Within
}

// Figure says whether a text names a figure, a range or a bound: what was found is then a figure
// too, or nobody has compared it.
func Figure(want string) bool {
	_, ok := read(want)
	return ok
}
