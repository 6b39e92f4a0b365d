package stock

import (
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
)

// PriceOf is what a gram of a material costs, by the lot that is used next or else the one
// received last, with the number of that lot; nil where no lot has a price.
func (b *Book) PriceOf(ingredient string) (perG *exact.Num, lot string) {
	for _, e := range b.usable(ingredient, b.Day) {
		if n := e.each(); n != nil {
			return n, e.Lot.Code
		}
	}
	return b.PieceOf(func(l *workshop.Lot) bool { return l.Ingredient == ingredient && ingredient != "" })
}

// PieceOf is what one piece or gram costs of the lot received last, among those that fit
// and have a price, with the number of that lot; nil where there is none.
func (b *Book) PieceOf(fits func(*workshop.Lot) bool) (each *exact.Num, lot string) {
	var last *Entry
	for _, e := range b.Entries {
		if fits(e.Lot) && e.each() != nil && !b.Day.Before(e.Lot.Received) &&
			(last == nil || !e.Lot.Received.Before(last.Lot.Received)) {
			last = e
		}
	}
	if last == nil {
		return nil, ""
	}
	return last.each(), last.Lot.Code
}

// each is the price of a gram or a piece; nil where none is stated.
func (e *Entry) each() *exact.Num {
	if e.Lot.Price == nil || e.In.IsZero() {
		return nil
	}
	n := e.Lot.Price.Quo(e.In)
	return &n
}
