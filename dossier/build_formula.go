package dossier

import (
	"fmt"

	"gallipot/calc"
	"gallipot/ingredients"
)

// formulaSection shows the formula by raw material: one column for each variant,
// and where a variant is filled in portions one for each of them.
func (v *view) formulaSection() *Section {
	s := &Section{ID: "formula", Title: "Formula by raw material",
		Intro: "Raw materials as bought, in % w/w of the finished product. An addition after 100 parts of base has been worked in; q.s. lines show what they come to."}
	if v.a.Product.Saponify != nil {
		s.Intro = "Raw materials as bought, in % w/w of the mass poured, before fats and lye react. All later sections are of the product as sold."
	}
	type column struct {
		head string
		mix  calc.Mixture
	}
	var columns []column
	for _, x := range v.variants {
		r := v.first(x)
		columns = append(columns, column{shortName(x), r.Recipe.Whole})
		for _, part := range r.Recipe.Portions {
			columns = append(columns, column{fmt.Sprintf("%s: %s (%s %% of it)", shortName(x), part.Name, FormatPct(part.SharePct)), part})
		}
	}
	t := &Table{ID: "formula-materials", SheetName: "Formula", Title: "Raw materials by variant", InWorkbook: v.isRange(), Columns: []Column{
		{Head: "Raw material", Fixed: true, Weight: 1.6}, {Head: "Supplier", Weight: 1},
	}}
	for _, c := range columns {
		t.Columns = append(t.Columns, Column{Head: c.head, Unit: "% w/w", Kind: KindNumber})
	}
	for _, group := range v.formulaRows() {
		t.Group(group.title)
		for _, id := range group.ids {
			row := []Cell{TextCell(v.material(id)), v.supplierCell(id)}
			for _, c := range columns {
				row = append(row, shareCell(c.mix, id, group))
			}
			t.Add(row...)
		}
	}
	if v.isRange() {
		s.Add(v.formulaOfRange()...)
	}
	total := []Cell{TextCell("Total"), BlankCell()}
	for _, c := range columns {
		var sum ingredients.Num
		for _, share := range c.mix.Shares {
			sum = sum.Add(share.Pct)
		}
		total = append(total, PctCell(sum))
	}
	t.Total(total...)
	return s.Add(t).Add(v.compositionPictures()...).Add(v.reactionTables()...)
}

// formulaOfRange shows the common lines once and what fills the slots of each
// variant.
func (v *view) formulaOfRange() []Block {
	base := &Table{ID: "formula-base", SheetName: "Formula, base", Title: "Base", Columns: []Column{{Head: "Raw material", Fixed: true, Weight: 1.6}, {Head: "Supplier", Weight: 1.2},
		{Head: "Lowest", Unit: "% w/w", Kind: KindNumber}, {Head: "Highest", Unit: "% w/w", Kind: KindNumber}}}
	for _, group := range v.formulaRows() {
		titled := false
		for _, id := range group.ids {
			low, high, in := v.useRange(id, group)
			if in < len(v.variants) {
				continue // the filling of a slot: see the variants
			}
			if !titled {
				base.Group(group.title)
				titled = true
			}
			base.Add(TextCell(v.material(id)), v.supplierCell(id), PctCell(low), PctCell(high))
		}
	}
	own := &Table{ID: "formula-variants", SheetName: "Formula, variants", Title: "What each variant has besides", Columns: []Column{{Head: "Variant", Fixed: true, Weight: 1.2}, {Head: "Raw material", Weight: 1.4}, {Head: "Where"}, {Head: "Use", Unit: "% w/w", Kind: KindNumber}}}
	for _, x := range v.variants {
		for _, share := range v.first(x).Recipe.Whole.Shares {
			if share.Slot == "" && !share.Added {
				continue
			}
			where := "slot " + share.Slot
			if share.Added {
				where = "added to 100 parts"
			}
			own.Add(TextCell(shortName(x)), TextCell(v.material(share.Ingredient)), TextCell(where), PctCell(share.Pct))
		}
	}
	return []Block{base, own}
}

// useRange is the lowest and highest use of a material in a phase over the shown
// variants, and how many have it.
func (v *view) useRange(id string, g formulaGroup) (low, high ingredients.Num, in int) {
	for _, x := range v.variants {
		c := shareCell(v.first(x).Recipe.Whole, id, g)
		if c.Kind != CellNum {
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

func (v *view) formulaRows() []formulaGroup {
	var groups []formulaGroup
	for _, ph := range v.a.Product.Formula.Phases {
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
		for _, x := range v.variants {
			for _, s := range v.first(x).Recipe.Whole.Shares {
				if s.Added == g.added && (g.added || s.Phase == g.phase) {
					g.ids = addOnce(g.ids, s.Ingredient)
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

func shareCell(mix calc.Mixture, id string, g formulaGroup) Cell {
	var sum ingredients.Num
	for _, s := range mix.Shares {
		if s.Ingredient == id && s.Added == g.added && (g.added || s.Phase == g.phase) {
			sum = sum.Add(s.Pct)
		}
	}
	if sum.IsZero() {
		return BlankCell()
	}
	return PctCell(sum)
}

func (v *view) supplierCell(id string) Cell {
	s := v.a.Workshop.Sheets[id]
	if s == nil || s.Supplier.Name == "" {
		return MissingCell("not given")
	}
	if s.Supplier.Code == "" {
		return TextCell(s.Supplier.Name)
	}
	return TextCell(s.Supplier.Name + ", " + s.Supplier.Code)
}
