package tabular

import (
	"slices"
	"strconv"
	"strings"

	"gallipot/dossier/transcribe/recipe/columns"
	"gallipot/dossier/transcribe/recipe/terms"
)

// settleColumns says which column holds what; a column without a known head is
// judged by what stands in it.
func (b *body) settleColumns() {
	for _, r := range []columns.Role{columns.IsPhase, columns.IsName, columns.IsINCI, columns.IsUnit,
		columns.IsHeat} {
		b.columns[r] = -1
	}
	b.splitMerged()
	for i := range b.t.Cols {
		c := &b.t.Cols[i]
		if c.Role == columns.Unknown || c.Role == columns.IsAmount && c.Unit == "" && c.Batch == "" {
			b.judge(c)
		}
		switch c.Role {
		case columns.IsAmount:
			b.doses = append(b.doses, c.Col)
		case columns.IsOther, columns.IsPhase:
			if c.Role == columns.IsPhase && b.columns[columns.IsPhase] < 0 || c.Role == columns.IsOther &&
				b.coded(c.Col) {
				b.columns[columns.IsPhase], b.letters = c.Col, c.Role == columns.IsOther
			} else if c.Role == columns.IsPhase {
				b.notes = append(b.notes, c.Col)
			} else if c.Head != "" {
				b.p.LeftOut = append(b.p.LeftOut, c.Head)
			}
		case columns.IsNote, columns.Unknown:
			b.notes = append(b.notes, c.Col)
		default:
			if b.columns[c.Role] < 0 {
				b.columns[c.Role] = c.Col
			} else {
				b.notes = append(b.notes, c.Col)
			}
		}
	}
	if b.columns[columns.IsName] >= 0 {
		return
	}
	if col := b.textColumn(); col >= 0 {
		b.columns[columns.IsName] = col
		b.notes = slices.DeleteFunc(b.notes, func(n int) bool { return n == col })
		for _, c := range b.t.Cols {
			if c.Col != col || c.Head == "" {
				continue
			}
			if h, ok := b.d.PhaseOf(c.Head); ok {
				b.open(h)
			} else {
				b.p.LeftOut = append(b.p.LeftOut, c.Head)
			}
		}
	} else if b.columns[columns.IsINCI] >= 0 {
		b.columns[columns.IsName] = b.columns[columns.IsINCI]
	} else if b.columns[columns.IsPhase] >= 0 {
		b.columns[columns.IsName], b.columns[columns.IsPhase] = b.columns[columns.IsPhase], -1
	}
}

// splitMerged gives the further columns under a merged head a role of their own.
func (b *body) splitMerged() {
	var more []columns.Column
	for i := range b.t.Cols {
		c := &b.t.Cols[i]
		for _, also := range c.Also {
			if slices.ContainsFunc(b.t.Cols, func(k columns.Column) bool { return k.Col == also }) {
				continue
			}
			if c.Role == columns.IsName && b.texts(also) > b.texts(c.Col) {
				more = append(more, columns.Column{Col: c.Col, Role: columns.IsPhase})
				c.Col = also
				continue
			}
			more = append(more, columns.Column{Col: also, Head: c.Head, Hidden: c.Hidden})
		}
	}
	for _, m := range more {
		if b.texts(m.Col) > 0 || m.Role != columns.Unknown {
			b.t.Cols = append(b.t.Cols, m)
		}
	}
	for _, r := range b.t.Body { // cells beside every head
		for _, c := range r.Filled() {
			if c.Ref == "" && c.Col > 60 ||
				slices.ContainsFunc(b.t.Cols, func(k columns.Column) bool {
					return k.Col == c.Col ||
						slices.Contains(k.Also, c.Col)
				}) || !b.mine(c.Col) {
				continue
			}
			b.t.Cols = append(b.t.Cols, columns.Column{Col: c.Col})
		}
	}
	slices.SortStableFunc(b.t.Cols, func(x, y columns.Column) int { return x.Col - y.Col })
}

// mine says whether a column without a head belongs to this table and not to one
// beside it.
func (b *body) mine(col int) bool {
	if b.t.Head == nil {
		return true
	}
	first, last := b.t.Cols[0].Col, b.t.Cols[len(b.t.Cols)-1].Col
	for _, c := range b.t.Head.Cells {
		if c.Text == "" || slices.ContainsFunc(b.t.Cols,
			func(k columns.Column) bool { return k.Col == c.Col }) {
			continue
		}
		if c.Col > last && col > last || c.Col < first && col < first {
			return false
		}
	}
	return true
}

// texts counts the texts of a column that are no amounts.
func (b *body) texts(col int) int {
	n := 0
	for _, r := range b.t.Body {
		c := r.At(col)
		if a, ok := b.d.Amount(c); c.Text != "" && (!ok || a.None) && !terms.IsLetter(c.Text) {
			n++
		}
	}
	return n
}

// judge gives a column without a known head its role by what stands in it.
func (b *body) judge(c *columns.Column) {
	figures, texts, phases, units := 0, 0, 0, 0
	for _, r := range b.t.Body {
		k := r.At(c.Col)
		if k.Text == "" {
			continue
		}
		if len(r.Filled()) < 2 {
			continue
		}
		a, ok := b.d.Amount(k)
		switch {
		case b.d.Dose.UnitOf(k.Text) != "":
			units++
		case ok && !a.None:
			figures++
			if terms.IsLetter(k.Text) && !k.Number {
				phases++
			}
		case ok:
		case terms.IsLetter(k.Text):
			phases++
		default:
			texts++
		}
	}
	first := b.t.Cols[0].Col == c.Col
	switch {
	case first && c.Head == "" && figures > 1 && texts == 0 && b.counts(c.Col):
		c.Role = columns.IsOther // a running number
	case units > 0 && units >= figures && units >= texts:
		c.Role = columns.IsUnit
	case c.Role == columns.IsAmount && figures == 0 && texts > 0:
		c.Role = columns.IsNote
	case c.Role == columns.IsAmount:
	case first && phases > 0 && texts == 0 && phases >= figures:
		c.Role = columns.IsPhase
	case figures > 0 && figures >= texts:
		c.Role = columns.IsAmount
	}
}

// coded says whether a column holds codes of lines by phase: A1, A2, B1.
func (b *body) coded(col int) bool {
	letters := map[byte]bool{}
	for _, r := range b.t.Body {
		c := r.At(col)
		if c.Text == "" {
			continue
		}
		if !lineCode.MatchString(c.Text) {
			return false
		}
		letters[c.Text[0]] = true
	}
	return len(letters) > 1
}

// counts says whether a column counts its rows.
func (b *body) counts(col int) bool {
	want := 1
	for _, r := range b.t.Body {
		c := r.At(col)
		if c.Text == "" {
			continue
		}
		if strings.Trim(c.Text, ".)") != strconv.Itoa(want) {
			return false
		}
		want++
	}
	return want > 2
}

// textColumn is the first column of text that has no role.
func (b *body) textColumn() int {
	best, most := -1, 0
	for _, c := range b.t.Cols {
		if c.Role != columns.Unknown {
			continue
		}
		if n := b.texts(c.Col); n > most && (best < 0 || n > 2*most) {
			best, most = c.Col, n
		}
	}
	if best >= 0 {
		return best
	}
	for _, r := range b.t.Body { // no head stands over the names
		for _, c := range r.Filled() {
			if !slices.ContainsFunc(b.t.Cols, func(k columns.Column) bool { return k.Col == c.Col }) {
				return c.Col
			}
		}
	}
	return -1
}
