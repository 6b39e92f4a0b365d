package stock

import (
	"cmp"
	"slices"
	"strings"

	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
)

// Book is what happened to each lot up to a day.
type Book struct {
	Since   exact.Date // the day the first lot was received; zero: none is on file
	Day     exact.Date
	Entries []*Entry // in the order of the files

	w      *workshop.Workshop
	number map[string]*Entry // by the maker's number
	theirs map[string][]*Entry
}

// Entry is the page of one lot. Amounts are in g for a raw material, in pieces for
// packaging.
type Entry struct {
	Lot     *workshop.Lot
	In      exact.Num // received
	Used    exact.Num // in batches, as far as it is written down
	Thrown  exact.Num // thrown away
	Missing exact.Num // by the counts: positive where less was there than the books had
	Left    exact.Num // never below 0; at most this where Unknown is not 0
	Unknown int       // uses without a mass since the last count
	Uses    []use     // by date
	Over    *use      // the first use beyond what was there; nil: none
	OverBy  exact.Num // by how much, with that use
	Counts  []count   // the counts that are not what the books had
}

// use is one use of a lot in a batch.
type use struct {
	Batch  *workshop.Batch
	Named  workshop.BatchLot // as the record has it
	Amount exact.Num
	Known  bool // false: its amount is not written down
	Pos    exact.Pos
}

// count is a count that is not what the books had.
type count struct {
	Move  workshop.LotMove
	Found exact.Num
	Books exact.Num
}

// Of keeps the books of a workshop up to a day.
func Of(w *workshop.Workshop, day exact.Date) *Book {
	b := &Book{Day: day, w: w, number: map[string]*Entry{}, theirs: map[string][]*Entry{}}
	for _, lot := range w.Lots {
		e := &Entry{Lot: lot}
		e.In, _ = workshop.AmountOf(lot.G, lot.Units)
		b.Entries = append(b.Entries, e)
		b.number[plain(lot.Code)] = e
		if lot.SupplierLot != "" {
			key := lot.Ingredient + "\x00" + plain(lot.SupplierLot)
			b.theirs[key] = append(b.theirs[key], e)
		}
		if !lot.Received.IsZero() && (b.Since.IsZero() || lot.Received.Before(b.Since)) {
			b.Since = lot.Received
		}
	}
	for _, record := range w.BatchRecords {
		if !day.Before(record.Date) {
			b.enter(record)
		}
	}
	for _, e := range b.Entries {
		e.reckon(b)
	}
	return b
}

func plain(number string) string { return strings.ToLower(strings.TrimSpace(number)) }

// enter notes the uses of one batch.
func (b *Book) enter(record *workshop.Batch) {
	for _, l := range record.Lines {
		for _, lot := range l.Lots {
			e := b.Find(l.Ingredient, lot)
			if e == nil {
				continue
			}
			u := use{Batch: record, Named: lot, Pos: lot.Pos}
			switch {
			case lot.G != nil:
				u.Amount, u.Known = *lot.G, true
			case l.WeighedG != nil && len(l.Lots) == 1:
				u.Amount, u.Known = *l.WeighedG, true
			case record.State() == "planned":
				continue // a lot that is meant to be used
			}
			e.Uses = append(e.Uses, u)
		}
	}
	for _, p := range record.Packaging {
		if e := b.number[plain(p.Lot)]; e != nil {
			u := use{Batch: record, Named: workshop.BatchLot{Lot: p.Lot}, Pos: p.Pos}
			if p.Units != nil {
				u.Amount, u.Known = exact.Int(int64(*p.Units)), true
			} else if record.State() == "planned" {
				continue
			}
			e.Uses = append(e.Uses, u)
		}
	}
}

// Find is the page of a lot that a record names, by the maker's number or, where that is
// none of ours, by the supplier's of the same material; nil where there is none, or
// several have the supplier's number.
func (b *Book) Find(ingredient string, lot workshop.BatchLot) *Entry {
	if e := b.number[plain(lot.Lot)]; e != nil {
		return e
	}
	for _, number := range []string{lot.Lot, lot.SupplierLot} {
		if list := b.theirs[ingredient+"\x00"+plain(number)]; plain(number) != "" && len(list) == 1 {
			return list[0]
		}
	}
	return nil
}

// Several says whether a lot cannot be told because several lots of the material have the
// supplier's number.
func (b *Book) Several(ingredient string, lot workshop.BatchLot) bool {
	return len(b.theirs[ingredient+"\x00"+plain(lot.Lot)]) > 1 ||
		len(b.theirs[ingredient+"\x00"+plain(lot.SupplierLot)]) > 1
}

// Number is the page of a lot by the maker's number, or nil.
func (b *Book) Number(code string) *Entry { return b.number[plain(code)] }

// event is one change of what is there.
type event struct {
	day  exact.Date
	last bool // a count, which is of the end of its day
	use  *use
	move workshop.LotMove
}

// reckon goes through what happened to a lot, day by day; a count is of the end of its
// day.
func (e *Entry) reckon(b *Book) {
	slices.SortStableFunc(e.Uses, func(x, y use) int { return cmp.Compare(x.Batch.Date, y.Batch.Date) })
	var events []event
	for i := range e.Uses {
		events = append(events, event{day: e.Uses[i].Batch.Date, use: &e.Uses[i]})
	}
	for _, m := range e.Lot.Discarded {
		events = append(events, event{day: m.Date, move: m})
	}
	for _, m := range e.Lot.Counted {
		events = append(events, event{day: m.Date, move: m, last: true})
	}
	events = slices.DeleteFunc(events, func(x event) bool { return b.Day.Before(x.day) })
	slices.SortStableFunc(events,
		func(x, y event) int { return cmp.Or(cmp.Compare(x.day, y.day), boolRank(x.last)-boolRank(y.last)) })
	left, steps := e.In, exact.Num{}
	for _, x := range events {
		switch {
		case x.use != nil:
			steps = steps.Add(b.stepOf(e.Lot, x.use.Batch))
			if !x.use.Known {
				e.Unknown++
				continue
			}
			e.Used = e.Used.Add(x.use.Amount)
			left = left.Sub(x.use.Amount)
			if e.Over == nil && left.Add(steps).Sign() < 0 {
				e.Over, e.OverBy = x.use, exact.Num{}.Sub(left)
			}
		case x.last:
			found, ok := workshop.AmountOf(x.move.G, x.move.Units)
			if !ok {
				continue
			}
			if off := left.Sub(found); steps.Less(off.Max(off.Neg())) && e.Unknown == 0 {
				e.Counts = append(e.Counts, count{x.move, found, left})
			}
			e.Missing = e.Missing.Add(left.Sub(found))
			left, steps, e.Unknown = found, exact.Num{}, 0
		default:
			if gone, ok := workshop.AmountOf(x.move.G, x.move.Units); ok {
				e.Thrown = e.Thrown.Add(gone)
				left = left.Sub(gone)
			}
		}
	}
	if left.Sign() > 0 {
		e.Left = left
	}
}

// stepOf is what one weighing is uncertain by, g; packaging is counted without a doubt.
func (b *Book) stepOf(lot *workshop.Lot, record *workshop.Batch) (step exact.Num) {
	switch {
	case lot.IsPackaging():
	case record.DivisionG != nil:
		step = *record.DivisionG
	case b.w.BalanceDivisionG != nil:
		step = *b.w.BalanceDivisionG
	}
	return step
}

func boolRank(b bool) int {
	if b {
		return 1
	}
	return 0
}

// ByLot says whether a material is bought and kept by the lot; false where its sheet says
// that it is not, and where the workshop keeps no lots.
func (b *Book) ByLot(ingredient string) bool {
	if b.Since.IsZero() {
		return false
	}
	s := b.w.Sheets[ingredient]
	return s == nil || !s.Purchase.NotByLot
}
