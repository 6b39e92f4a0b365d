package recalc

import (
	"strings"

	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/dossier/document"
	"gallipot/dossier/words"
	"gallipot/ingredients/exact"
)

// formulaBuilder builds the tables of the formula.
type formulaBuilder struct {
	m         *model
	l         *modelLines
	grams     bool
	tolerance exact.Num

	emptyRow, sumRow, factorRow int // in the table of lines; -1: not there
	addedFactor                 int // row of the factor in the table of additions; -1: nothing is added
	added                       []modelAddition
}

// modelAddition is something stirred in after 100 parts of base.
type modelAddition struct {
	id   string
	nth  int // of the same raw material in one variant
	name string
	pos  exact.Pos
}

// formulaSection computes what is in each mixture from the lines of the formula.
func (m *model) formulaSection() *document.Section {
	b := &formulaBuilder{m: m, l: m.lines(), grams: m.v.A.Product.Formula.Basis == formula.Grams,
		tolerance: law.Fact(m.v.A.Options.Law, "percent-sum-tolerance").Number,
		emptyRow:  -1, sumRow: -1, factorRow: -1, addedFactor: -1}
	s := &document.Section{ID: "recalc-formula", Title: "Recalculation: formula"}
	b.place()
	s.Add(b.written())
	if len(b.l.shares) > 0 {
		s.Add(b.shares())
	}
	if len(b.added) > 0 {
		s.Add(b.addedTable())
	}
	if b.hasPortions() {
		s.Add(b.portions())
	}
	return s.Add(b.use())
}

// place fixes the rows that formulas point to before their tables are filled.
func (b *formulaBuilder) place() {
	next := b.l.last + 1
	if len(b.l.slots) > 0 {
		b.emptyRow = next
		next++
	}
	b.sumRow = next
	if !b.m.reacts() {
		b.factorRow = next + 1
		b.gatherAdded()
	}
	if n := len(b.added); n > 0 {
		b.addedFactor = n + 1
	}
}

// heads are the columns that every table of the sheet begins with.
func (b *formulaBuilder) heads(first, fourth string) []document.Column {
	return append([]document.Column{{Head: first, Fixed: true, Weight: 1.4}, {Head: "Slot or part", Fixed: true},
		{Head: "Source"}, {Key: "amount", Head: fourth, Kind: document.KindNumber}}, b.m.mixtureColumns()...)
}

// unit is what amounts are typed in.
func (b *formulaBuilder) unit() string {
	if b.grams {
		return "g"
	}
	return "%"
}

func (b *formulaBuilder) input(title string, p exact.Pos) document.Input {
	if b.grams {
		return document.Input{Title: title, Source: fromPlace(p)}
	}
	return document.PctInput(title, fromPlace(p))
}

// written shows the lines as typed, and how they come to 100.
func (b *formulaBuilder) written() *document.Table {
	t := &document.Table{ID: tableWritten, Title: "Lines of the formula as typed, " + b.unit() + " of the base",
		SheetName: formulaSheet, Columns: b.heads("Raw material or slot", "As typed, "+b.unit())}
	if b.m.reacts() {
		t.Title = "The product as sold, after the reaction with lye, % w/w"
		t.Note("What the lye makes of the fats is not recalculated here: the contents of the soap are the program's, and the soap takes the rest to 100. To change fats, lye or water, change the product file and make the pack again.")
	}
	for _, x := range b.l.list {
		for len(t.Rows) < x.row {
			t.Group(b.l.heads[len(t.Rows)])
		}
		t.Add(b.m.fill(b.lineHead(x), func(c *modelColumn) document.Cell { return b.lineCell(x, c) })...)
	}
	for len(t.Rows) <= b.l.last { // a phase without lines
		t.Group(b.l.heads[len(t.Rows)])
	}
	b.sumRows(t)
	if !b.m.reacts() {
		t.Note("A pale cell follows the amount as typed, in the fourth column, until something else is typed over it for one mixture.")
	}
	return t
}

// lineHead names a line and holds its amount as typed.
func (b *formulaBuilder) lineHead(x *modelLine) []document.Cell {
	amount := document.BlankCell()
	switch x.kind {
	case lineFixed, lineSlot:
		amount = document.NumCell(x.amount, document.RuleExact).Open(b.input("Amount as typed, "+b.unit(), x.pos)).
			Named(b.m.names.of("Amount", x.id+x.slotName))
	case lineRest:
		amount = document.TextCell("the rest")
		if !b.m.reacts() {
			amount = document.TextCell("q.s.")
		}
	}
	name, slot := x.name, x.slotName
	if x.kind == lineFill {
		name = "  " + name
	}
	return []document.Cell{document.TextCell(name), document.TextCell(slot),
		document.TextCell(placeText(x.pos)), amount}
}

// lineCell is the amount of a line in one mixture.
func (b *formulaBuilder) lineCell(x *modelLine, c *modelColumn) document.Cell {
	if !b.m.isBase(c) {
		return document.BlankCell()
	}
	if x.kind == lineRest {
		return b.restCell(x, c)
	}
	n, there := x.written(c)
	if !there {
		return document.BlankCell()
	}
	cell := document.NumCell(n, document.RuleExact)
	in := b.input(document.CutText(x.name, document.MostInputTitle), x.pos)
	switch x.kind {
	case lineSlot:
		return cell.Computed("{amount}")
	case lineFill:
		formula := cellAt(tableWritten, "amount", x.slot.row)
		if x.shareRow >= 0 {
			formula += "*" + cellAt(tableShares, c.key, x.shareRow) + "/100"
		}
		return cell.Computed(formula).Open(in.Following())
	case lineSold:
		return cell.Open(document.PctInput(document.CutText(x.name, document.MostInputTitle),
			"% w/w of the product as sold"))
	}
	return cell.Computed("{amount}").Open(in.Following())
}

// restCell is what q.s. comes to: 100 less all other lines; slots that stay empty
// leave their share to it.
func (b *formulaBuilder) restCell(x *modelLine, c *modelColumn) document.Cell {
	if b.m.reacts() {
		use, there := c.uses[x.id]
		if !there {
			return document.BlankCell()
		}
		return document.NumCell(use, document.RuleExact).Computed("100" + b.others(x, c))
	}
	if x != b.l.rest { // the last q.s. line takes it all
		return document.NumCell(exact.Num{}, document.RuleExact)
	}
	left := "100" + b.others(x, c)
	plus := ""
	if b.emptyRow >= 0 {
		plus = "+{" + c.key + "@" + words.Itoa(b.emptyRow) + "}"
	}
	return document.NumCell(b.sums(c).rest, document.RuleExact).Computed("IF(" + left + "<=" + tiny + ",0," +
		left + plus + ")")
}

// others subtracts every line but one.
func (b *formulaBuilder) others(x *modelLine, c *modelColumn) string {
	s := ""
	if x.row > 0 {
		s += "-SUM(" + rowsAt(tableWritten, c.key, 0, x.row-1) + ")"
	}
	if x.row < b.l.last {
		s += "-SUM(" + rowsAt(tableWritten, c.key, x.row+1, b.l.last) + ")"
	}
	return s
}

func (b *formulaBuilder) sums(c *modelColumn) lineSums {
	return b.l.sums(c, b.m.v.A.Product.Formula.Basis, b.tolerance)
}

// sumRows shows what the lines add up to and how they are brought to 100.
func (b *formulaBuilder) sumRows(t *document.Table) {
	add := func(name string, cell func(c *modelColumn) document.Cell) {
		t.Total(b.m.fill([]document.Cell{document.TextCell(name), document.BlankCell(), document.BlankCell(),
			document.BlankCell()}, func(c *modelColumn) document.Cell {
			if !b.m.isBase(c) {
				return document.BlankCell()
			}
			return cell(c)
		})...)
	}
	if b.emptyRow >= 0 {
		add("Slots with nothing in them", func(c *modelColumn) document.Cell {
			var cells []string
			for _, x := range b.l.slots {
				cells = append(cells, cellAt(tableWritten, c.key, x.row))
			}
			return document.NumCell(b.sums(c).empty, document.RuleExact).
				Computed("SUM(" + strings.Join(cells, ",") + ")")
		})
	}
	add("Sum of the lines", func(c *modelColumn) document.Cell {
		formula := "SUM(" + rowsAt(tableWritten, c.key, 0, b.l.last) + ")"
		if b.emptyRow >= 0 {
			formula += "-" + cellAt(tableWritten, c.key, b.emptyRow)
		}
		if b.m.reacts() {
			return document.NumCell(mixtureTotal(c), document.RuleExact).Computed(formula)
		}
		return document.NumCell(b.sums(c).filled, document.RuleExact).Computed(formula)
	})
	if b.factorRow < 0 {
		return
	}
	add("Factor that brings them to 100", func(c *modelColumn) document.Cell {
		return document.NumCell(b.sums(c).factor, document.RuleExact).Computed(b.factor(c))
	})
	add("Check", func(c *modelColumn) document.Cell { return b.lineCheck(c) })
}

// typed is the sum of the lines with the slots that stay empty.
func (b *formulaBuilder) typed(c *modelColumn) string {
	s := cellAt(tableWritten, c.key, b.sumRow)
	if b.emptyRow >= 0 {
		s += "+" + cellAt(tableWritten, c.key, b.emptyRow)
	}
	return s
}

// factor brings the lines to 100 where they are grams, where a slot without a
// q.s. line stays empty, or where they miss 100.
func (b *formulaBuilder) factor(c *modelColumn) string {
	sum := cellAt(tableWritten, c.key, b.sumRow)
	switch {
	case b.l.rest != nil:
		return "IF(" + cellAt(tableWritten, c.key, b.l.rest.row) + "=0,100/(" + b.typed(c) + "),1)"
	case b.grams:
		return "IF(" + sum + ">0,100/" + sum + ",0)"
	}
	test := b.misses(c)
	if b.emptyRow >= 0 {
		test = "OR(" + test + "," + cellAt(tableWritten, c.key, b.emptyRow) + ">0)"
	}
	return "IF(" + test + ",IF(" + sum + ">0,100/" + sum + ",0),1)"
}

// misses asks whether the lines miss 100 by more than is let pass.
func (b *formulaBuilder) misses(c *modelColumn) string {
	return "ABS(" + b.typed(c) + "-100)>" + toleranceName + "+" + tiny
}

func (b *formulaBuilder) lineCheck(c *modelColumn) document.Cell {
	met, failed := document.VerdictCell(document.VerdictMet, okWords), document.VerdictCell(document.VerdictFail,
		not100Words)
	test := b.misses(c)
	switch {
	case b.l.rest != nil:
		failed.Text = nothingForRest
		test = cellAt(tableWritten, c.key, b.l.rest.row) + "=0"
	case b.grams:
		met.Text = "brought to 100"
		cell := met
		if b.sums(c).filled.IsZero() {
			cell = failed
		}
		return cell.Computed(`IF(` + cellAt(tableWritten, c.key, b.sumRow) + `>0,"` + verdictText(met) + `","` +
			verdictText(failed) + `")`)
	}
	cell := met
	if !b.sums(c).whole {
		cell = failed
	}
	return cell.Computed(`IF(` + test + `,"` + verdictText(failed) + `","` + verdictText(met) + `")`)
}

// shares shows how several raw materials share a slot.
func (b *formulaBuilder) shares() *document.Table {
	t := &document.Table{ID: tableShares,
		Title: "Shares of raw materials that fill a slot together, % of the slot", SheetName: formulaSheet, Columns: b.heads("Raw material", "")}
	for _, x := range b.l.shares {
		t.Add(b.m.fill([]document.Cell{document.TextCell(x.name), document.TextCell(x.slotName),
			document.TextCell(placeText(x.pos)), document.BlankCell()}, func(c *modelColumn) document.Cell {
			share, there := x.share(c)
			if !there || !b.m.isBase(c) {
				return document.BlankCell()
			}
			return document.NumCell(share, document.RuleExact).
				Open(document.PctInput("Share of the slot, %", fromPlace(x.pos))).
				Named(b.m.names.of("Share", c.head+" "+x.id))
		})...)
	}
	return t.Note("The shares of one slot add up to 100.")
}
