package dossier

import (
	"fmt"
	"strings"
)

// gauge measures tables in columns of the terminal.
func (t *textWriter) gauge(sources map[string]int) *gauge {
	return &gauge{
		width: textColumns, pad: 1, step: 1, headMost: 16, widest: 26, tight: 16, tick: 3, hand: 12, handMin: 8,
		text: textMeasure, unit: textMeasure, clean: textClean,
		cell:  func(c Cell) []run { return []run{{text: t.cellText(c, sources)}} },
		signs: func(c Cell) []run { return []run{{text: t.signs(c, sources)}} },
	}
}

func (t *textWriter) table(tab *Table) {
	caption := tab.Title
	if n := t.tableNo[tab]; n > 0 {
		caption = fmt.Sprintf("Table %d  %s", n, caption)
	}
	if len(tab.Rows) == 0 {
		words := tab.Empty
		if words == "" {
			words = "nothing to list"
		}
		if caption != "" {
			t.para("", "", caption)
		}
		t.para("", "", words)
		return
	}
	_, numbers := tab.sources()
	g := t.gauge(numbers)
	parts := g.parts(g.columns(tab))
	for i, cols := range parts {
		head := caption
		if len(parts) > 1 {
			head = joined(" ", caption, fmt.Sprintf("(columns, part %d of %d)", i+1, len(parts)))
		}
		if i > 0 {
			t.gap()
		}
		if head != "" {
			t.para("", "", head)
		}
		g.share(cols, 0)
		t.tablePart(tab, g, cols)
	}
	t.belowTable(tab)
}

// chars is the width of a column without the white space beside it.
func (g *gauge) chars(c *column) int { return max(int(c.w-2*g.pad), 1) }

func (t *textWriter) tablePart(tab *Table, g *gauge, cols []*column) {
	t.tableHead(g, cols)
	for i, r := range tab.Rows {
		switch r.Kind {
		case RowGroup:
			if i > 0 {
				t.line("")
			}
			t.para("", "", t.cellText(r.Cells[0], nil))
			continue
		case RowTotal:
			t.dashes(g, cols)
		}
		stacks := make([][]string, len(cols))
		for j, c := range cols {
			stacks[j] = t.cellLines(g, c, rowCell(r, c.at))
		}
		t.beside(g, cols, stacks)
	}
}

// tableHead writes the heads, their last lines level, and a line below.
func (t *textWriter) tableHead(g *gauge, cols []*column) {
	stacks, high, any := make([][]string, len(cols)), 0, false
	for j, c := range cols {
		for _, runs := range [][]run{{{text: g.clean(c.Head)}}, g.unitRuns(c.Unit)} {
			if runs[0].text == "" {
				continue
			}
			any = true
			for _, l := range wrapRuns(runs, float64(g.chars(c)), textMeasure) {
				stacks[j] = append(stacks[j], t.aligned(g, c, runsText(l), c.signs))
			}
		}
		high = max(high, len(stacks[j]))
	}
	if !any {
		return
	}
	for j := range stacks {
		stacks[j] = append(make([]string, high-len(stacks[j])), stacks[j]...)
	}
	t.beside(g, cols, stacks)
	t.dashes(g, cols)
}

func (t *textWriter) dashes(g *gauge, cols []*column) {
	stacks := make([][]string, len(cols))
	for j, c := range cols {
		stacks[j] = []string{strings.Repeat("-", g.chars(c))}
	}
	t.beside(g, cols, stacks)
}

// beside writes stacks of lines next to each other.
func (t *textWriter) beside(g *gauge, cols []*column, stacks [][]string) {
	high := 0
	for _, s := range stacks {
		high = max(high, len(s))
	}
	for k := range max(high, 1) {
		row := ""
		for j, c := range cols {
			s := ""
			if k < len(stacks[j]) {
				s = stacks[j][k]
			}
			row += pad(s, g.chars(c), false) + strings.Repeat(" ", int(2*g.pad))
		}
		t.line(row)
	}
}

// cellLines sets a cell into its column.
func (t *textWriter) cellLines(g *gauge, c *column, cell Cell) []string {
	if cell.IsFigure() && c.isFigure {
		return []string{pad(runsText(g.cell(cell))+strings.Repeat(" ", int(g.behind(cell, c))), g.chars(c), true)}
	}
	if cell.Kind == CellWriteIn {
		return []string{strings.Repeat("_", min(g.chars(c), textWidth(blankText)))} // a line to write on does not wrap
	}
	var out []string
	for _, l := range wrapRuns(g.cell(cell), float64(g.chars(c)), textMeasure) {
		out = append(out, t.aligned(g, c, runsText(l), 0))
	}
	return out
}

// aligned puts a line of words where its column wants it.
func (t *textWriter) aligned(g *gauge, c *column, s string, behind float64) string {
	switch c.align {
	case AlignRight:
		if c.isFigure {
			s += strings.Repeat(" ", max(0, min(int(behind), g.chars(c)-textWidth(s))))
		}
		return pad(s, g.chars(c), true)
	case AlignCentre:
		return strings.Repeat(" ", max((g.chars(c)-textWidth(s))/2, 0)) + s
	}
	return s
}

// belowTable writes notes, legend and sources.
func (t *textWriter) belowTable(tab *Table) {
	list, _ := tab.sources()
	if len(tab.Notes)+len(list)+len(tab.Sources)+len(t.d.legendFor(tab)) > 0 {
		t.gap()
	}
	for _, n := range tab.Notes {
		t.para("", "", n)
	}
	t.legend(tab)
	for i, s := range list {
		lead := fmt.Sprintf("[%d] ", i+1)
		t.para(lead, strings.Repeat(" ", len(lead)), s)
	}
	for _, s := range tab.Sources {
		t.para("source: ", "        ", s)
	}
}

func (t *textWriter) legend(tables ...*Table) {
	for _, m := range t.d.legendFor(tables...) {
		t.para(textClean(m.Symbol)+" ", "  ", m.Text)
	}
}
