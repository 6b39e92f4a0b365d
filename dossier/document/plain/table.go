package plain

import (
	"fmt"
	"strings"

	"gallipot/dossier/document"
	"gallipot/dossier/document/layout"
	"gallipot/dossier/words"
)

// gauge measures tables in columns of the terminal.
func (t *textWriter) gauge(sources map[string]int) *layout.Gauge {
	return &layout.Gauge{
		Width: textColumns, Pad: 1, Step: 1, HeadMost: 16, Widest: 26, Tight: 16, Tick: 3, Hand: 12, HandMin: 8,
		Text: textMeasure, Unit: textMeasure, Clean: textClean,
		Cell:  func(c document.Cell) []layout.Run { return []layout.Run{{Text: t.cellText(c, sources)}} },
		Signs: func(c document.Cell) []layout.Run { return []layout.Run{{Text: t.signs(c, sources)}} },
	}
}

func (t *textWriter) table(tab *document.Table) {
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
	_, numbers := tab.AllSources()
	g := t.gauge(numbers)
	parts := g.Parts(g.Columns(tab))
	for i, cols := range parts {
		head := caption
		if len(parts) > 1 {
			head = words.Joined(" ", caption, fmt.Sprintf("(columns, part %d of %d)", i+1, len(parts)))
		}
		if i > 0 {
			t.gap()
		}
		if head != "" {
			t.para("", "", head)
		}
		g.Share(cols, 0)
		t.tablePart(tab, g, cols)
	}
	t.belowTable(tab)
}

// chars is the width of a column without the white space beside it.
func chars(g *layout.Gauge, c *layout.Column) int { return max(int(c.W-2*g.Pad), 1) }

func (t *textWriter) tablePart(tab *document.Table, g *layout.Gauge, cols []*layout.Column) {
	t.tableHead(g, cols)
	for i, r := range tab.Rows {
		switch r.Kind {
		case document.RowGroup:
			if i > 0 {
				t.line("")
			}
			t.para("", "", t.cellText(r.Cells[0], nil))
			continue
		case document.RowTotal:
			t.dashes(g, cols)
		}
		stacks := make([][]string, len(cols))
		for j, c := range cols {
			stacks[j] = t.cellLines(g, c, layout.RowCell(r, c.At))
		}
		t.beside(g, cols, stacks)
	}
}

// tableHead writes the heads, their last lines level, and a line below.
func (t *textWriter) tableHead(g *layout.Gauge, cols []*layout.Column) {
	stacks, high, any := make([][]string, len(cols)), 0, false
	for j, c := range cols {
		for _, runs := range [][]layout.Run{{{Text: g.Clean(c.Head)}}, g.UnitRuns(c.Unit)} {
			if runs[0].Text == "" {
				continue
			}
			any = true
			for _, l := range layout.WrapRuns(runs, float64(chars(g, c)), textMeasure) {
				stacks[j] = append(stacks[j], t.aligned(g, c, runsText(l), c.Signs))
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

func (t *textWriter) dashes(g *layout.Gauge, cols []*layout.Column) {
	stacks := make([][]string, len(cols))
	for j, c := range cols {
		stacks[j] = []string{strings.Repeat("-", chars(g, c))}
	}
	t.beside(g, cols, stacks)
}

// beside writes stacks of lines next to each other.
func (t *textWriter) beside(g *layout.Gauge, cols []*layout.Column, stacks [][]string) {
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
			row += pad(s, chars(g, c), false) + strings.Repeat(" ", int(2*g.Pad))
		}
		t.line(row)
	}
}

// cellLines sets a cell into its column.
func (t *textWriter) cellLines(g *layout.Gauge, c *layout.Column, cell document.Cell) []string {
	if cell.IsFigure() && c.IsFigure {
		return []string{pad(runsText(g.Cell(cell))+strings.Repeat(" ", int(g.Behind(cell, c))), chars(g, c), true)}
	}
	if cell.Kind == document.CellWriteIn {
		return []string{strings.Repeat("_", min(chars(g, c), textWidth(blankText)))} // a line to write on does not wrap
	}
	var out []string
	for _, l := range layout.WrapRuns(g.Cell(cell), float64(chars(g, c)), textMeasure) {
		out = append(out, t.aligned(g, c, runsText(l), 0))
	}
	return out
}

// aligned puts a line of words where its column wants it.
func (t *textWriter) aligned(g *layout.Gauge, c *layout.Column, s string, behind float64) string {
	switch c.Align {
	case document.AlignRight:
		if c.IsFigure {
			s += strings.Repeat(" ", max(0, min(int(behind), chars(g, c)-textWidth(s))))
		}
		return pad(s, chars(g, c), true)
	case document.AlignCentre:
		return strings.Repeat(" ", max((chars(g, c)-textWidth(s))/2, 0)) + s
	}
	return s
}

// belowTable writes notes, legend and sources.
func (t *textWriter) belowTable(tab *document.Table) {
	list, _ := tab.AllSources()
	if len(tab.Notes)+len(list)+len(tab.Sources)+len(t.d.LegendFor(tab)) > 0 {
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

func (t *textWriter) legend(tables ...*document.Table) {
	for _, m := range t.d.LegendFor(tables...) {
		t.para(textClean(m.Symbol)+" ", "  ", m.Text)
	}
}
