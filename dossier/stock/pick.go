package stock

import (
	"cmp"
	"slices"

	"gallipot/ingredients/exact"
)

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
	case e.Left.IsZero():
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

// pick is how much to take of one lot.
type pick struct {
	Entry  *Entry
	Amount exact.Num
}

// shelf is what may be taken on a day, less what was taken from it.
type shelf struct {
	b     *Book
	day   exact.Date
	taken map[*Entry]exact.Num
}

// Shelf is what may be taken on a day.
func (b *Book) Shelf(day exact.Date) *shelf {
	return &shelf{b: b, day: day, taken: map[*Entry]exact.Num{}}
}

// Take proposes what to take for an amount of a material, the lot that expires first
// before the others, and says how much there is not.
func (s *shelf) Take(ingredient string, amount exact.Num) (picks []pick, short exact.Num) {
	for _, e := range s.b.usable(ingredient, s.day) {
		take := e.Left.Sub(s.taken[e]).Min(amount)
		if take.Sign() <= 0 {
			continue
		}
		picks = append(picks, pick{e, take})
		s.taken[e] = s.taken[e].Add(take)
		amount = amount.Sub(take)
	}
	if amount.Sign() > 0 {
		short = amount
	}
	return picks, short
}

// usable are the lots of a material that may be taken on a day, in the order in which
// they are to be used.
func (b *Book) usable(ingredient string, day exact.Date) []*Entry {
	var list []*Entry
	for _, e := range b.Entries {
		if e.Lot.Ingredient == ingredient && ingredient != "" && e.StateOn(day).MayUse() {
			list = append(list, e)
		}
	}
	last := func(d exact.Date) exact.Date {
		if d.IsZero() {
			return 99991231
		}
		return d
	}
	slices.SortStableFunc(list, func(x, y *Entry) int {
		return cmp.Or(cmp.Compare(last(x.Lot.BestBefore), last(y.Lot.BestBefore)),
			cmp.Compare(x.Lot.Received, y.Lot.Received), cmp.Compare(x.Lot.Code, y.Lot.Code))
	})
	return list
}

// Usable is how much of a material may be taken on a day, g.
func (b *Book) Usable(ingredient string, day exact.Date) (sum exact.Num) {
	for _, e := range b.usable(ingredient, day) {
		sum = sum.Add(e.Left)
	}
	return sum
}

// Barred is how much of a material is there and may not be taken on a day, g.
func (b *Book) Barred(ingredient string, day exact.Date) (sum exact.Num) {
	for _, e := range b.Entries {
		if s := e.StateOn(day); e.Lot.Ingredient == ingredient && (s == onHold || s == expired || s == retest) {
			sum = sum.Add(e.Left)
		}
	}
	return sum
}

// HasLots says whether a lot of a material is on file.
func (b *Book) HasLots(ingredient string) bool {
	return slices.ContainsFunc(b.Entries, func(e *Entry) bool { return e.Lot.Ingredient == ingredient })
}
