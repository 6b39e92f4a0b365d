package cost

import (
	"gallipot/dossier/document"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
)

// Document shows what a pack costs, a table for each variant.
func Document(w *workshop.Workshop, packs []Pack, day exact.Date) *document.Document {
	d := &document.Document{Title: "Cost of a pack", Language: "en-GB", Author: w.Maker.Name, Date: day,
		NoContents: true,
		Caution:    "as far as prices are entered, in your own currency; without rent, energy, tax and what you pay yourself, unless they are in the work of a batch"}
	sum := &document.Table{ID: "cost-packs", SheetName: "Packs", Empty: "No pack can be counted.",
		Columns: []document.Column{{Head: "Product", Fixed: true}, {Head: "Variant", Weight: 1.4},
			{Head: "A pack costs", Kind: document.KindNumber}, {Head: "Without a price", Weight: 2}}}
	d.AddSection("cost", "A pack").Add(sum)
	for i, p := range packs {
		total := document.NumCell(p.Known, document.RuleFixed(2))
		lacks := document.TextCell("nothing")
		if len(p.Missing) > 0 {
			total, lacks = document.MissingCell("at least "+p.Known.Fixed(2)),
				document.TextCell(words.JoinNames(p.Missing))
		}
		sum.Add(document.TextCell(p.Product), document.TextCell(p.Name), total, lacks)
		d.AddSection("cost-"+words.Itoa(i+1), p.Name).Add(p.table(i + 1))
	}
	return d
}

func (p *Pack) table(n int) *document.Table {
	t := &document.Table{ID: "cost-parts-" + words.Itoa(n), SheetName: "Parts",
		Columns: []document.Column{{Head: "Part", Fixed: true, Weight: 1.6}, {Head: "Kind"},
			{Head: "Amount", Kind: document.KindNumber}, {Head: "Cost",
				Kind: document.KindNumber}, {Head: "Price from"}}}
	for _, x := range p.Parts {
		amount := document.BlankCell()
		switch {
		case x.Amount.IsZero():
		case x.Kind == "material":
			amount = document.NumCell(x.Amount, document.RuleFixed(2)).In("g")
		default:
			amount = document.NumCell(x.Amount, document.RuleExact)
		}
		cost := document.MissingCell("no price")
		if x.Cost != nil {
			cost = document.NumCell(*x.Cost, document.RuleFixed(4))
		}
		t.Add(document.TextCell(x.Name), document.TextCell(x.Kind), amount, cost, document.TextCell(x.From))
	}
	return t
}
