package workshop

import (
	"gallipot/ingredients/exact"
	"strings"
)

// LotUse is one lot with a date in a record.
type LotUse struct {
	Batch *Batch
	Lot   BatchLot
}

// lotKey tells lots apart: the maker's number, or the supplier's where there is no
// other, of one material; "" without a number.
func lotKey(ingredient string, lot BatchLot) string {
	name := strings.ToLower(strings.TrimSpace(LotName(lot)))
	if name == "" {
		return ""
	}
	return ingredient + "\x00" + name
}

// lotDates gives for each lot on record the use whose date most records have, the
// first of equals.
func lotDates(batches []*Batch) map[string]LotUse {
	uses := map[string]map[exact.Date]int{}
	EachLot(batches, func(_ *Batch, key string, lot BatchLot) {
		if uses[key] == nil {
			uses[key] = map[exact.Date]int{}
		}
		uses[key][lot.BestBefore]++
	})
	dates := map[string]LotUse{}
	EachLot(batches, func(b *Batch, key string, lot BatchLot) {
		if best, known := dates[key]; !known || uses[key][best.Lot.BestBefore] < uses[key][lot.BestBefore] {
			dates[key] = LotUse{b, lot}
		}
	})
	return dates
}

// EachLot visits every lot that has a number and a date.
func EachLot(batches []*Batch, visit func(b *Batch, key string, lot BatchLot)) {
	for _, b := range batches {
		for _, l := range b.Lines {
			for _, lot := range l.Lots {
				if key := lotKey(l.Ingredient, lot); key != "" && !lot.BestBefore.IsZero() {
					visit(b, key, lot)
				}
			}
		}
	}
}

func LotName(l BatchLot) string {
	if l.Lot != "" {
		return l.Lot
	}
	return l.SupplierLot
}
