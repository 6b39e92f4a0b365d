package ageing

import (
	"math"

	"gallipot/calc/law"
	"gallipot/calc/law/safety"
	"gallipot/calc/law/table"
	"gallipot/calc/law/trade"
	"gallipot/ingredients/exact"
)

// Storage is one storage test as far as its readings were good.
type Storage struct {
	TempC exact.Num // °C
	Weeks exact.Num // weeks to the last reading before anything was out of order
}

// storageKind says what a storage test can speak for.
type storageKind string

// The kinds of storage test.
const (
	StorageReal        storageKind = "real time"   // at room temperature
	StorageAccelerated storageKind = "accelerated" // warmer
	StorageCold        storageKind = "cold"        // says nothing on the length of life
)

// StorageSpan is what one storage test supports.
type StorageSpan struct {
	Storage
	Kind   storageKind
	Factor float64 // months on the shelf for one month of test; 1 in real time, 0 when cold
	Months float64 // months on the shelf
}

// ShelfLife is what storage tests support, by a rule of thumb.
type ShelfLife struct {
	Spans      []StorageSpan
	Real       *float64 // months, the longest in real time; nil: no such test
	Accelerate *float64 // months, the longest of the warm tests; nil: no such test
	Months     *float64 // the shorter of both; nil: no test speaks for it
	Q10        *trade.Fact
	StoreC     exact.Num // °C, the shelf that warm tests are compared with: the upper end of Room
	Room       *safety.StabilityItem
}

// SupportedLife works out for how long storage tests speak.
//
//	real time:    months = weeks × 12 / 52
//	accelerated:  months = weeks × 12 / 52 × Q10^((T test − T store) / 10)
//
// The shelf is taken at the upper end of room temperature, the cautious side. The
// answer is the shorter of the two: an estimate never runs ahead of real time
// where there is any. Not for melting, light or microbes, whose ageing does not
// follow temperature so.
//
// Source: stability-micro.csv rows S2, Q5 to Q7 and Q9; facts.csv row ageing-q10;
// common practice. Worked case: 3 months at 40 °C and Q10 2 from 25 °C are 8.5.
func SupportedLife(tests []Storage, tables *table.Tables) ShelfLife {
	l := ShelfLife{Q10: law.Fact(tables, "ageing-q10"), Room: law.StabilityRow(tables, "S2")}
	low, high := *l.Room.Low, *l.Room.High
	l.StoreC = high
	longest := func(best *float64, months float64) *float64 {
		if best == nil || *best < months {
			return &months
		}
		return best
	}
	for _, t := range tests {
		s := StorageSpan{Storage: t, Kind: StorageReal, Factor: 1}
		switch {
		case t.TempC.Less(low):
			s.Kind, s.Factor = StorageCold, 0
		case high.Less(t.TempC):
			s.Kind = StorageAccelerated
			s.Factor = math.Pow(l.Q10.Float(), t.TempC.Sub(l.StoreC).Float()/10)
		}
		s.Months = t.Weeks.Mul(exact.Frac(12, 52)).Float() * s.Factor
		l.Spans = append(l.Spans, s)
		switch {
		case t.Weeks.IsZero():
		case s.Kind == StorageReal:
			l.Real = longest(l.Real, s.Months)
		case s.Kind == StorageAccelerated:
			l.Accelerate = longest(l.Accelerate, s.Months)
		}
	}
	switch {
	case l.Real == nil:
		l.Months = l.Accelerate
	case l.Accelerate == nil || *l.Real < *l.Accelerate:
		l.Months = l.Real
	default:
		l.Months = l.Accelerate
	}
	return l
}

// Supports says whether the tests speak for a number of months. A hair below
// counts as enough, for weeks and months do not divide.
func (l ShelfLife) Supports(months int) bool {
	return l.Months != nil && *l.Months >= float64(months)-1e-6
}
