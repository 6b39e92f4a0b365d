package sections

import (
	"gallipot/calc/law/trade"
	"gallipot/calc/soap"
	"gallipot/dossier/document"
	"gallipot/dossier/show"
	"gallipot/dossier/words"
	"gallipot/ingredients/exact"
)

// reactionTables show what lye and fats become, for each variant and portion.
func reactionTables(v *show.View) []document.Block {
	var blocks []document.Block
	shown := v.Variants
	if v.IsRange() {
		shown = shown[:1] // the base is common to all; findings name the variant that differs
	}
	for _, x := range shown {
		for i, r := range v.First(x).Reactions {
			name := show.VariantName(x)
			if r.Mixture != "" {
				name += ", " + r.Mixture
			}
			id := show.AnchorOf(x) + "-" + words.Itoa(i)
			blocks = append(blocks, fatsTable("soap-fats-"+id, name, r), balanceTable(v, "soap-balance-"+id, name, r))
		}
	}
	return blocks
}

// fatsTable lists the fats with the lye that each could take up.
func fatsTable(id, name string, r *soap.Reaction) *document.Table {
	t := &document.Table{ID: id, Title: "Fats and lye of " + name, SheetName: "Soap",
		Empty: "No fat of the tables is in it.", Columns: []document.Column{{Head: "Fat", Fixed: true, Weight: 1.4},
			{Head: "Raw material"},
			{Head: "Content as poured", Unit: "% w/w", Kind: document.KindRange}, {Head: "Saponification value",
				Unit: "mg KOH/g", Kind: document.KindRange}, {Head: "Could take up", Unit: "% w/w as KOH",
				Kind: document.KindRange}, {Head: "Value from", Weight: 1.2}}}
	for _, f := range r.Fats {
		from, memory := "the supplier's certificate", false
		if !f.Own {
			from = "saponification.csv"
			for _, row := range f.Rows {
				from += ", " + row.Key
				memory = memory || row.FromMemory()
			}
		}
		kind := ""
		switch f.Kind {
		case trade.FatWax:
			kind = ", a wax: may not react"
		case trade.FatAcid:
			kind = ", a free acid"
		}
		t.Add(document.TextCell(f.INCI+kind), document.TextCell(f.Ingredient), document.RangeCell(f.Pct),
			document.RangeCell(f.MgKOH).By(document.RuleExact).
				MarkedIf(memory, show.MemoryMark), document.RangeCell(f.TakesKOH), document.TextCell(from))
	}
	t.Total(document.TextCell("All"), document.BlankCell(), document.BlankCell(), document.BlankCell(),
		document.RangeCell(r.TakesKOH), document.BlankCell())
	t.Total(document.TextCell("Lye in the formula"), document.BlankCell(), document.BlankCell(),
		document.BlankCell(), document.RangeCell(r.GivenKOH), document.BlankCell())
	return t
}

// balanceTable shows the outcome of the reaction.
func balanceTable(v *show.View, id, name string, r *soap.Reaction) *document.Table {
	s := v.A.Product.Saponify
	t := &document.Table{ID: id, Title: "What the reaction leaves in " + name, SheetName: "Soap",
		Columns: []document.Column{{Head: "Figure", Fixed: true, Weight: 1.6},
			{Head: "Value", Kind: document.KindRange, Unit: "%"}, {Head: "Of what", Weight: 1.4}}}
	for _, a := range r.Alkalis {
		t.Add(document.TextCell(a.INCI+", pure, in the formula"), document.RangeCell(a.Pct),
			document.TextCell("the mass poured"))
	}
	if r.NeededPct != nil {
		t.Add(document.TextCell("Pure "+s.Alkali[0]+" that leaves "+s.ExcessFatPct.Exact()+" % of the fat, by middle values"), pctRange(*r.NeededPct), document.TextCell("the mass poured"))
	}
	if r.SafePct != nil && len(s.Alkali) > 0 {
		t.Add(document.TextCell("Pure "+s.Alkali[0]+", the most without free lye at the lowest values"),
			pctRange(*r.SafePct), document.TextCell("the mass poured"))
	}
	t.Add(document.TextCell("Fat that finds no lye (below 0: free lye)"), document.RangeCell(r.ExcessFatPct),
		document.TextCell("the fat"))
	if !s.WaterLossPct.IsZero() {
		t.Add(document.TextCell("Water that dries off"), pctRange(s.WaterLossPct),
			document.TextCell("the mass poured"))
	}
	for _, x := range []struct {
		name string
		pct  exact.Range
	}{{"Soap", r.Soap}, {"Glycerin", r.Glycerin}, {"Unreacted fat", r.UnreactedFat}, {"Water",
		r.Water}, {"Free alkali", r.FreeAlkali}} {
		t.Add(document.TextCell(x.name), document.RangeCell(x.pct), document.TextCell("the product as sold"))
	}
	t.Note("All fats are taken to react to the same degree, which is an assumption. Composition, ingredient list, limits and exposure are those of the product as sold. Molar masses: facts.csv, rows soap-naoh-per-koh, soap-glycerin-per-koh, soap-water-per-koh (the last two unverified).")
	return t
}

func pctRange(n exact.Num) document.Cell { return document.RangeCell(exact.Exactly(n)) }
