package columns

import (
	"slices"

	"gallipot/dossier/transcribe/recipe/raw"
)

// goesUnder says whether a row carries on the head above it: units and words of
// heads alone.
func (d *Finder) goesUnder(r raw.Row) bool {
	for _, c := range r.Filled() {
		h := d.HeadOf(c.Text)
		if a, ok := d.Amount(c); ok && !a.None && h.Batch == "" {
			return false
		}
		if h.Role == Unknown || h.Role == IsName || h.Role == IsPhase {
			return false
		}
	}
	return len(r.Filled()) > 0
}

// stacked joins the two lines of a head.
func (d *Finder) stacked(cols []Column, top, below raw.Row) []Column {
	for _, c := range below.Filled() {
		i := slices.IndexFunc(cols, func(k Column) bool { return k.Col == c.Col })
		if i < 0 {
			h := d.HeadOf(c.Text)
			for _, k := range cols { // under a merged head
				if slices.Contains(k.Also, c.Col) {
					h = d.HeadOf(k.Head + " " + c.Text)
				}
			}
			h.Col, h.Hidden, h.Ref = c.Col, c.Hidden, c.Ref
			cols = append(cols, h)
			continue
		}
		h := d.HeadOf(cols[i].Head + " " + c.Text)
		if h.Role == Unknown || cols[i].Role == Unknown {
			h2 := d.HeadOf(c.Text)
			h.Role, h.Unit, h.Batch, h.Share = h2.Role, h2.Unit, h2.Batch, h2.Share
		} else if cols[i].Role != IsAmount {
			h.Role = cols[i].Role
		}
		h.Col, h.Hidden, h.X0, h.X1, h.Ref, h.Also = c.Col, cols[i].Hidden, cols[i].X0, cols[i].X1,
			cols[i].Ref, nil
		cols[i] = h
	}
	slices.SortStableFunc(cols, func(a, b Column) int { return a.Col - b.Col })
	return cols
}

// under takes what stands over the columns of amounts in the row above the head: a
// unit, or the name of a group of columns.
func (d *Finder) under(t *Table) {
	if len(t.Above) == 0 {
		return
	}
	r := t.Above[len(t.Above)-1]
	cells := r.Filled()
	if len(cells) == 0 || len(cells) == 1 && cells[0].Col == 0 {
		return
	}
	for n, c := range cells {
		if c.Col == 0 {
			continue
		}
		end := c.Col + max(c.Span, 1)
		if n+1 < len(cells) && c.Span <= 1 {
			end = cells[n+1].Col
		} else if c.Span <= 1 {
			end = 1 << 20
		}
		unit := d.Dose.UnitIn(c.Text)
		for i := range t.Cols {
			k := &t.Cols[i]
			if k.Col < c.Col || k.Col >= end || k.Role != IsAmount && k.Role != Unknown {
				continue
			}
			if unit != "" && k.Unit == "" {
				k.Unit = unit
			} else if unit == "" && k.Role == IsAmount && d.HeadBase(k.Head) == "" {
				k.Head = raw.OneLine(c.Text + " " + k.Head)
			}
			if v := d.VersionOf(c.Text); v != "" && k.Version == "" {
				k.Version = v
			}
		}
	}
}

// bands parts a head under which several products stand side by side.
func (d *Finder) bands(t *Table) []*Table {
	var starts []int
	for i, c := range t.Cols {
		if c.Role == IsName {
			at := i
			if i > 0 && t.Cols[i-1].Role == IsPhase {
				at = i - 1
			}
			starts = append(starts, at)
		}
	}
	if len(starts) < 2 {
		return []*Table{t}
	}
	for n, at := range starts {
		end := len(t.Cols)
		if n+1 < len(starts) {
			end = starts[n+1]
		}
		if !slices.ContainsFunc(t.Cols[at:end], Column.holdsAmounts) {
			return []*Table{t} // a second column of names
		}
	}
	var out []*Table
	for n, at := range starts {
		end := len(t.Cols)
		if n+1 < len(starts) {
			end = starts[n+1]
		}
		b := &Table{Sheet: t.Sheet, hidden: t.hidden, Head: t.Head, Cols: slices.Clone(t.Cols[at:end])}
		from, to := t.Cols[at].Col, 1<<20
		if n+1 < len(starts) {
			to = t.Cols[end].Col
		}
		b.from, b.to = from, to
		if n == 0 {
			b.from = 0
		}
		b.Above = b.own(t.Above)
		out = append(out, b)
	}
	return out
}

// own gives the part of rows that stands in the table's columns.
func (t *Table) own(rows []raw.Row) []raw.Row {
	if t.to == 0 {
		return rows
	}
	var out []raw.Row
	for _, r := range rows {
		var mine []raw.Cell
		for _, c := range r.Cells {
			if c.Col >= t.from && c.Col < t.to {
				mine = append(mine, c)
			}
		}
		if r.Cells = mine; len(r.Filled()) > 0 {
			out = append(out, r)
		}
	}
	return out
}
