package dossier

import (
	"gallipot/calc"
	"gallipot/calc/law"
	"gallipot/ingredients"
)

// reactionTables show what lye and fats become, for each variant and portion.
func (v *view) reactionTables() []Block {
	var blocks []Block
	shown := v.variants
	if v.isRange() {
		shown = shown[:1] // the base is common to all; findings name the variant that differs
	}
	for _, x := range shown {
		for i, r := range v.first(x).Reactions {
			name := variantName(x)
			if r.Mixture != "" {
				name += ", " + r.Mixture
			}
			id := anchorOf(x) + "-" + itoa(i)
			blocks = append(blocks, fatsTable("soap-fats-"+id, name, r), v.balanceTable("soap-balance-"+id, name, r))
		}
	}
	return blocks
}

// fatsTable lists the fats with the lye that each could take up.
func fatsTable(id, name string, r *calc.Reaction) *Table {
	t := &Table{ID: id, Title: "Fats and lye of " + name, SheetName: "Soap", Empty: "No fat of the tables is in it.", Columns: []Column{{Head: "Fat", Fixed: true, Weight: 1.4}, {Head: "Raw material"},
		{Head: "Content as poured", Unit: "% w/w", Kind: KindRange}, {Head: "Saponification value", Unit: "mg KOH/g", Kind: KindRange}, {Head: "Could take up", Unit: "% w/w as KOH", Kind: KindRange}, {Head: "Value from", Weight: 1.2}}}
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
		case law.FatWax:
			kind = ", a wax: may not react"
		case law.FatAcid:
			kind = ", a free acid"
		}
		t.Add(TextCell(f.INCI+kind), TextCell(f.Ingredient), RangeCell(f.Pct), RangeCell(f.MgKOH).By(RuleExact).MarkedIf(memory, memoryMark), RangeCell(f.TakesKOH), TextCell(from))
	}
	t.Total(TextCell("All"), BlankCell(), BlankCell(), BlankCell(), RangeCell(r.TakesKOH), BlankCell())
	t.Total(TextCell("Lye in the formula"), BlankCell(), BlankCell(), BlankCell(), RangeCell(r.GivenKOH), BlankCell())
	return t
}

// balanceTable shows the outcome of the reaction.
func (v *view) balanceTable(id, name string, r *calc.Reaction) *Table {
	s := v.a.Product.Saponify
	t := &Table{ID: id, Title: "What the reaction leaves in " + name, SheetName: "Soap", Columns: []Column{{Head: "Figure", Fixed: true, Weight: 1.6}, {Head: "Value", Kind: KindRange, Unit: "%"}, {Head: "Of what", Weight: 1.4}}}
	for _, a := range r.Alkalis {
		t.Add(TextCell(a.INCI+", pure, in the formula"), RangeCell(a.Pct), TextCell("the mass poured"))
	}
	if r.NeededPct != nil {
		t.Add(TextCell("Pure "+s.Alkali[0]+" that leaves "+s.ExcessFatPct.Exact()+" % of the fat, by middle values"), pctRange(*r.NeededPct), TextCell("the mass poured"))
	}
	if r.SafePct != nil && len(s.Alkali) > 0 {
		t.Add(TextCell("Pure "+s.Alkali[0]+", the most without free lye at the lowest values"), pctRange(*r.SafePct), TextCell("the mass poured"))
	}
	t.Add(TextCell("Fat that finds no lye (below 0: free lye)"), RangeCell(r.ExcessFatPct), TextCell("the fat"))
	if !s.WaterLossPct.IsZero() {
		t.Add(TextCell("Water that dries off"), pctRange(s.WaterLossPct), TextCell("the mass poured"))
	}
	for _, x := range []struct {
		name string
		pct  ingredients.Range
	}{{"Soap", r.Soap}, {"Glycerin", r.Glycerin}, {"Unreacted fat", r.UnreactedFat}, {"Water", r.Water}, {"Free alkali", r.FreeAlkali}} {
		t.Add(TextCell(x.name), RangeCell(x.pct), TextCell("the product as sold"))
	}
	t.Note("All fats are taken to react to the same degree, which is an assumption. Composition, ingredient list, limits and exposure are those of the product as sold. Molar masses: facts.csv, rows soap-naoh-per-koh, soap-glycerin-per-koh, soap-water-per-koh (the last two unverified).")
	return t
}

func pctRange(n ingredients.Num) Cell { return RangeCell(ingredients.Exactly(n)) }
