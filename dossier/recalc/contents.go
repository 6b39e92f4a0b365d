package recalc

import (
	"strings"

	"gallipot/calc/formula"
	"gallipot/dossier/document"
	"gallipot/dossier/words"
	"gallipot/ingredients/exact"
)

// contentsSection lists what each raw material holds of each substance, by
// substance, and how much of the material each mixture holds.
func (m *model) contentsSection() *document.Section {
	s := &document.Section{ID: "recalc-contents-section", Title: "Recalculation: contents of the raw materials"}
	overlap := false
	for i, r := range m.rows {
		r.row = i
		overlap = overlap || len(r.listed) > 0
	}
	t := &document.Table{ID: tableContents, Title: "Contents of the raw materials, % w/w",
		SheetName: contentsOfSheet, Empty: "No raw material has a content that can be read.", Columns: []document.Column{
			{Head: "Substance", Fixed: true, Weight: 1.4}, {Head: "Raw material",
				Fixed: true}, {Head: "By"}, {Key: "in", Head: "In the material", Unit: "% w/w", Kind: document.KindRange}}}
	if overlap {
		t.Columns = append(t.Columns, document.Column{Key: "counted", Head: "Counted", Unit: "% w/w",
			Kind: document.KindRange})
	}
	t.Columns = append(t.Columns, document.Column{Key: "adds", Head: "Part of the 100",
		Kind: document.KindNumber}, document.Column{Head: "As given"}, document.Column{Head: "Sheet and line"})
	t.Columns = append(t.Columns, m.mixtureColumns()...)
	for _, r := range m.rows {
		t.Add(m.contentCells(r, overlap)...)
	}
	t.Note("Contents of a complete composition are tightened to what can add up to 100. In the columns of the mixtures stands how much of the raw material is in them, % w/w, from sheet " + formulaSheet + ".")
	if overlap {
		t.Note("An allergen that a paper declares and the composition of the same material lists too counts once: of the declaration only what lies above the listed content is counted.")
	}
	return s.Add(t)
}

func (m *model) contentCells(r *contentRow, overlap bool) []document.Cell {
	in := document.PctInput(document.CutText(r.sub.name, document.MostInputTitle),
		words.Joined(". ", "In "+r.material.name+", "+string(r.route), "as given: "+r.given, fromPlace(r.pos)))
	name := document.LinkCell(r.sub.name, subAnchor(r.sub))
	if r == r.sub.rows[0] {
		name = name.At("recalc-in-" + words.Itoa(m.indexOf(r.sub)))
	}
	row := []document.Cell{name, document.LinkCell(r.material.key, "recalc-use-"+words.Itoa(r.material.row)),
		document.TextCell(string(r.route)), document.RangeCell(r.in).By(document.RuleExact).Open(in)}
	if overlap {
		formula := "{in.*}"
		if len(r.listed) > 0 {
			for _, l := range r.listed {
				formula += "-{in.*@" + words.Itoa(l.row) + "}"
			}
			formula = "MAX(0," + formula + ")"
		}
		row = append(row, document.RangeCell(r.counted).By(document.RuleExact).Computed(formula))
	}
	adds := document.IntCell(0)
	if r.route == formula.ByComposition {
		adds = document.IntCell(1)
	}
	row = append(row, adds, document.TextCell(r.given),
		document.TextCell(strings.TrimPrefix(placeText(r.pos), "ingredients/")))
	return m.fill(row, func(c *modelColumn) document.Cell {
		use, there := c.uses[r.material.key]
		if !there {
			return document.BlankCell()
		}
		return document.PctCell(use).Computed(cellAt(tableUse, c.key, r.material.row))
	})
}

func (m *model) indexOf(s *modelSubstance) int {
	for i, x := range m.subs {
		if x == s {
			return i
		}
	}
	return -1
}

func subAnchor(s *modelSubstance) string { return "recalc-sub-" + words.Itoa(s.row) }

// placeSubstances gives each substance its row in the tables of substances.
func (m *model) placeSubstances() {
	row := 0
	for _, s := range m.subs {
		s.row = row
		row++
		if s.own > 0 && s.own < len(s.rows) {
			s.ownRow = row
			row++
		}
	}
}

// substancesSection adds the contents up for each substance and mixture.
func (m *model) substancesSection() *document.Section {
	s := &document.Section{ID: "recalc-substances", Title: "Recalculation: substances"}
	for _, b := range bounds {
		s.Add(m.boundTable(b))
	}
	return s
}

// boundTable adds up one bound of the contents.
func (m *model) boundTable(b bound) *document.Table {
	t := &document.Table{ID: b.table, Title: b.title, SheetName: substanceSheet, Empty: "No substance is known.",
		Columns: append([]document.Column{
			{Head: "Substance", Fixed: true, Weight: 1.4}, {Head: "CAS"}, {Key: "worst", Head: "Highest",
				Kind: document.KindNumber}, {Key: "where", Head: "Highest in"}}, m.mixtureColumns()...)}
	for i, s := range m.subs {
		name := document.LinkCell(s.name, "recalc-in-"+words.Itoa(i))
		if len(s.rows) == 0 {
			name = document.TextCell(s.name)
		}
		if b.key == "max" {
			name = name.At(subAnchor(s))
		}
		whole := func(x *formula.Substance) exact.Range { return x.Total }
		t.Add(m.boundRow(b, name, s, len(s.rows), whole)...)
		if s.ownRow >= 0 {
			t.Add(m.boundRow(b, document.TextCell("  of which as an ingredient"), s, s.own,
				func(x *formula.Substance) exact.Range { return x.Pct })...)
		}
	}
	if b.key == "max" {
		t.Note("By all routes: as a constituent, as a declared allergen, as a trace; nothing counts twice.")
	}
	if b.key == "typ" && len(m.rows) > 0 {
		m.sumOfConstituents(t)
	}
	return t
}

// boundRow adds up the first n contents of a substance in each mixture.
func (m *model) boundRow(b bound, name document.Cell, s *modelSubstance, n int,
	of func(*formula.Substance) exact.Range) []document.Cell {
	var worst exact.Num
	where := ""
	value := func(c *modelColumn) (exact.Num, bool) {
		x := c.contents[s.key]
		if x == nil || !m.reaches(c, s.rows[:n]) {
			return exact.Num{}, false
		}
		return b.of(of(x)), true
	}
	for _, c := range m.columns {
		if v, there := value(c); there && (where == "" || worst.Less(v)) {
			worst, where = v, c.head
		}
	}
	heads := "{" + m.span() + "@head}"
	row := []document.Cell{name, document.TextCell(s.like.CAS), document.PctCell(worst).
		Computed("MAX({" + m.span() + "})"),
		document.TextCell(where).Computed("INDEX(" + heads + ",1,MATCH({worst},{" + m.span() + "},0))")}
	if where == "" {
		row[2], row[3] = document.BlankCell(), document.BlankCell()
	} else if b.key == "max" && n == len(s.rows) {
		row[2] = row[2].Named(m.names.of("Content", s.name))
	}
	return m.fill(row, func(c *modelColumn) document.Cell {
		v, there := value(c)
		if !there {
			return document.BlankCell()
		}
		from, to := s.rows[0].row, s.rows[n-1].row
		key := "in"
		for _, r := range s.rows[:n] {
			if len(r.listed) > 0 {
				key = "counted"
			}
		}
		return document.PctCell(v).Computed("SUMPRODUCT(" + rowsAt(tableContents, key+"."+b.key, from, to) + "," +
			rowsAt(tableContents, c.key, from, to) + ")/100")
	})
}

// reaches says whether any of the contents is in a mixture.
func (m *model) reaches(c *modelColumn, rows []*contentRow) bool {
	for _, r := range rows {
		if _, there := c.uses[r.material.key]; there {
			return true
		}
	}
	return false
}

// sumOfConstituents checks that the constituents of each mixture add up to what
// its raw materials do.
func (m *model) sumOfConstituents(t *document.Table) {
	last := len(m.rows) - 1
	t.Total(m.fill([]document.Cell{document.TextCell("Sum of all constituents"), document.BlankCell(),
		document.BlankCell(), document.BlankCell()}, func(c *modelColumn) document.Cell {
		var sum exact.Num
		for _, s := range c.comp.Substances {
			sum = sum.Add(s.Pct.Typ)
		}
		return document.PctCell(sum).Computed("SUMPRODUCT(" + rowsAt(tableContents, "in.typ", 0, last) + "," +
			rowsAt(tableContents, "adds", 0, last) + "," + rowsAt(tableContents, c.key, 0, last) + ")/100")
	})...)
}
