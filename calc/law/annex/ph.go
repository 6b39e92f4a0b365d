package annex

import "gallipot/ingredients/exact"

// Words says what the criterion asks for.
func (ph *PHBand) Words() string {
	switch {
	case ph.Min != nil && ph.Max != nil:
		return "pH from " + ph.Min.Exact() + " to " + ph.Max.Exact()
	case ph.Max != nil && ph.MaxOpen:
		return "pH below " + ph.Max.Exact()
	case ph.Max != nil:
		return "pH at most " + ph.Max.Exact()
	case ph.MinOpen:
		return "pH above " + ph.Min.Exact()
	}
	return "pH at least " + ph.Min.Exact()
}

// Kept says whether a measured pH keeps the criterion; both are false where it does in part
// of its range only.
func (ph *PHBand) Kept(measured exact.Range) (kept, broken bool) {
	tooHigh := func(n exact.Num) bool {
		return ph.Max != nil && (ph.Max.Less(n) || ph.MaxOpen && !n.Less(*ph.Max))
	}
	tooLow := func(n exact.Num) bool {
		return ph.Min != nil && (n.Less(*ph.Min) || ph.MinOpen && !ph.Min.Less(n))
	}
	return !tooHigh(measured.Max) && !tooLow(measured.Min), tooHigh(measured.Min) || tooLow(measured.Max)
}
