package batch

import (
	"gallipot/dossier/document"
	"gallipot/dossier/show"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
)

// Document builds the table of a trace.
func (t *Trace) Document(w *workshop.Workshop, day exact.Date) *document.Document {
	d := &document.Document{Title: "Traceability", Subtitle: t.Kind + " " + t.Asked, Language: "en-GB",
		Author: w.Maker.Name, Date: day, NoContents: true,
		Caution: "as recorded in the batch files; what is not written down is not found"}
	if t.Kind == "batch" {
		d.AddSection("trace", "Lots in batch "+t.Asked).Add(t.batchTable())
		return d
	}
	d.AddSection("trace", "Where lot "+t.Asked+" went").Add(document.Para(t.sums()+"."), t.lotTable())
	return d
}

// tally adds up a count of batches; unknown counts those without one.
type tally struct{ sum, known, unknown int }

func (y *tally) add(n *int) {
	if n == nil {
		y.unknown++
		return
	}
	y.sum, y.known = y.sum+*n, y.known+1
}

// sums says how many packs there are, each batch counted once.
func (t *Trace) sums() string {
	batches := 0
	var filled, sent, rejected, retained, left tally
	for _, r := range t.Rows {
		if r.CountedAbove {
			continue
		}
		batches++
		filled.add(r.Units)
		sent.add(r.SentUnits)
		rejected.add(r.Rejected)
		retained.add(r.Retained)
		left.add(r.Left)
	}
	text := words.Count(batches, "batch", "batches")
	if filled.known > 0 {
		text += ", " + words.Count(filled.sum, "pack", "packs") + " filled"
	}
	for _, x := range []struct {
		y    tally
		word string
	}{{rejected, "rejected"}, {retained, "kept as a sample"}, {sent, "recorded as sent"}, {left,
		"left (filled, less rejected and sent)"}} {
		if x.y.sum > 0 || x.y == left && left.known > 0 {
			text += ", " + words.Itoa(x.y.sum) + " " + x.word
		}
	}
	for _, x := range []struct {
		n    int
		word string
	}{{filled.unknown, "packs not recorded"}, {sent.unknown, "number sent not recorded"}} {
		if x.n > 0 {
			text += "; " + x.word + " for " + words.Count(x.n, "batch", "batches")
		}
	}
	return text
}

func (t *Trace) lotTable() *document.Table {
	table := &document.Table{ID: "trace-lot", SheetName: "Trace", Empty: "It went into no batch on record.",
		Columns: []document.Column{{Head: "Batch", Fixed: true}, {Head: "Date", Kind: document.KindText},
			{Head: "On the label", Weight: 1.8}, {Head: "Raw material", Weight: 1.2},
			{Head: "Of the lot", Unit: "g", Kind: document.KindNumber}, {Head: "Packs",
				Kind: document.KindNumber}, {Head: "Left",
				Kind: document.KindNumber}, {Head: "State"}, {Head: "Sent to", Weight: 1.6}}}
	for _, r := range t.Rows {
		material := r.name
		if r.Portion != "" {
			material += ", " + r.Portion
		}
		if r.Via != "" {
			material += ", through batch " + r.Via
		}
		packs, left, sent := unitsCell(r.Units), leftCell(r.Left), show.TextOr(r.Sent)
		if r.CountedAbove {
			packs, left, sent = document.BlankCell(), document.BlankCell(), document.TextCell("same batch, as above")
		}
		table.Add(document.TextCell(r.Batch), document.DateCell(r.Date), document.TextCell(r.Label),
			document.TextCell(material), gramsCell(r.G,
				"not filled in"), packs, left, document.TextCell(r.State), sent)
	}
	return table
}

func leftCell(n *int) document.Cell {
	if n == nil {
		return document.MissingCell("not known")
	}
	return document.IntCell(*n)
}

func (t *Trace) batchTable() *document.Table {
	table := &document.Table{ID: "trace-batch", SheetName: "Trace",
		Columns: []document.Column{{Head: "Raw material", Fixed: true, Weight: 1.4}, {Head: "Lot"},
			{Head: "Supplier's lot"}, {Head: "Good until", Kind: document.KindText},
			{Head: "Mass", Unit: "g", Kind: document.KindNumber}, {Head: "Where"}}}
	for _, r := range t.Rows {
		lot := document.TextCell(r.Lot)
		if r.Lot == "" {
			lot = document.MissingCell("not filled in")
		}
		best := document.DateCell(r.BestBefore)
		if r.BestBefore.IsZero() {
			best = document.MissingCell("not stated")
		}
		table.Add(document.TextCell(r.name), lot, document.TextCell(r.SupplierLot), best,
			gramsCell(r.G, "not filled in"), document.TextCell(r.Portion))
	}
	return table
}
