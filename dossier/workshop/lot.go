package workshop

import (
	"strings"

	"gallipot/ingredients/exact"
	"gallipot/ingredients/source"
)

// Lot is one delivery of a raw material, of packaging or of printed labels: one file in
// the workshop's lots folder, named by the maker's own number. What is not written down
// is missing, never 0. Masses are in g; packaging is counted in units.
type Lot struct {
	Source *source.Source

	Code          string
	Ingredient    string // id of a sheet; "" for packaging
	IngredientPos exact.Pos
	Item          string      // what it is, of packaging; "" for a raw material
	Label         *PrintedFor // of labels: what they were printed for; nil for other packaging
	Supplier      string      // "" where it is that of the sheet
	SupplierLot   string
	Received      exact.Date
	ReceivedPos   exact.Pos
	BestBefore    exact.Date // zero: none is stated
	BestBeforePos exact.Pos
	Retest        exact.Date  // to be tested again before it is used on or after this day; zero: not
	G             *exact.Num  // g received, of a raw material
	Units         *int        // received, of packaging
	Price         *exact.Num  // of the whole lot, maker's currency; nil: not given
	Certificate   Certificate // of analysis
	Holds         []LotHold
	Discarded     []LotMove
	Counted       []LotMove // what was found to be there, at the end of the day
	Remarks       string
	Pos           exact.Pos // the code
}

// PrintedFor is what labels were printed for.
type PrintedFor struct {
	Product     string
	Variant     string // "" for a product without variants
	Market      string
	Revision    int    // of the product; 0: not stated
	Ingredients string // the list as printed on them
	Pos         exact.Pos
}

// Certificate is the certificate of analysis of a lot.
type Certificate struct {
	File    string
	Dated   exact.Date
	Results []LotResult
	Pos     exact.Pos
}

// LotResult is one thing that was tested, with what was wanted; Wanted is "" where
// the certificate does not say.
type LotResult struct {
	What, Found, Wanted string
	Pos                 exact.Pos
}

// LotHold is a time in which a lot may not be used.
type LotHold struct {
	From   exact.Date
	Until  exact.Date // the day it was released; zero: it still is on hold
	Reason string
	Pos    exact.Pos
}

// On says whether the lot was on hold on a day.
func (h LotHold) On(day exact.Date) bool {
	return !day.Before(h.From) && (h.Until.IsZero() || day.Before(h.Until))
}

// LotMove is a mass or a number on a day: thrown away, or counted.
type LotMove struct {
	Date   exact.Date
	G      *exact.Num // g, of a raw material
	Units  *int       // of packaging
	Reason string
	Pos    exact.Pos
}

// AmountOf is what was received, thrown away or counted: g of a raw material, units of
// packaging.
func AmountOf(g *exact.Num, units *int) (n exact.Num, known bool) {
	switch {
	case g != nil:
		return *g, true
	case units != nil:
		return exact.Int(int64(*units)), true
	}
	return n, false
}

// Holding is the hold on a day, or nil.
func (l *Lot) Holding(day exact.Date) *LotHold {
	for i := range l.Holds {
		if l.Holds[i].On(day) {
			return &l.Holds[i]
		}
	}
	return nil
}

// IsPackaging says whether the lot is counted in units.
func (l *Lot) IsPackaging() bool { return l.Ingredient == "" }

// Unit is what the lot is measured in.
func (l *Lot) Unit() string {
	if l.IsPackaging() {
		return "pcs"
	}
	return "g"
}

// SameLot compares numbers of lots as people write them.
func SameLot(a, b string) bool {
	return strings.EqualFold(strings.TrimSpace(a), strings.TrimSpace(b))
}
