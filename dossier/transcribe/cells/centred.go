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
		for to < len(lines) && r.sameList(lines[to-1], lines[to]) {
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
	var pieces []piece
	for i, l := range lines {
		for c, text := range underColumns(l, cols) {
			if text != "" {
				pieces = append(pieces, piece{i, c, text, l.Y, l.Size})
			}
		}
	}
	all := blocksOf(pieces, cols)
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
		row := r.rowFrom(p, lines, set, cols)
		for i := range row.Cells {
			row.Cells[i].X0 = cols[i].x0
		}
		row.Cells = slices.DeleteFunc(row.Cells, func(c Cell) bool { return c.Text == "" })
		out = append(out, row)
	}
	return out
}
