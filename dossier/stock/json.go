package stock

import (
	"io"

	"gallipot/dossier/store"
	"gallipot/ingredients/exact"
)

// entryJSON is one lot. Amounts are in the unit that stands beside them.
type entryJSON struct {
	Lot         string     `json:"lot"`
	Ingredient  string     `json:"ingredient,omitempty"`
	Item        string     `json:"item,omitempty"`
	SupplierLot string     `json:"supplier_lot"`
	Received    exact.Date `json:"received"`
	BestBefore  exact.Date `json:"best_before"`
	In          exact.Num  `json:"in"`
	Used        exact.Num  `json:"used"`
	Thrown      exact.Num  `json:"thrown_away"`
	Missing     exact.Num  `json:"unaccounted"`
	Left        exact.Num  `json:"left"`
	AtMost      bool       `json:"left_is_at_most"` // uses without a mass are not taken off
	Unit        string     `json:"unit"`
	State       state      `json:"state"`
}

// WriteJSON prints the lots of a material or item, all for "".
func (b *Book) WriteJSON(w io.Writer, only string) error {
	list := []entryJSON{}
	for _, e := range b.Of(only) {
		l := e.Lot
		list = append(list, entryJSON{l.Code, l.Ingredient, l.Item, l.SupplierLot, l.Received, l.BestBefore, e.In,
			e.Used, e.Thrown, e.Missing, e.Left, e.Unknown > 0, l.Unit(), e.StateOn(b.Day)})
	}
	return store.WriteIndented(w, list)
}

// WriteOrderJSON prints what to order: materials, then packaging and labels.
func (b *Book) WriteOrderJSON(w io.Writer) error {
	list := []any{}
	for _, o := range b.Orders() {
		list = append(list, o)
	}
	items, _ := b.OrdersOfItems()
	for _, o := range items {
		list = append(list, o)
	}
	return store.WriteIndented(w, list)
}
