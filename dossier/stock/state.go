package stock

import "gallipot/ingredients/exact"

// state is whether a lot may be used on a day.
type state string

// The states of a lot.
const (
	usable   state = "in date"
	expired  state = "expired"
	onHold   state = "on hold"
	retest   state = "to be tested again"
	notYet   state = "not received yet"
	usedUp   state = "used up"
	noExpiry state = "no date stated"
	there    state = "there"
)

// StateOn is the state of a lot on a day. On its last day a lot may still be used.
func (e *Entry) StateOn(day exact.Date) state {
	l := e.Lot
	switch {
	case e.IsUsedUp():
		return usedUp
	case l.Holding(day) != nil:
		return onHold
	case !l.BestBefore.IsZero() && l.BestBefore.Before(day):
		return expired
	case !l.Retest.IsZero() && !day.Before(l.Retest):
		return retest
	case day.Before(l.Received):
		return notYet
	case l.BestBefore.IsZero() && l.IsPackaging():
		return there
	case l.BestBefore.IsZero():
		return noExpiry
	}
	return usable
}

// MayUse says whether a lot of this state may be taken.
func (s state) MayUse() bool { return s == usable || s == noExpiry || s == there }

// IsUsedUp says whether nothing of it is left by the books.
func (e *Entry) IsUsedUp() bool { return e.Left.IsZero() }
