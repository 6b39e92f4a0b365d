package recalc

import (
	"slices"
	"strings"

	"gallipot/calc/formula"
	"gallipot/dossier/document"
	"gallipot/dossier/words"
	"gallipot/ingredients/exact"
)

// gatherAdded lists what any variant stirs in after 100 parts of base.
func (b *formulaBuilder) gatherAdded() {
	for _, c := range b.m.columns {
		if c.mix > 0 {
			continue
		}
		count := map[string]int{}
		for _, a := range c.variant.ThenAdd {
			x := modelAddition{id: a.Ingredient, nth: count[a.Ingredient], name: b.m.v.Material(a.Ingredient),
				pos: a.Pos}
			count[a.Ingredient]++
			if !slices.ContainsFunc(b.added, func(y modelAddition) bool { return y.id == x.id && y.nth == x.nth }) {
				b.added = append(b.added, x)
			}
		}
	}
}

// parts returns how much of an addition goes into a mixture, by mass per 100
// parts of base, and whether it does.
func (x *modelAddition) parts(v *formula.Variant) (exact.Num, bool) {
	n := 0
	for _, a := range v.ThenAdd {
		if a.Ingredient == x.id {
			if n == x.nth {
				return a.Parts, true
			}
			n++
		}
	}
	return exact.Num{}, false
}

// addedTable shows what is stirred in after 100 parts of base.
func (b *formulaBuilder) addedTable() *document.Table {
	t := &document.Table{ID: tableAdded, Title: "Stirred in after 100 parts of base, parts by mass",
		SheetName: formulaSheet, Columns: b.heads("Raw material", "")}
	row := func(name, place string, cell func(c *modelColumn) document.Cell) []document.Cell {
		return b.m.fill([]document.Cell{document.TextCell(name), document.BlankCell(), document.TextCell(place),
			document.BlankCell()}, func(c *modelColumn) document.Cell {
			if !b.m.isBase(c) || len(c.variant.ThenAdd) == 0 {
				return document.BlankCell()
			}
			return cell(c)
		})
	}
	for i := range b.added {
		x := &b.added[i]
		t.Add(row(x.name, placeText(x.pos), func(c *modelColumn) document.Cell {
			n, there := x.parts(c.variant)
			if !there {
				return document.BlankCell()
			}
			return document.NumCell(n, document.RuleExact).
				Open(document.Input{Title: "Parts per 100 parts of base", Source: fromPlace(x.pos)}).
				Named(b.m.names.of("Parts", c.head+" "+x.id))
		})...)
	}
	total := func(c *modelColumn) (sum exact.Num) {
		for _, a := range c.variant.ThenAdd {
			sum = sum.Add(a.Parts)
		}
		return sum
	}
	t.Total(row("Sum", "", func(c *modelColumn) document.Cell {
		return document.NumCell(total(c), document.RuleExact).
			Computed("SUM(" + rowsAt(tableAdded, c.key, 0, len(b.added)-1) + ")")
	})...)
	t.Total(row("Factor of the base and of each part", "", func(c *modelColumn) document.Cell {
		return document.NumCell(hundredPct.Quo(hundredPct.Add(total(c))), document.RuleExact).
			Computed("100/(100+" + cellAt(tableAdded, c.key, len(b.added)) + ")")
	})...)
	return t
}

func (b *formulaBuilder) hasPortions() bool {
	return !b.m.reacts() && slices.ContainsFunc(b.m.columns, func(c *modelColumn) bool { return c.mix > 0 })
}

// portions shows how the portions share the pack.
func (b *formulaBuilder) portions() *document.Table {
	t := &document.Table{ID: tablePortions, Title: "Portions of a pack, % of what is filled",
		SheetName: formulaSheet, Columns: b.heads("", "")}
	return t.Add(b.m.fill([]document.Cell{document.TextCell("Share of the pack"), document.BlankCell(),
		document.BlankCell(), document.BlankCell()}, func(c *modelColumn) document.Cell {
		switch {
		case c.mix > 0:
			p := c.variant.Portions[c.mix-1]
			return document.NumCell(p.SharePct, document.RuleExact).
				Open(document.PctInput("Share of the pack, %", fromPlace(p.Pos))).Named(b.m.names.of("Portion", c.head))
		case len(c.portions) > 0:
			var sum exact.Num
			var cells []string
			for _, p := range c.portions {
				sum = sum.Add(p.comp.Mixture.SharePct)
				cells = append(cells, "{"+p.key+"}")
			}
			return document.NumCell(sum, document.RuleExact).Computed(strings.Join(cells, "+"))
		}
		return document.BlankCell()
	})...)
}

// use shows how much of each raw material is in each mixture: what everything
// below is computed from.
func (b *formulaBuilder) use() *document.Table {
	m := b.m
	t := &document.Table{ID: tableUse, Title: "Raw materials in each mixture, % w/w", SheetName: formulaSheet,
		Columns: b.heads("Raw material", "Most in any mixture")}
	t.Columns[3].Key = "most"
	for i, mat := range m.materials {
		mat.row = i
		var most exact.Num
		for _, c := range m.columns {
			most = most.Max(c.uses[mat.key])
		}
		place := ""
		if s := m.v.A.Workshop.Sheets[mat.id]; s != nil {
			place = placeText(s.Pos)
		}
		head := []document.Cell{document.TextCell(mat.name).At("recalc-use-" + words.Itoa(i)), document.BlankCell(),
			document.TextCell(place), document.PctCell(most).Computed("MAX({" + m.span() + "})")}
		t.Add(m.fill(head, func(c *modelColumn) document.Cell { return b.useCell(mat, c) })...)
	}
	last := len(m.materials) - 1
	t.Total(m.fill([]document.Cell{document.TextCell("Total"), document.BlankCell(), document.BlankCell(),
		document.BlankCell()}, func(c *modelColumn) document.Cell {
		return document.PctCell(mixtureTotal(c)).Computed("SUM(" + rowsAt(tableUse, c.key, 0, last) + ")").
			Named(m.names.of("Total", c.head))
	})...)
	t.Total(m.fill([]document.Cell{document.TextCell("Check"), document.BlankCell(), document.BlankCell(),
		document.BlankCell()}, func(c *modelColumn) document.Cell {
		met, failed := document.VerdictCell(document.VerdictMet,
			okWords), document.VerdictCell(document.VerdictFail, not100Words)
		cell := met
		if off := mixtureTotal(c).Sub(hundredPct); b.tolerance.Less(off) || off.Less(b.tolerance.Neg()) {
			cell = failed
		}
		return cell.Computed("IF(ABS({" + c.key + "@" + words.Itoa(last+1) + "}-100)>" + toleranceName + "+" +
			tiny + `,"` + verdictText(failed) + `","` + verdictText(met) + `")`)
	})...)
	return t
}

// mixtureTotal is what the raw materials of a mixture add up to, %.
func mixtureTotal(c *modelColumn) (sum exact.Num) {
	for _, s := range c.comp.Mixture.Shares {
		sum = sum.Add(s.Pct)
	}
	return sum
}

// useCell is the use of a raw material in one mixture.
func (b *formulaBuilder) useCell(mat *modelMaterial, c *modelColumn) document.Cell {
	use, there := c.uses[mat.key]
	if !there {
		return document.BlankCell()
	}
	cell := document.PctCell(use)
	if !b.m.isBase(c) {
		var terms []string
		for _, p := range c.portions {
			if _, there := p.uses[mat.key]; there {
				terms = append(terms, "{"+p.key+"}*"+cellAt(tablePortions, p.key, 0))
			}
		}
		return cell.Computed("(" + strings.Join(terms, "+") + ")/100")
	}
	var terms []string
	for _, x := range b.l.list {
		_, there := x.written(c)
		if x.id == mat.key && (there || x.kind == lineRest) {
			terms = append(terms, cellAt(tableWritten, c.key, x.row))
		}
	}
	formula := strings.Join(terms, "+")
	if b.factorRow >= 0 && formula != "" {
		formula = "(" + formula + ")*" + cellAt(tableWritten, c.key, b.factorRow)
	}
	if b.addedFactor < 0 || len(c.variant.ThenAdd) == 0 {
		return cell.Computed(formula)
	}
	factor := cellAt(tableAdded, c.key, b.addedFactor)
	if formula != "" {
		formula += "*" + factor
	}
	for i := range b.added {
		if _, there := b.added[i].parts(c.variant); there && b.added[i].id == mat.key {
			formula = words.Joined("+", formula, cellAt(tableAdded, c.key, i)+"*"+factor)
		}
	}
	return cell.Computed(formula)
}
