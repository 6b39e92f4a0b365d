package stock

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"gallipot/dossier/document"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
)

// itemOrder is what to order of packaging or labels for the batches that are planned, in
// pieces.
type itemOrder struct {
	Item     string     `json:"item"`
	Supplier string     `json:"supplier"` // "" where none is entered
	Need     int        `json:"need_units"`
	There    int        `json:"there_units"`
	Short    int        `json:"short_units"`
	Packs    int        `json:"packs"`      // to order
	PackOf   int        `json:"pack_units"` // pieces in one; 0 where that is not stated
	LeadDays int        `json:"lead_days"`
	OrderBy  exact.Date `json:"order_by"` // zero: no lead time is stated
	First    exact.Date `json:"first_batch"`
	Batches  []string   `json:"batches"`

	cost workshop.PackagingCost
	fits func(*workshop.Lot) bool
}

// OrdersOfItems lists what packaging and labels are short for the batches that are
// planned, by what the product's file says a pack takes. unknown are the planned batches
// of which that cannot be told.
func (b *Book) OrdersOfItems() (list []*itemOrder, unknown []string) {
	byKey := map[string]*itemOrder{}
	for _, record := range b.w.BatchRecords {
		p := b.w.Product(record.Product)
		if record.State() != "planned" || p == nil {
			continue
		}
		packs := record.PlannedUnits
		if packs == nil || p.Costs.Packaging == nil {
			unknown = append(unknown, record.Code)
			continue
		}
		for _, cost := range p.Costs.Packaging {
			key, fits := b.itemOf(cost.Item, p, record.Variant)
			o := byKey[key]
			if o == nil {
				o = &itemOrder{Item: cost.Item, cost: cost, fits: fits}
				if key != strings.ToLower(strings.TrimSpace(cost.Item)) {
					o.Item = cost.Item + " for " + labelled(p, record.Variant)
				}
				byKey[key], list = o, append(list, o)
			}
			o.Need += *packs * cost.Units
			o.Batches = words.AddOnce(o.Batches, record.Code)
			if o.First.IsZero() || record.Date.Before(o.First) {
				o.First = record.Date
			}
		}
	}
	for _, o := range list {
		b.there(o)
	}
	list = slices.DeleteFunc(list, func(o *itemOrder) bool { return o.Short <= 0 })
	slices.SortStableFunc(list, func(x, y *itemOrder) int {
		return cmp.Or(cmp.Compare(x.Supplier, y.Supplier), cmp.Compare(x.Item, y.Item))
	})
	return list, unknown
}

// itemOf tells the lots of an item: of labels those of the variant and of the revision
// that the product has now.
func (b *Book) itemOf(item string, p *workshop.Product, variant string) (string, func(*workshop.Lot) bool) {
	name := strings.ToLower(strings.TrimSpace(item))
	if name != "label" {
		return name, func(l *workshop.Lot) bool {
			return l.IsPackaging() && l.Label == nil && strings.EqualFold(strings.TrimSpace(l.Item), name)
		}
	}
	return name + "\x00" + p.ID + "\x00" + variant, func(l *workshop.Lot) bool {
		return l.Label != nil && l.Label.Product == p.ID && l.Label.Variant == variant &&
			(l.Label.Revision == 0 || l.Label.Revision == p.Revision)
	}
}

// labelled is what stands on the label of a variant.
func labelled(p *workshop.Product, id string) string {
	for _, v := range p.Variants {
		if v.ID == id && id != "" {
			return cmp.Or(v.Name, words.Joined(", ", p.Name, v.ID))
		}
	}
	return p.Name
}

// there counts the pieces that can be used, and adds what is known of buying. What a
// planned batch names already is there for it.
func (b *Book) there(o *itemOrder) {
	var last *Entry
	for _, e := range b.Entries {
		if !o.fits(e.Lot) || b.Day.Before(e.Lot.Received) {
			continue
		}
		if last == nil || !e.Lot.Received.Before(last.Lot.Received) {
			last = e
		}
		left := e.Left
		for _, u := range e.Uses {
			if u.Known && u.Batch.State() == "planned" {
				left = left.Add(u.Amount)
			}
		}
		if s := e.StateOn(latest(b.Day, o.First)); s == usable || s == there || s == usedUp || s == noExpiry {
			o.There += int(left.Floor().Float())
		}
	}
	o.Short = max(0, o.Need-o.There)
	o.Supplier = o.cost.Supplier
	if o.Supplier == "" && last != nil {
		o.Supplier = last.Lot.Supplier
	}
	if o.PackOf = o.cost.PackUnits; o.PackOf > 0 {
		o.Packs = (o.Short + o.PackOf - 1) / o.PackOf
	}
	if o.LeadDays = o.cost.LeadDays; o.LeadDays > 0 && !o.First.IsZero() {
		o.OrderBy = o.First.AddDays(-o.LeadDays)
	}
}

// itemTable is what to order of packaging and labels.
func (b *Book) itemTable() (t *document.Table, unknown []string) {
	list, unknown := b.OrdersOfItems()
	t = &document.Table{ID: "order-items", SheetName: "Packaging",
		Empty: "No packaging is short for the planned batches of which it is known what they take.",
		Columns: []document.Column{
			{Head: "Item", Fixed: true, Weight: 1.6}, {Head: "Needed", Unit: "pcs", Kind: document.KindNumber},
			{Head: "There", Unit: "pcs", Kind: document.KindNumber},
			{Head: "Short", Unit: "pcs", Kind: document.KindNumber}, {Head: "Order"}, {Head: "Order by",
				Kind: document.KindText}, {Head: "For batches", Weight: 1.2}}}
	supplier := "\x00"
	for _, o := range list {
		if o.Supplier != supplier {
			supplier = o.Supplier
			t.Group(words.OrWord(supplier, "No supplier is entered"))
		}
		t.Add(document.TextCell(o.Item), document.IntCell(o.Need), document.IntCell(o.There), document.IntCell(o.Short),
			o.packsCell(), dayToOrder(o.OrderBy, b.Day), document.TextCell(words.JoinNames(o.Batches)))
	}
	return t, unknown
}

func (o *itemOrder) packsCell() document.Cell {
	if o.PackOf == 0 {
		return document.MissingCell("pack size is not stated")
	}
	return document.TextCell(fmt.Sprintf("%d × %d", o.Packs, o.PackOf))
}
