package scale

import (
	"cmp"
	"fmt"
	"slices"

	"gallipot/dossier/bench/frame"
	"gallipot/dossier/stock"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
)

// lot is one that may be chosen for a line, or that may not be used, and why.
type lot struct {
	Lot, Until, Left, State string
	Off                     bool // may not be used
}

// lots lists those of a material: what the books have, first what expires first, then those
// of earlier batches that the books do not know.
func lots(w *workshop.Workshop, ingredient string, day exact.Date) []lot {
	books := stock.Of(w, day)
	entries := slices.DeleteFunc(slices.Clone(books.Entries), func(e *stock.Entry) bool {
		return e.Lot.Ingredient != ingredient
	})
	slices.SortStableFunc(entries, func(a, b *stock.Entry) int {
		last := func(d exact.Date) exact.Date {
			if d.IsZero() {
				return 99991231
			}
			return d
		}
		return cmp.Or(cmp.Compare(last(a.Lot.BestBefore), last(b.Lot.BestBefore)),
			cmp.Compare(a.Lot.Received, b.Lot.Received))
	})
	var list []lot
	for _, e := range entries {
		state := e.StateOn(day)
		l := lot{Lot: e.Lot.Code, Left: e.Left.Exact() + " " + e.Lot.Unit(), State: string(state),
			Off: !state.MayUse()}
		if !e.Lot.BestBefore.IsZero() {
			l.Until = e.Lot.BestBefore.String()
		}
		list = append(list, l)
	}
	slices.SortStableFunc(list, func(a, b lot) int {
		if a.Off == b.Off {
			return 0
		}
		return map[bool]int{true: 1, false: -1}[a.Off]
	})
	seen := map[string]bool{}
	for _, l := range list {
		seen[l.Lot] = true
	}
	for i := len(w.BatchRecords) - 1; i >= 0; i-- {
		for _, l := range w.BatchRecords[i].Lines {
			for _, x := range l.Lots {
				if l.Ingredient != ingredient || x.Lot == "" || seen[x.Lot] || books.Find(ingredient, x) != nil {
					continue
				}
				seen[x.Lot] = true
				entry := lot{Lot: x.Lot, State: "of an earlier batch"}
				if !x.BestBefore.IsZero() {
					entry.Until = x.BestBefore.String()
					if x.BestBefore < day {
						entry.State, entry.Off = "expired", true
					}
				}
				list = append(list, entry)
			}
		}
	}
	return list
}

// barred says why a lot that the books know may not be used for a material on a day; empty
// where it may, or where the books do not know it.
func barred(w *workshop.Workshop, ingredient, code string, day exact.Date) string {
	books := stock.Of(w, day)
	e := books.Number(code)
	if e == nil {
		e = books.Find(ingredient, workshop.BatchLot{Lot: code})
	}
	if e == nil {
		return ""
	}
	state := e.StateOn(day)
	hold := e.Lot.Holding(day)
	switch {
	case e.Lot.Ingredient != ingredient:
		return fmt.Sprintf("Lot %s is on file as %s, not as %s. Look at the label once more.", code,
			books.Name(e.Lot), frame.NamesOf(w).Name(ingredient))
	case hold != nil && hold.Reason != "":
		return fmt.Sprintf("Lot %s is on hold: %s. Take another lot.", code, hold.Reason)
	case e.IsUsedUp():
		return fmt.Sprintf("Lot %s is used up by the books. Take another lot, or count it on Stock if some is there.",
			code)
	case !state.MayUse() && !e.Lot.BestBefore.IsZero() && e.Lot.BestBefore.Before(day):
		return fmt.Sprintf("Lot %s expired on %s, before the day of this batch. Take another lot.", code,
			frame.Day(e.Lot.BestBefore))
	case !state.MayUse():
		return fmt.Sprintf("Lot %s is %s. Take another lot.", code, state)
	}
	return ""
}
