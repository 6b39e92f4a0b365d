package sections

import (
	"cmp"
	"slices"
	"strings"

	"gallipot/calc/formula"
	"gallipot/dossier/document"
	"gallipot/dossier/show"
	"gallipot/dossier/words"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
)

// CompositionSection shows every substance of the product with its content in
// each variant, and how each content is made up.
func CompositionSection(v *show.View) *document.Section {
	s := &document.Section{ID: "composition", Title: "Quantitative composition by substance",
		Intro: "Raw materials split into their substances and added up by name. Where a supplier gives a range, the figure reads lowest–highest (typical); complete compositions have been tightened to what can add up to 100."}
	t := &document.Table{ID: "composition-substances", SheetName: "Composition", InWorkbook: v.IsRange(),
		Title: "Substances by variant", Columns: []document.Column{
			{Head: "Substance (INCI)", Fixed: true, Weight: 1.6}, {Head: "CAS"}, {Head: "EC"},
		}}
	for _, x := range v.Variants {
		t.Columns = append(t.Columns, document.Column{Head: show.ShortName(x), Unit: "% w/w",
			Kind: document.KindRange})
	}
	for _, sub := range v.Substances() {
		row := []document.Cell{traced(v, show.SubstanceName(sub)), numberCell(sub.CAS), numberCell(sub.EC)}
		for _, x := range v.Variants {
			row = append(row, ContentCell(v.First(x).Whole(), sub))
		}
		t.Add(row...)
	}
	t.Note("Fragrances and oils stand here as a whole; the allergens declared inside them are part of these figures and are listed under allergens.")
	if v.IsRange() {
		s.Add(CompositionOfRange(v))
	}
	s.Add(t)
	if n := PortionTables(v, s); n > 0 {
		s.Intro += " Portions of a pack that a user may take alone are shown on their own."
	}
	return s
}

// CompositionOfRange shows each substance once over all variants: its content
// where it is the same in all, else from the lowest to the highest and in which.
func CompositionOfRange(v *show.View) *document.Table {
	t := &document.Table{ID: "composition-range", SheetName: "Composition, range",
		Columns: []document.Column{{Head: "Substance (INCI)", Fixed: true, Weight: 1.5}, {Head: "CAS"},
			{Head: "EC"},
			{Head: "Over all variants", Unit: "% w/w", Kind: document.KindRange}, {Head: "In"}, {Head: "Highest in"}}}
	for _, sub := range v.Substances() {
		var all exact.Range
		in, most := 0, ""
		same := true
		for _, x := range v.Variants {
			c := ContentCell(v.First(x).Whole(), sub)
			if c.Kind != document.CellRange {
				continue
			}
			switch {
			case in == 0:
				all, most = c.Range, show.ShortName(x)
			default:
				same = same && all.Min.Equal(c.Range.Min) && all.Max.Equal(c.Range.Max)
				if all.Max.Less(c.Range.Max) {
					most = show.ShortName(x)
				}
				all = all.Cover(c.Range)
			}
			in++
		}
		where := words.Count(in, "variant", "variants")
		if in == len(v.Variants) {
			where = "all"
		}
		if same {
			most = "the same in each"
		}
		t.Add(document.TextCell(show.SubstanceName(sub)), numberCell(sub.CAS), numberCell(sub.EC),
			document.RangeCell(all), document.TextCell(where), document.TextCell(most))
	}
	t.Note("Typical is the highest typical content of any variant. Fragrances and oils stand here as a whole.")
	return t
}

func numberCell(number string) document.Cell {
	if number == "" {
		return document.MissingCell("not given")
	}
	return document.TextCell(number)
}

func ContentCell(c *formula.Composition, like *formula.Substance) document.Cell {
	for _, s := range c.Substances {
		if s.Key() == like.Key() && s.IsIngredient() {
			return document.RangeCell(s.Pct)
		}
	}
	return document.BlankCell()
}

// PortionTables adds a table for each variant that is filled in portions.
func PortionTables(v *show.View, s *document.Section) int {
	n := 0
	for _, x := range v.Variants {
		r := v.First(x)
		if len(r.Recipe.Portions) == 0 {
			continue
		}
		n++
		t := &document.Table{ID: "composition-portions-" + x.ID, Title: "Portions of " + show.VariantName(x),
			SheetName: "Portions",
			Columns:   []document.Column{{Head: "Substance (INCI)", Fixed: true, Weight: 1.6}}}
		for _, part := range r.Recipe.Portions {
			t.Columns = append(t.Columns, document.Column{Head: part.Name, Unit: "% w/w of the portion",
				Kind: document.KindRange})
		}
		for _, sub := range r.Whole().Substances {
			if !sub.IsIngredient() {
				continue
			}
			row := []document.Cell{document.TextCell(show.SubstanceName(sub))}
			for _, c := range r.Compositions[1:] {
				row = append(row, ContentCell(c, sub))
			}
			t.Add(row...)
		}
		s.Add(t)
	}
	return n
}

// ContributionsSection shows, for each content, the lines it comes from. Equal
// Contributions of several variants stand once.
func ContributionsSection(v *show.View) *document.Section {
	s := &document.Section{ID: "contributions", Title: "How each content is made up",
		Intro: "Use of the raw material × content of the substance in it. Each line can be followed to the formula and to the sheet of the raw material."}
	t := &document.Table{ID: "contributions-all", SheetName: "Contributions", Title: "Contributions",
		InWorkbook: v.IsRange(), Columns: []document.Column{
			{Head: "Raw material, sheet and line", Fixed: true, Weight: 1.6}, {Head: "Use", Unit: "% w/w",
				Kind: document.KindNumber},
			{Head: "In the material", Unit: "% w/w", Kind: document.KindRange}, {Head: "As given"}, {Head: "Gives",
				Unit: "% w/w", Kind: document.KindRange}, {Head: "Variants"},
		}}
	substance := ""
	for _, c := range Contributions(v) {
		if c.Substance != substance {
			substance = c.Substance
			t.Group(substance)
			last := &t.Rows[len(t.Rows)-1]
			last.Cells[0] = last.Cells[0].At(madeOf(substance))
		}
		material := c.Ingredient
		if place := show.PlaceCell(c.SourcePos).Text; place != "" {
			material += ", " + strings.TrimPrefix(place, "ingredients/")
		}
		if c.Route != formula.ByComposition {
			material += " (" + string(c.Route) + ")"
		}
		t.Add(document.TextCell(material), document.PctCell(c.UsePct), document.RangeCell(c.InMaterial),
			document.TextCell(c.Given), document.RangeCell(c.Pct), document.TextCell(c.Where()))
	}
	return s.Add(t)
}

// madeOf is the anchor of how the content of a substance is made up.
func madeOf(substance string) string { return "made-" + ingredients.NameKey(substance) }

// traced is a substance that leads to how its content is made up, where the
// document has that section on its pages.
func traced(v *show.View, substance string) document.Cell {
	if !v.WithContributions || v.IsRange() {
		return document.TextCell(substance)
	}
	return document.TextCell(substance).To(madeOf(substance))
}

// contribution is a contribution with the variants that have it.
type contribution struct {
	formula.Contribution
	Substance string
	variants  []string
	all       bool
}

func (c contribution) Where() string {
	if c.all {
		return "all"
	}
	return strings.Join(c.variants, ", ")
}

func Contributions(v *show.View) []contribution {
	var list []contribution
	at := map[string]int{}
	for _, x := range v.Variants {
		for _, s := range v.First(x).Whole().Substances {
			for _, c := range s.Contributions {
				key := strings.Join([]string{s.Key(), c.Ingredient, c.UsePct.Exact(), c.LinePos.String(),
					c.SourcePos.String(), string(c.Route)}, "\x00")
				i, known := at[key]
				if !known {
					i = len(list)
					at[key] = i
					list = append(list, contribution{Contribution: c, Substance: show.SubstanceName(s)})
				}
				list[i].variants = words.AddOnce(list[i].variants, show.ShortName(x))
			}
		}
	}
	for i := range list {
		list[i].all = len(list[i].variants) == len(v.Variants)
	}
	slices.SortStableFunc(list, func(a, b contribution) int { return cmp.Compare(a.Substance, b.Substance) })
	return list
}
