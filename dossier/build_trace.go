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
	units, unknown := 0, 0
	batches := map[string]bool{}
	for _, r := range t.Rows {
		if batches[r.Batch] {
			continue
		}
		batches[r.Batch] = true
		if r.Units == nil {
			unknown++
		} else {
			units += *r.Units
		}
	}
	text := count(len(batches), "batch", "batches")
	if unknown < len(batches) {
		text += ", " + count(units, "pack", "packs") + " filled"
	}
	if unknown > 0 {
		text += "; packs not recorded for " + count(unknown, "batch", "batches")
	}
	d.AddSection("trace", "Where lot "+t.Asked+" went").Add(Para(text+"."), t.lotTable())
	return d
}

func (t *Trace) lotTable() *Table {
	table := &Table{ID: "trace-lot", SheetName: "Trace", Columns: []Column{{Head: "Batch", Fixed: true}, {Head: "Date", Kind: KindText}, {Head: "On the label", Weight: 1.8}, {Head: "Raw material", Weight: 1.2},
		{Head: "Of the lot", Unit: "g", Kind: KindNumber}, {Head: "Packs", Kind: KindNumber}, {Head: "State"}, {Head: "Sent to", Weight: 1.6}}}
	for _, r := range t.Rows {
		material := r.Ingredient
		if r.Via != "" {
			material += ", through batch " + r.Via
		}
		table.Add(TextCell(r.Batch), DateCell(r.Date), TextCell(r.Label), TextCell(material), gramsCell(r.G, "not filled in"), unitsCell(r.Units), TextCell(r.State), textOr(r.Sent))
	}
	return table
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
