package dossier

import (
	"cmp"
	"slices"
	"strings"

	"gallipot/calc"
	"gallipot/ingredients"
)

// compositionSection shows every substance of the product with its content in
// each variant, and how each content is made up.
func (v *view) compositionSection() *Section {
	s := &Section{ID: "composition", Title: "Quantitative composition by substance",
		Intro: "Raw materials split into their substances and added up by name. Where a supplier gives a range, the figure reads lowest–highest (typical); complete compositions have been tightened to what can add up to 100."}
	t := &Table{ID: "composition-substances", SheetName: "Composition", InWorkbook: v.isRange(), Title: "Substances by variant", Columns: []Column{
		{Head: "Substance (INCI)", Fixed: true, Weight: 1.6}, {Head: "CAS"}, {Head: "EC"},
	}}
	for _, x := range v.variants {
		t.Columns = append(t.Columns, Column{Head: shortName(x), Unit: "% w/w", Kind: KindRange})
	}
	for _, sub := range v.substances() {
		row := []Cell{v.traced(substanceName(sub)), numberCell(sub.CAS), numberCell(sub.EC)}
		for _, x := range v.variants {
			row = append(row, contentCell(v.first(x).Whole(), sub))
		}
		t.Add(row...)
	}
	t.Note("Fragrances and oils stand here as a whole; the allergens declared inside them are part of these figures and are listed under allergens.")
	if v.isRange() {
		s.Add(v.compositionOfRange())
	}
	s.Add(t)
	if n := v.portionTables(s); n > 0 {
		s.Intro += " Portions of a pack that a user may take alone are shown on their own."
	}
	return s
}

// compositionOfRange shows each substance once over all variants: its content
// where it is the same in all, else from the lowest to the highest and in which.
func (v *view) compositionOfRange() *Table {
	t := &Table{ID: "composition-range", SheetName: "Composition, range", Columns: []Column{{Head: "Substance (INCI)", Fixed: true, Weight: 1.5}, {Head: "CAS"}, {Head: "EC"},
		{Head: "Over all variants", Unit: "% w/w", Kind: KindRange}, {Head: "In"}, {Head: "Highest in"}}}
	for _, sub := range v.substances() {
		var all ingredients.Range
		in, most := 0, ""
		same := true
		for _, x := range v.variants {
			c := contentCell(v.first(x).Whole(), sub)
			if c.Kind != CellRange {
				continue
			}
			switch {
			case in == 0:
				all, most = c.Range, shortName(x)
			default:
				same = same && all.Min.Equal(c.Range.Min) && all.Max.Equal(c.Range.Max)
				if all.Max.Less(c.Range.Max) {
					most = shortName(x)
				}
				all = all.Cover(c.Range)
			}
			in++
		}
		where := count(in, "variant", "variants")
		if in == len(v.variants) {
			where = "all"
		}
		if same {
			most = "the same in each"
		}
		t.Add(TextCell(substanceName(sub)), numberCell(sub.CAS), numberCell(sub.EC), RangeCell(all), TextCell(where), TextCell(most))
	}
	t.Note("Typical is the highest typical content of any variant. Fragrances and oils stand here as a whole.")
	return t
}

// substances lists every substance by composition of any shown variant, the
// most plentiful first.
func (v *view) substances() []*calc.Substance {
	best := map[string]*calc.Substance{}
	for _, x := range v.variants {
		for _, s := range v.first(x).Whole().Substances {
			if !s.IsIngredient() {
				continue
			}
			if b := best[s.Key()]; b == nil || b.Pct.Typ.Less(s.Pct.Typ) {
				best[s.Key()] = s
			}
		}
	}
	list := make([]*calc.Substance, 0, len(best))
	for _, s := range best {
		list = append(list, s)
	}
	slices.SortFunc(list, func(a, b *calc.Substance) int {
		if c := b.Pct.Typ.Cmp(a.Pct.Typ); c != 0 {
			return c
		}
		return cmp.Compare(a.INCI, b.INCI)
	})
	return list
}

func substanceName(s *calc.Substance) string {
	name := s.INCI
	if s.Undeclared {
		name = upperFirst(name)
	}
	if s.Nano {
		name += " (nano)"
	}
	return name
}

func numberCell(number string) Cell {
	if number == "" {
		return MissingCell("not given")
	}
	return TextCell(number)
}

func contentCell(c *calc.Composition, like *calc.Substance) Cell {
	for _, s := range c.Substances {
		if s.Key() == like.Key() && s.IsIngredient() {
			return RangeCell(s.Pct)
		}
	}
	return BlankCell()
}

// portionTables adds a table for each variant that is filled in portions.
func (v *view) portionTables(s *Section) int {
	n := 0
	for _, x := range v.variants {
		r := v.first(x)
		if len(r.Recipe.Portions) == 0 {
			continue
		}
		n++
		t := &Table{ID: "composition-portions-" + x.ID, Title: "Portions of " + variantName(x), SheetName: "Portions",
			Columns: []Column{{Head: "Substance (INCI)", Fixed: true, Weight: 1.6}}}
		for _, part := range r.Recipe.Portions {
			t.Columns = append(t.Columns, Column{Head: part.Name, Unit: "% w/w of the portion", Kind: KindRange})
		}
		for _, sub := range r.Whole().Substances {
			if !sub.IsIngredient() {
				continue
			}
			row := []Cell{TextCell(substanceName(sub))}
			for _, c := range r.Compositions[1:] {
				row = append(row, contentCell(c, sub))
			}
			t.Add(row...)
		}
		s.Add(t)
	}
	return n
}

// contributionsSection shows, for each content, the lines it comes from. Equal
// contributions of several variants stand once.
func (v *view) contributionsSection() *Section {
	s := &Section{ID: "contributions", Title: "How each content is made up",
		Intro: "Use of the raw material × content of the substance in it. Each line can be followed to the formula and to the sheet of the raw material."}
	t := &Table{ID: "contributions-all", SheetName: "Contributions", Title: "Contributions", InWorkbook: v.isRange(), Columns: []Column{
		{Head: "Raw material, sheet and line", Fixed: true, Weight: 1.6}, {Head: "Use", Unit: "% w/w", Kind: KindNumber},
		{Head: "In the material", Unit: "% w/w", Kind: KindRange}, {Head: "As given"}, {Head: "Gives", Unit: "% w/w", Kind: KindRange}, {Head: "Variants"},
	}}
	substance := ""
	for _, c := range v.contributions() {
		if c.substance != substance {
			substance = c.substance
			t.Group(substance)
			last := &t.Rows[len(t.Rows)-1]
			last.Cells[0] = last.Cells[0].At(madeOf(substance))
		}
		material := c.Ingredient
		if place := placeCell(c.SourcePos).Text; place != "" {
			material += ", " + strings.TrimPrefix(place, "ingredients/")
		}
		if c.Route != calc.ByComposition {
			material += " (" + string(c.Route) + ")"
		}
		t.Add(TextCell(material), PctCell(c.UsePct), RangeCell(c.InMaterial), TextCell(c.Given), RangeCell(c.Pct), TextCell(c.where()))
	}
	return s.Add(t)
}

// madeOf is the anchor of how the content of a substance is made up.
func madeOf(substance string) string { return "made-" + ingredients.NameKey(substance) }

// traced is a substance that leads to how its content is made up, where the
// document has that section on its pages.
func (v *view) traced(substance string) Cell {
	if !v.withContributions || v.isRange() {
		return TextCell(substance)
	}
	return TextCell(substance).To(madeOf(substance))
}

func placeCell(p ingredients.Pos) Cell {
	if p.IsZero() {
		return BlankCell()
	}
	return TextCell(p.File + ":" + itoa(p.Line))
}

// contribution is a contribution with the variants that have it.
type contribution struct {
	calc.Contribution
	substance string
	variants  []string
	all       bool
}

func (c contribution) where() string {
	if c.all {
		return "all"
	}
	return strings.Join(c.variants, ", ")
}

func (v *view) contributions() []contribution {
	var list []contribution
	at := map[string]int{}
	for _, x := range v.variants {
		for _, s := range v.first(x).Whole().Substances {
			for _, c := range s.Contributions {
				key := strings.Join([]string{s.Key(), c.Ingredient, c.UsePct.Exact(), c.LinePos.String(), c.SourcePos.String(), string(c.Route)}, "\x00")
				i, known := at[key]
				if !known {
					i = len(list)
					at[key] = i
					list = append(list, contribution{Contribution: c, substance: substanceName(s)})
				}
				list[i].variants = addOnce(list[i].variants, shortName(x))
			}
		}
	}
	for i := range list {
		list[i].all = len(list[i].variants) == len(v.variants)
	}
	slices.SortStableFunc(list, func(a, b contribution) int { return cmp.Compare(a.substance, b.substance) })
	return list
}
