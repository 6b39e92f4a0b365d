package batch

import (
	"cmp"
	"slices"
	"strings"

	"gallipot/dossier/document"
	"gallipot/dossier/show"
	"gallipot/dossier/stock"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
)

// Exercise builds the sheets of a mock recall of a lot: where it is, what it went into,
// where the packs went, whom to reach, and what is unaccounted for. Times and answers are
// written in by hand.
func (t *Trace) Exercise(w *workshop.Workshop, day exact.Date) *document.Document {
	d := &document.Document{Title: "Recall exercise", Subtitle: "lot " + t.Asked, Language: "en-GB",
		Author: w.Maker.Name, Date: day, NoContents: true,
		Caution: "an exercise, as recorded in the batch files; what is not written down is not found"}
	d.AddSection("exercise", "The exercise").Add(document.Para(t.sums()+"."),
		&document.Fields{Items: []document.Field{
			{Label: "Begun at"}, {Label: "All batches found at"}, {Label: "All outlets reached at"},
			{Label: "Led by"}}})
	d.AddSection("lot", "The lot").Add(t.lotInStock(w, day))
	d.AddSection("batches", "Batches").Add(t.lotTable())
	outlets, unknown := t.outlets(w)
	d.AddSection("outlets", "Packs by outlet").Add(outletTable(w, outlets))
	d.AddSection("contacts", "Whom to reach").Add(t.contacts(w))
	d.AddSection("unaccounted", "Unaccounted for").Add(t.unaccounted(w, unknown))
	return d
}

// lotInStock is what the books have of the lot.
func (t *Trace) lotInStock(w *workshop.Workshop, day exact.Date) *document.Table {
	table := &document.Table{ID: "exercise-lot", SheetName: "Lot",
		Empty: "No lot of this number is on file as received.", Columns: []document.Column{{Head: "Material",
			Fixed: true}, {Head: "Lot"}, {Head: "Supplier"}, {Head: "Supplier's lot"},
			{Head: "Received", Kind: document.KindText}, {Head: "In", Kind: document.KindNumber}, {Head: "Used",
				Kind: document.KindNumber}, {Head: "Thrown away",
				Kind: document.KindNumber}, {Head: "Unaccounted",
				Kind: document.KindNumber}, {Head: "To be set aside", Kind: document.KindNumber}}}
	books := stock.Of(w, day)
	for _, e := range books.Entries {
		if !workshop.SameLot(e.Lot.Code, t.Asked) && !workshop.SameLot(e.Lot.SupplierLot, t.Asked) {
			continue
		}
		supplier := e.Lot.Supplier
		if s := w.Sheets[e.Lot.Ingredient]; supplier == "" && s != nil {
			supplier = s.Supplier.Name
		}
		n := func(x exact.Num) document.Cell { return document.NumCell(x, document.RuleExact) }
		table.Add(document.TextCell(books.Name(e.Lot)), document.TextCell(e.Lot.Code), show.TextOr(supplier),
			show.TextOr(e.Lot.SupplierLot), document.DateCell(e.Lot.Received),
			n(e.In), n(e.Used), n(e.Thrown), n(e.Missing), n(e.Left).In(e.Lot.Unit()))
	}
	return table
}

// outlet is where packs of a batch went.
type outlet struct {
	to, batch string
	date      exact.Date
	units     *int
}

// outlets lists where packs of the batches went, by outlet, and the batches of which it is
// not written down.
func (t *Trace) outlets(w *workshop.Workshop) (list []outlet, unknown []string) {
	for _, r := range t.Rows {
		b := w.Batch(r.Batch)
		if r.CountedAbove || b == nil {
			continue
		}
		for _, s := range b.Sent {
			list = append(list, outlet{s.To, b.Code, s.Date, s.Units})
			if s.Units == nil {
				unknown = words.AddOnce(unknown, b.Code)
			}
		}
		if len(b.Sent) == 0 && b.Released() {
			unknown = words.AddOnce(unknown, b.Code)
		}
	}
	slices.SortStableFunc(list, func(x, y outlet) int {
		return cmp.Or(strings.Compare(strings.ToLower(x.to), strings.ToLower(y.to)), cmp.Compare(x.date, y.date),
			strings.Compare(x.batch, y.batch))
	})
	return list, unknown
}

func outletTable(w *workshop.Workshop, list []outlet) *document.Table {
	t := &document.Table{ID: "exercise-outlets", SheetName: "Outlets", Empty: "No pack is recorded as sent.",
		Columns: []document.Column{{Head: "Outlet", Fixed: true, Weight: 1.6}, {Head: "Batch"},
			{Head: "Sent on", Kind: document.KindText},
			{Head: "Packs", Kind: document.KindNumber}, {Head: "Reached",
				Weight: 0.7}, {Head: "Still there"}, {Head: "Answer at"}}}
	for _, o := range list {
		date := document.DateCell(o.date)
		if o.date.IsZero() {
			date = document.MissingCell("no day")
		}
		t.Add(document.TextCell(o.to), document.TextCell(o.batch), date, unitsCell(o.units),
			document.TickCell(false), document.WriteInCell(), document.WriteInCell())
	}
	return t
}

// contacts are the outlets, those responsible in each market, and the supplier.
func (t *Trace) contacts(w *workshop.Workshop) *document.Table {
	table := &document.Table{ID: "exercise-contacts", SheetName: "Contacts",
		Columns: []document.Column{{Head: "Who", Fixed: true, Weight: 1.4}, {Head: "As"},
			{Head: "Name, telephone, mail", Weight: 1.6, Kind: document.KindText}}}
	add := func(who, as, how string) {
		reach := document.MissingCell("not entered")
		if how != "" {
			reach = document.TextCell(how)
		}
		table.Add(document.TextCell(who), document.TextCell(as), reach)
	}
	var names, suppliers []string
	list, _ := t.outlets(w)
	for _, o := range list {
		names = words.AddOnce(names, o.to)
	}
	for _, name := range names {
		add(name, "outlet", w.Outlet(name).Words())
	}
	for _, r := range t.Rows {
		if p := w.Product(r.Product); p != nil {
			for _, m := range p.Markets {
				if person, ok := w.ResponsiblePersons[m]; ok && !slices.Contains(names, person.Name+string(m)) {
					names = append(names, person.Name+string(m))
					add(person.Name, "responsible person, "+string(m), w.ContactFor(m).Words())
				}
			}
		}
		if s := w.Sheets[r.Ingredient]; s != nil && s.Supplier.Name != "" {
			suppliers = words.AddOnce(suppliers, s.Supplier.Name)
		}
	}
	for _, name := range suppliers {
		add(name, "supplier", w.Outlet(name).Words())
	}
	return table
}

// unaccounted is what no record says where it is.
func (t *Trace) unaccounted(w *workshop.Workshop, unknown []string) *document.Table {
	table := &document.Table{ID: "exercise-unaccounted", SheetName: "Unaccounted",
		Empty: "Every pack of every batch is written down.", Columns: []document.Column{{Head: "Batch",
			Fixed: true}, {Head: "What the record does not say", Weight: 2}, {Head: "To be found here",
			Kind: document.KindNumber}, {Head: "Found"}}}
	for _, r := range t.Rows {
		if r.CountedAbove {
			continue
		}
		switch {
		case r.Units == nil:
			table.Add(document.TextCell(r.Batch), document.TextCell("how many packs were filled"),
				document.MissingCell("not known"), document.WriteInCell())
		case slices.Contains(unknown, r.Batch):
			table.Add(document.TextCell(r.Batch), document.TextCell("where its packs went, or how many"),
				document.MissingCell("not known"), document.WriteInCell())
		case r.Left == nil:
			table.Add(document.TextCell(r.Batch), document.TextCell("more packs went out than there were"),
				document.MissingCell("not known"), document.WriteInCell())
		case *r.Left > 0:
			table.Add(document.TextCell(r.Batch),
				document.TextCell("nothing: these packs are not sent and not rejected"),
				document.IntCell(*r.Left), document.WriteInCell())
		}
	}
	return table
}
