package stock

import (
	"cmp"
	"slices"

	"gallipot/ingredients/exact"
)

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
