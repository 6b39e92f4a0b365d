package sections

import (
	"fmt"

	"gallipot/calc/formula"
	"gallipot/dossier/document"
	"gallipot/dossier/show"
	"gallipot/dossier/words"
	"gallipot/ingredients/exact"
)

// FormulaSection shows the formula by raw material: one column for each variant,
// and where a variant is filled in portions one for each of them.
func FormulaSection(v *show.View) *document.Section {
	s := &document.Section{ID: "formula", Title: "Formula by raw material",
		Intro: "Raw materials as bought, in % w/w of the finished product. An addition after 100 parts of base has been worked in; q.s. lines show what they come to."}
	if v.A.Product.Saponify != nil {
		s.Intro = "Raw materials as bought, in % w/w of the mass poured, before fats and lye react. All later sections are of the product as sold."
	}
	type column struct {
		head string
		mix  formula.Mixture
	}
	var columns []column
	for _, x := range v.Variants {
		r := v.First(x)
		columns = append(columns, column{show.ShortName(x), r.Recipe.Whole})
		for _, part := range r.Recipe.Portions {
			columns = append(columns,
				column{fmt.Sprintf("%s: %s (%s %% of it)", show.ShortName(x), part.Name,
					document.FormatPct(part.SharePct)), part})
		}
	}
	t := &document.Table{ID: "formula-materials", SheetName: "Formula", Title: "Raw materials by variant",
		InWorkbook: v.IsRange(), Columns: []document.Column{
			{Head: "Raw material", Fixed: true, Weight: 1.6}, {Head: "Supplier", Weight: 1},
		}}
	for _, c := range columns {
		t.Columns = append(t.Columns, document.Column{Head: c.head, Unit: "% w/w", Kind: document.KindNumber})
	}
	for _, group := range formulaRows(v) {
		t.Group(group.title)
		for _, id := range group.ids {
			row := []document.Cell{document.TextCell(v.Material(id)), supplierCell(v, id)}
			for _, c := range columns {
				row = append(row, shareCell(c.mix, id, group))
			}
			t.Add(row...)
		}
	}
	if v.IsRange() {
		s.Add(formulaOfRange(v)...)
	}
	total := []document.Cell{document.TextCell("Total"), document.BlankCell()}
	for _, c := range columns {
		var sum exact.Num
		for _, share := range c.mix.Shares {
			sum = sum.Add(share.Pct)
		}
		total = append(total, document.PctCell(sum))
	}
	t.Total(total...)
	return s.Add(t).Add(compositionPictures(v)...).Add(reactionTables(v)...)
}

// formulaOfRange shows the common lines once and what fills the slots of each
// variant.
func formulaOfRange(v *show.View) []document.Block {
	base := &document.Table{ID: "formula-base", SheetName: "Formula, base", Title: "Base",
		Columns: []document.Column{{Head: "Raw material", Fixed: true, Weight: 1.6},
			{Head: "Supplier", Weight: 1.2},
			{Head: "Lowest", Unit: "% w/w", Kind: document.KindNumber}, {Head: "Highest", Unit: "% w/w",
				Kind: document.KindNumber}}}
	for _, group := range formulaRows(v) {
		titled := false
		for _, id := range group.ids {
			low, high, in := useRange(v, id, group)
			if in < len(v.Variants) {
				continue // the filling of a slot: see the variants
			}
			if !titled {
				base.Group(group.title)
				titled = true
			}
			base.Add(document.TextCell(v.Material(id)), supplierCell(v, id), document.PctCell(low),
				document.PctCell(high))
		}
	}
	own := &document.Table{ID: "formula-variants", SheetName: "Formula, variants",
		Title: "What each variant has besides", Columns: []document.Column{{Head: "Variant", Fixed: true,
			Weight: 1.2}, {Head: "Raw material", Weight: 1.4}, {Head: "Where"}, {Head: "Use", Unit: "% w/w",
			Kind: document.KindNumber}}}
	for _, x := range v.Variants {
		for _, share := range v.First(x).Recipe.Whole.Shares {
			if share.Slot == "" && !share.Added {
				continue
			}
			where := "slot " + share.Slot
			if share.Added {
				where = "added to 100 parts"
			}
			own.Add(document.TextCell(show.ShortName(x)), document.TextCell(v.Material(share.Ingredient)),
				document.TextCell(where), document.PctCell(share.Pct))
		}
	}
	return []document.Block{base, own}
}

// useRange is the lowest and highest use of a material in a phase over the shown
// variants, and how many have it.
func useRange(v *show.View, id string, g formulaGroup) (low, high exact.Num, in int) {
	for _, x := range v.Variants {
		c := shareCell(v.First(x).Recipe.Whole, id, g)
		if c.Kind != document.CellNum {
			continue
		}
		if in == 0 {
			low, high = c.Num, c.Num
		}
		low, high = low.Min(c.Num), high.Max(c.Num)
		in++
	}
	return low, high, in
}

// formulaGroup is a phase with the materials that any variant has in it.
type formulaGroup struct {
	title string
	phase string
	added bool
	ids   []string
}

func formulaRows(v *show.View) []formulaGroup {
	var groups []formulaGroup
	for _, ph := range v.A.Product.Formula.Phases {
		title := "Phase " + ph.ID
		if ph.Name != "" {
			title += ": " + ph.Name
		}
		if ph.HeatC != nil {
			title += ", heated to " + ph.HeatC.Exact() + " °C"
		}
		groups = append(groups, formulaGroup{title: title, phase: ph.ID})
	}
	groups = append(groups, formulaGroup{title: "Added to 100 parts of finished base", added: true})
	for i := range groups {
		g := &groups[i]
		for _, x := range v.Variants {
			for _, s := range v.First(x).Recipe.Whole.Shares {
				if s.Added == g.added && (g.added || s.Phase == g.phase) {
					g.ids = words.AddOnce(g.ids, s.Ingredient)
				}
			}
		}
	}
	var filled []formulaGroup
	for _, g := range groups {
		if len(g.ids) > 0 {
			filled = append(filled, g)
		}
	}
	return filled
}

func shareCell(mix formula.Mixture, id string, g formulaGroup) document.Cell {
	var sum exact.Num
	for _, s := range mix.Shares {
		if s.Ingredient == id && s.Added == g.added && (g.added || s.Phase == g.phase) {
			sum = sum.Add(s.Pct)
		}
	}
	if sum.IsZero() {
		return document.BlankCell()
	}
	return document.PctCell(sum)
}

func supplierCell(v *show.View, id string) document.Cell {
	s := v.A.Workshop.Sheets[id]
	if s == nil || s.Supplier.Name == "" {
		return document.MissingCell("not given")
	}
	if s.Supplier.Code == "" {
		return document.TextCell(s.Supplier.Name)
	}
	return document.TextCell(s.Supplier.Name + ", " + s.Supplier.Code)
}
