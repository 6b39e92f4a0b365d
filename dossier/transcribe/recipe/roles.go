package recipe

import (
	"slices"
	"strings"
)

// settleColumns says which column holds what; a column without a known head is
// judged by what stands in it.
func (b *body) settleColumns() {
	for _, r := range []role{isPhase, isName, isINCI, isUnit, isHeat} {
		b.columns[r] = -1
	}
	b.splitMerged()
	for i := range b.t.cols {
		c := &b.t.cols[i]
		if c.role == unknown || c.role == isAmount && c.unit == "" && c.batch == "" {
			b.judge(c)
		}
		switch c.role {
		case isAmount:
			b.doses = append(b.doses, c.col)
		case isOther, isPhase:
			if c.role == isPhase && b.columns[isPhase] < 0 || c.role == isOther && b.coded(c.col) {
				b.columns[isPhase], b.letters = c.col, c.role == isOther
			} else if c.role == isPhase {
				b.notes = append(b.notes, c.col)
			} else if c.head != "" {
				b.p.LeftOut = append(b.p.LeftOut, c.head)
			}
		case isNote, unknown:
			b.notes = append(b.notes, c.col)
		default:
			if b.columns[c.role] < 0 {
				b.columns[c.role] = c.col
			} else {
				b.notes = append(b.notes, c.col)
			}
		}
	}
	if b.columns[isName] >= 0 {
		return
	}
	if col := b.textColumn(); col >= 0 {
		b.columns[isName] = col
		b.notes = slices.DeleteFunc(b.notes, func(n int) bool { return n == col })
		for _, c := range b.t.cols {
			if c.col != col || c.head == "" {
				continue
			}
			if h, ok := b.d.phaseOf(c.head); ok {
				b.open(h)
			}
		}
	} else if b.columns[isINCI] >= 0 {
		b.columns[isName] = b.columns[isINCI]
	} else if b.columns[isPhase] >= 0 {
		b.columns[isName], b.columns[isPhase] = b.columns[isPhase], -1
	}
}

// splitMerged gives the further columns under a merged head a role of their own.
func (b *body) splitMerged() {
	var more []column
	for i := range b.t.cols {
		c := &b.t.cols[i]
		for _, also := range c.also {
			if slices.ContainsFunc(b.t.cols, func(k column) bool { return k.col == also }) {
				continue
			}
			if c.role == isName && b.texts(also) > b.texts(c.col) {
				more = append(more, column{col: c.col, role: isPhase})
				c.col = also
				continue
			}
			more = append(more, column{col: also, head: c.head, hidden: c.hidden})
		}
	}
	for _, m := range more {
		if b.texts(m.col) > 0 || m.role != unknown {
			b.t.cols = append(b.t.cols, m)
		}
	}
	for _, r := range b.t.body { // cells beside every head
		for _, c := range r.filled() {
			if c.ref == "" && c.col > 60 ||
				slices.ContainsFunc(b.t.cols, func(k column) bool {
					return k.col == c.col ||
						slices.Contains(k.also, c.col)
				}) || !b.mine(c.col) {
				continue
			}
			b.t.cols = append(b.t.cols, column{col: c.col})
		}
	}
	slices.SortStableFunc(b.t.cols, func(x, y column) int { return x.col - y.col })
}

// mine says whether a column without a head belongs to this table and not to one
// beside it.
func (b *body) mine(col int) bool {
	if b.t.head == nil {
		return true
	}
	first, last := b.t.cols[0].col, b.t.cols[len(b.t.cols)-1].col
	for _, c := range b.t.head.cells {
		if c.text == "" || slices.ContainsFunc(b.t.cols, func(k column) bool { return k.col == c.col }) {
			continue
		}
		if c.col > last && col > last || c.col < first && col < first {
			return false
		}
	}
	return true
}

func (b *body) texts(col int) int {
	n := 0
	for _, r := range b.t.body {
		c := r.at(col)
		if a, ok := b.d.amount(c); c.text != "" && (!ok || a.None) && !letter.MatchString(c.text) {
			n++
		}
	}
	return n
}

// judge gives a column without a known head its role by what stands in it.
func (b *body) judge(c *column) {
	figures, texts, phases, units := 0, 0, 0, 0
	for _, r := range b.t.body {
		k := r.at(c.col)
		if k.text == "" {
			continue
		}
		if len(r.filled()) < 2 {
			continue
		}
		a, ok := b.d.amount(k)
		switch {
		case b.d.dose.UnitOf(k.text) != "":
			units++
		case ok && !a.None:
			figures++
			if letter.MatchString(k.text) && !k.number {
				phases++
			}
		case ok:
		case letter.MatchString(k.text):
			phases++
		default:
			texts++
		}
	}
	first := b.t.cols[0].col == c.col
	switch {
	case first && c.head == "" && figures > 1 && texts == 0 && b.counts(c.col):
		c.role = isOther // a running number
	case units > 0 && units >= figures && units >= texts:
		c.role = isUnit
	case c.role == isAmount && figures == 0 && texts > 0:
		c.role = isNote
	case c.role == isAmount:
	case first && phases > 0 && texts == 0 && phases >= figures:
		c.role = isPhase
	case figures > 0 && figures >= texts:
		c.role = isAmount
	}
}

// coded says whether a column holds codes of lines by phase: A1, A2, B1.
func (b *body) coded(col int) bool {
	letters := map[byte]bool{}
	for _, r := range b.t.body {
		c := r.at(col)
		if c.text == "" {
			continue
		}
		if !lineCode.MatchString(c.text) {
			return false
		}
		letters[c.text[0]] = true
	}
	return len(letters) > 1
}

// counts says whether a column counts its rows.
func (b *body) counts(col int) bool {
	want := 1
	for _, r := range b.t.body {
		c := r.at(col)
		if c.text == "" {
			continue
		}
		if strings.Trim(c.text, ".)") != itoa(want) {
			return false
		}
		want++
	}
	return want > 2
}

// textColumn is the first column of text that has no role.
func (b *body) textColumn() int {
	best, most := -1, 0
	for _, c := range b.t.cols {
		if c.role != unknown {
			continue
		}
		if n := b.texts(c.col); n > most && (best < 0 || n > 2*most) {
			best, most = c.col, n
		}
	}
	if best >= 0 {
		return best
	}
	for _, r := range b.t.body { // no head stands over the names
		for _, c := range r.filled() {
			if !slices.ContainsFunc(b.t.cols, func(k column) bool { return k.col == c.col }) {
				return c.col
			}
		}
	}
	return -1
}
