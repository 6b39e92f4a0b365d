package cells

import (
	"slices"
	"strings"

	"gallipot/dossier/transcribe/paper"
)

// plain adds lines outside of tables with heads. Where cells of several lines stand
// centred beside each other, as in a list of properties with long names, their
// lines are joined to rows.
func (r *reader) plain(p paper.Page, reg region, lines []paper.Line) {
	for from := 0; from < len(lines); {
		to := from + 1
		for to < len(lines) && r.sameList(lines[to-1], lines[to]) && r.inBox(lines[to-1]) == r.inBox(lines[to]) {
			to++
		}
		part := lines[from:to]
		if rows := r.centredRows(p, part, reg.rules); rows != nil {
			for _, row := range rows {
				r.row(row)
			}
		} else {
			for _, l := range part {
				r.row(rowOf(p, l))
			}
		}
		from = to
	}
}

// inBox says whether a line stands between two lines drawn on the page.
func (r *reader) inBox(l paper.Line) bool {
	return slices.ContainsFunc(r.boxes, func(b box) bool { return l.Y > b.from && l.Y <= b.to })
}

// sameList says whether two lines may belong to one list: no heading and no wide
// gap between them.
func (r *reader) sameList(a, b paper.Line) bool {
	if b.Y-a.Y > 3.2*max(a.Size, b.Size) {
		return false
	}
	for _, l := range []paper.Line{a, b} {
		if len(l.Cells) == 1 && (r.heading(l.Text(" ")) != "" || len(strings.Fields(l.Text(" "))) > 9) {
			return false
		}
	}
	return true
}

// centredRows joins lines to rows of two or three columns where lines stand half a
// line apart and the blocks of the columns share their middles; nil otherwise.
func (r *reader) centredRows(p paper.Page, lines []paper.Line, rules []paper.Rule) []Row {
	if len(lines) < 3 {
		return nil
	}
	half := false
	for i := 1; i < len(lines); i++ {
		half = half || lines[i].Y-lines[i-1].Y < 0.8*lines[i].Size
	}
	if !half {
		return nil
	}
	spans := upright(lines, rules)
	if spans == nil {
		spans = gutters(lines)
	}
	if len(spans) < 2 || len(spans) > 4 {
		return nil
	}
	cols := make([]Column, len(spans))
	for i, s := range spans {
		cols[i] = Column{x0: s.x0, x1: s.x1, col: i}
	}
	if groups := ruledGroups(lines, cols, rules); len(groups) >= leastBoxes {
		return r.boxedRows(p, lines, groups, cols)
	}
	all := blocksOf(piecesOf(lines, nil, cols), cols)
	names, values := all[0], all[len(all)-1]
	if len(names) != len(values) || len(names) < 2 {
		return nil
	}
	sets := make([][]piece, len(names))
	for i, b := range names {
		if abs(b.middle()-values[i].middle()) > 0.4*b.pieces[0].size {
			return nil
		}
		sets[i] = append(sets[i], b.pieces...)
	}
	for c := 1; c < len(all); c++ {
		for _, b := range all[c] {
			best := 0
			for i, n := range names {
				if abs(n.middle()-b.middle()) < abs(names[best].middle()-b.middle()) {
					best = i
				}
			}
			sets[best] = append(sets[best], b.pieces...)
		}
	}
	var out []Row
	for _, set := range sets {
		out = append(out, r.plainRow(p, lines, set, cols))
	}
	return out
}

// plainRow is a row outside of tables, without its empty cells.
func (r *reader) plainRow(p paper.Page, lines []paper.Line, set []piece, cols []Column) Row {
	row := r.rowFrom(p, lines, set, cols)
	for i := range row.Cells {
		row.Cells[i].X0 = cols[i].x0
	}
	row.Cells = slices.DeleteFunc(row.Cells, func(c Cell) bool { return c.Text == "" })
	return row
}

// piecesOf puts lines, or some of them by their places, under columns.
func piecesOf(lines []paper.Line, some []int, cols []Column) (out []piece) {
	if some == nil {
		for i := range lines {
			some = append(some, i)
		}
	}
	for _, i := range some {
		for c, text := range underColumns(lines[i], cols) {
			if text != "" {
				out = append(out, piece{i, c, text, lines[i].Y, lines[i].Size})
			}
		}
	}
	return out
}

// boxedRows joins the lines between two lines drawn on the page to one row, where the cells of
// the columns share their middle; other lines stay as they are.
func (r *reader) boxedRows(p paper.Page, lines []paper.Line, groups [][]int, cols []Column) (out []Row) {
	for _, g := range groups {
		pieces := piecesOf(lines, g, cols)
		if len(g) > 1 && centredTogether(blocksOf(pieces, cols)) {
			out = append(out, r.plainRow(p, lines, pieces, cols))
			continue
		}
		for _, i := range g {
			out = append(out, rowOf(p, lines[i]))
		}
	}
	return out
}

// centredTogether says whether several columns have one block each, all with one middle.
func centredTogether(all [][]block) bool {
	filled, at := 0, 0.0
	for _, bs := range all {
		switch {
		case len(bs) > 1:
			return false
		case len(bs) == 0:
			continue
		case filled > 0 && abs(bs[0].middle()-at) > 0.3*bs[0].pieces[0].size:
			return false
		}
		filled++
		at = bs[0].middle()
	}
	return filled > 1
}
