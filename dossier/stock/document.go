package stock

import (
	"fmt"
	"slices"
	"strings"

	"gallipot/dossier/document"
	"gallipot/dossier/words"
	"gallipot/ingredients/exact"
)

// Document is what there is of each lot, of one material or item where one is named, and
// what there is to say about lots.
func (b *Book) Document(only string) *document.Document {
	d := &document.Document{Title: "Stock", Language: "en-GB", Author: b.w.Maker.Name, Date: b.Day,
		NoContents: true,
		Caution:    "as far as records tell; what was not written down is still in these figures"}
	t := &document.Table{ID: "stock-lots", SheetName: "Stock", Empty: "No lot is on file.",
		Columns: []document.Column{
			{Head: "Material or item", Fixed: true,
				Weight: 1.6}, {Head: "Lot"}, {Head: "Supplier's lot"}, {Head: "Received",
				Kind: document.KindText}, {Head: "Good until", Kind: document.KindText},
			{Head: "In", Kind: document.KindNumber}, {Head: "Used", Kind: document.KindNumber}, {Head: "Thrown away",
				Kind: document.KindNumber}, {Head: "Unaccounted", Kind: document.KindNumber},
			{Head: "Left", Kind: document.KindNumber}, {Head: "State"}}}
	for _, e := range b.Of(only) {
		until := document.DateCell(e.Lot.BestBefore)
		if e.Lot.BestBefore.IsZero() && !e.Lot.IsPackaging() {
			until = document.MissingCell("not stated")
		}
		t.Add(document.TextCell(b.Name(e.Lot)), document.TextCell(e.Lot.Code), document.TextCell(e.Lot.SupplierLot),
			document.DateCell(e.Lot.Received), until,
			amount(e.In), amount(e.Used), amount(e.Thrown), amount(e.Missing), e.leftCell(), e.stateCell(b.Day))
	}
	d.AddSection("stock", "What is left").Add(t)
	if found := b.FindingsOn(only); len(found) > 0 {
		d.AddSection("lots", "What is open").Add(&document.FindingList{ID: "lot-findings", Findings: found})
	}
	return d
}

func amount(n exact.Num) document.Cell { return document.NumCell(n, document.RuleExact) }

func (e *Entry) leftCell() document.Cell {
	if e.Unknown > 0 {
		return document.MissingCell("at most " + e.Left.Exact() + "; " + words.Count(e.Unknown, "use", "uses") +
			" without a mass")
	}
	return amount(e.Left).In(e.Lot.Unit())
}

func (e *Entry) stateCell(day exact.Date) document.Cell {
	s := e.StateOn(day)
	switch s {
	case usable, there:
		return document.VerdictCell(document.VerdictMet, string(s))
	case expired, onHold:
		return document.VerdictCell(document.VerdictFail, string(s))
	case usedUp:
		return document.VerdictCell(document.VerdictNone, string(s))
	}
	return document.VerdictCell(document.VerdictOpen, string(s))
}

// Of are the lots of a material or an item, by its id or its name, in any letter case, or
// the lot of a number; all for "".
func (b *Book) Of(name string) []*Entry {
	return slices.DeleteFunc(slices.Clone(b.Entries), func(e *Entry) bool {
		return name != "" && !strings.EqualFold(name, e.Lot.Ingredient) &&
			!strings.EqualFold(name, b.Name(e.Lot)) && !strings.EqualFold(name, e.Lot.Code)
	})
}

// Names are what lots are on file of: ids of materials, and items.
func (b *Book) Names() (names []string) {
	for _, e := range b.Entries {
		if e.Lot.IsPackaging() {
			names = words.AddOnce(names, e.Lot.Item)
		} else {
			names = words.AddOnce(names, e.Lot.Ingredient)
		}
	}
	return names
}

// OrderDocument is what to order of each supplier for the batches that are planned.
func (b *Book) OrderDocument() *document.Document {
	d := &document.Document{Title: "To order", Language: "en-GB", Author: b.w.Maker.Name, Date: b.Day,
		NoContents: true,
		Caution:    "for the batches that are planned and not weighed yet, as far as records tell"}
	t := &document.Table{ID: "order-list", SheetName: "Order",
		Empty: "Nothing is short for the batches that are planned.", Columns: []document.Column{
			{Head: "Material", Fixed: true, Weight: 1.6}, {Head: "Code"}, {Head: "Needed", Unit: "g",
				Kind: document.KindNumber}, {Head: "There", Unit: "g", Kind: document.KindNumber},
			{Head: "Short", Unit: "g", Kind: document.KindNumber}, {Head: "Order"}, {Head: "Order by",
				Kind: document.KindText}, {Head: "For batches", Weight: 1.2}}}
	supplier := "\x00"
	for _, o := range b.Orders() {
		if o.Supplier != supplier {
			supplier = o.Supplier
			t.Group(words.OrWord(supplier, "No supplier is entered"))
		}
		t.Add(document.TextCell(o.Name), document.TextCell(o.Code), amount(o.NeedG), amount(o.ThereG),
			amount(o.ShortG), o.packsCell(), dayToOrder(o.OrderBy, b.Day),
			document.TextCell(words.JoinNames(o.Batches)))
	}
	d.AddSection("order", "By supplier").Add(t)
	items, unknown := b.itemTable()
	section := d.AddSection("packaging", "Packaging and labels")
	section.Add(items)
	if len(unknown) > 0 {
		section.Add(document.Para("Not known for " + words.JoinNames(unknown) + ": planned_units in the record and " +
			"costs: {packaging: …} in the product's file say what a batch takes."))
	}
	return d
}

func (o *order) packsCell() document.Cell {
	if len(o.Packs) == 0 {
		return document.MissingCell("pack sizes are not stated")
	}
	var parts []string
	for _, p := range o.Packs {
		parts = append(parts, fmt.Sprintf("%d × %s g", p.Count, p.G.Exact()))
	}
	return document.TextCell(strings.Join(parts, " + "))
}

func dayToOrder(by, day exact.Date) document.Cell {
	switch {
	case by.IsZero():
		return document.MissingCell("lead time is not stated")
	case by.Before(day):
		return document.VerdictCell(document.VerdictOpen, by.String()+", past")
	}
	return document.DateCell(by)
}
