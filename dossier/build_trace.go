package dossier

import "gallipot/ingredients"

// Document builds the table of a trace.
func (t *Trace) Document(w *Workshop, day ingredients.Date) *Document {
	d := &Document{Title: "Traceability", Subtitle: t.Kind + " " + t.Asked, Language: "en-GB", Author: w.Maker.Name, Date: day, NoContents: true,
		Caution: "as recorded in the batch files; what is not written down is not found"}
	if t.Kind == "batch" {
		d.AddSection("trace", "Lots in batch "+t.Asked).Add(t.batchTable())
		return d
	}
	d.AddSection("trace", "Where lot "+t.Asked+" went").Add(Para(t.sums()+"."), t.lotTable())
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
	text := count(batches, "batch", "batches")
	if filled.known > 0 {
		text += ", " + count(filled.sum, "pack", "packs") + " filled"
	}
	for _, x := range []struct {
		y    tally
		word string
	}{{rejected, "rejected"}, {retained, "kept as a sample"}, {sent, "recorded as sent"}, {left, "left (filled, less rejected and sent)"}} {
		if x.y.sum > 0 || x.y == left && left.known > 0 {
			text += ", " + itoa(x.y.sum) + " " + x.word
		}
	}
	for _, x := range []struct {
		n    int
		word string
	}{{filled.unknown, "packs not recorded"}, {sent.unknown, "number sent not recorded"}} {
		if x.n > 0 {
			text += "; " + x.word + " for " + count(x.n, "batch", "batches")
		}
	}
	return text
}

func (t *Trace) lotTable() *Table {
	table := &Table{ID: "trace-lot", SheetName: "Trace", Columns: []Column{{Head: "Batch", Fixed: true}, {Head: "Date", Kind: KindText}, {Head: "On the label", Weight: 1.8}, {Head: "Raw material", Weight: 1.2},
		{Head: "Of the lot", Unit: "g", Kind: KindNumber}, {Head: "Packs", Kind: KindNumber}, {Head: "Left", Kind: KindNumber}, {Head: "State"}, {Head: "Sent to", Weight: 1.6}}}
	for _, r := range t.Rows {
		material := r.Ingredient
		if r.Portion != "" {
			material += ", " + r.Portion
		}
		if r.Via != "" {
			material += ", through batch " + r.Via
		}
		packs, left, sent := unitsCell(r.Units), leftCell(r.Left), textOr(r.Sent)
		if r.CountedAbove {
			packs, left, sent = BlankCell(), BlankCell(), TextCell("same batch, as above")
		}
		table.Add(TextCell(r.Batch), DateCell(r.Date), TextCell(r.Label), TextCell(material), gramsCell(r.G, "not filled in"), packs, left, TextCell(r.State), sent)
	}
	return table
}

func leftCell(n *int) Cell {
	if n == nil {
		return MissingCell("not known")
	}
	return IntCell(*n)
}

func (t *Trace) batchTable() *Table {
	table := &Table{ID: "trace-batch", SheetName: "Trace", Columns: []Column{{Head: "Raw material", Fixed: true, Weight: 1.4}, {Head: "Lot"}, {Head: "Supplier's lot"}, {Head: "Good until", Kind: KindText},
		{Head: "Mass", Unit: "g", Kind: KindNumber}, {Head: "Where"}}}
	for _, r := range t.Rows {
		lot := TextCell(r.Lot)
		if r.Lot == "" {
			lot = MissingCell("not filled in")
		}
		best := DateCell(r.BestBefore)
		if r.BestBefore.IsZero() {
			best = MissingCell("not stated")
		}
		table.Add(TextCell(r.Ingredient), lot, TextCell(r.SupplierLot), best, gramsCell(r.G, "not filled in"), TextCell(r.Portion))
	}
	return table
}
