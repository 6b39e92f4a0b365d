package recalc

import (
	"slices"

	"gallipot/calc/formula"
	"gallipot/dossier/words"
	"gallipot/ingredients/exact"
)

// lineKind is what a row of the table of lines is.
type lineKind int

const (
	lineFixed lineKind = iota // an amount as typed
	lineRest                  // q.s.
	lineSlot                  // a slot: its amount, counted where nothing fills it
	lineFill                  // a raw material in a slot
	lineSold                  // a raw material of the product as sold, after a reaction
)

// modelLine is one row of the table of lines.
type modelLine struct {
	kind     lineKind
	id       string // raw material, or what a reaction made; "" for a slot
	name     string
	amount   exact.Num // % or g, as typed; of a fill: that of its slot
	pos      exact.Pos
	slot     *modelLine // of a fill
	slotName string
	row      int // in the table of lines
	shareRow int // in the table of shares; -1: fills its slot alone everywhere
}

// modelLines is the formula as rows.
type modelLines struct {
	list   []*modelLine
	heads  map[int]string // rows that head a phase
	rest   *modelLine     // nil: no line takes the rest
	slots  []*modelLine
	last   int // row of the last line
	shares []*modelLine
}

var hundredPct = exact.Int(100)

// lines lays out the rows of the table of lines.
func (m *model) lines() *modelLines {
	if m.reacts() {
		return m.soldLines()
	}
	l := &modelLines{heads: map[int]string{}}
	row := 0
	add := func(x *modelLine) {
		x.row, x.shareRow = row, -1
		l.list = append(l.list, x)
		row++
	}
	for _, phase := range m.v.A.Product.Formula.Phases {
		l.heads[row] = words.Joined(": ", "Phase "+phase.ID, phase.Name)
		row++
		for _, line := range phase.Lines {
			x := &modelLine{id: line.Ingredient, name: m.v.Material(line.Ingredient), amount: line.Amount,
				pos: line.AmountPos}
			if line.Slot == "" {
				if line.Rest {
					x.kind, l.rest = lineRest, x
				}
				add(x)
				continue
			}
			x.kind, x.name, x.slotName = lineSlot, "slot "+line.Slot, line.Slot
			add(x)
			l.slots = append(l.slots, x)
			for _, fill := range m.fillings(line.Slot) {
				f := &modelLine{kind: lineFill, id: fill.Ingredient, name: m.v.Material(fill.Ingredient),
					amount: line.Amount, pos: fill.Pos, slot: x, slotName: line.Slot}
				add(f)
				if m.isShared(f) {
					f.shareRow = len(l.shares)
					l.shares = append(l.shares, f)
				}
			}
		}
	}
	l.last = row - 1
	return l
}

// soldLines lists what is in the product as sold; what the reaction left takes
// the rest.
func (m *model) soldLines() *modelLines {
	l := &modelLines{heads: map[int]string{}}
	for _, mat := range m.materials {
		x := &modelLine{kind: lineSold, id: mat.key, name: mat.name, row: len(l.list), shareRow: -1}
		if mat.made {
			x.kind = lineRest
		}
		l.list = append(l.list, x)
	}
	l.last = len(l.list) - 1
	return l
}

// fillings lists the raw materials that fill a slot in any mixture.
func (m *model) fillings(slot string) []formula.FillPart {
	var parts []formula.FillPart
	for _, c := range m.columns {
		if !m.isBase(c) {
			continue
		}
		for _, p := range fillOf(c, slot) {
			if !slices.ContainsFunc(parts, func(q formula.FillPart) bool { return q.Ingredient == p.Ingredient }) {
				parts = append(parts, p)
			}
		}
	}
	return parts
}

// fillOf returns what fills a slot of a mixture: as the portion says, else as the
// variant does.
func fillOf(c *modelColumn, slot string) []formula.FillPart {
	lists := [][]formula.Fill{c.variant.Fill}
	if c.whole != nil {
		lists = [][]formula.Fill{c.variant.Portions[c.mix-1].Fill, c.variant.Fill}
	}
	for _, fills := range lists {
		for _, f := range fills {
			if f.Slot == slot {
				return f.Parts
			}
		}
	}
	return nil
}

// share returns the share of a raw material in its slot, %, and whether it is
// there.
func (x *modelLine) share(c *modelColumn) (sum exact.Num, there bool) {
	for _, p := range fillOf(c, x.slotName) {
		if p.Ingredient == x.id {
			sum, there = sum.Add(p.SharePct), true
		}
	}
	return sum, there
}

// isShared says whether a raw material fills its slot together with others in
// any mixture.
func (m *model) isShared(x *modelLine) bool {
	return slices.ContainsFunc(m.columns, func(c *modelColumn) bool {
		share, there := x.share(c)
		return m.isBase(c) && there && !share.Equal(hundredPct)
	})
}

// written is the amount of a line in a mixture as the file has it, and whether it
// has one there. The rest is not counted yet.
func (x *modelLine) written(c *modelColumn) (exact.Num, bool) {
	switch x.kind {
	case lineFixed:
		return x.amount, true
	case lineSlot:
		return x.amount, len(fillOf(c, x.slotName)) == 0
	case lineFill:
		share, there := x.share(c)
		return x.amount.Pct(share), there
	case lineSold:
		use, there := c.uses[x.id]
		return use, there
	}
	return exact.Num{}, false
}

// sums are what the lines of a mixture add up to, % or g.
type lineSums struct {
	empty  exact.Num // slots with nothing in them
	filled exact.Num // lines with the rest
	rest   exact.Num
	factor exact.Num // to 100
	whole  bool      // the check holds
}

// sums adds up the lines of a mixture as the program does.
func (l *modelLines) sums(c *modelColumn, basis formula.Basis, tolerance exact.Num) (s lineSums) {
	for _, x := range l.list {
		n, there := x.written(c)
		switch {
		case !there:
		case x.kind == lineSlot:
			s.empty = s.empty.Add(n)
		default:
			s.filled = s.filled.Add(n)
		}
	}
	s.factor, s.whole = exact.Int(1), true
	typed := s.filled.Add(s.empty)
	off := typed.Sub(hundredPct)
	switch {
	case l.rest != nil:
		if s.rest = hundredPct.Sub(s.filled); off.Sign() >= 0 {
			s.rest, s.factor, s.whole = exact.Num{}, hundredPct.Quo(typed), false
		}
		s.filled = s.filled.Add(s.rest)
	case basis == formula.Grams:
		s.factor = toHundred(s.filled)
	default:
		s.whole = !tolerance.Less(off) && !off.Less(tolerance.Neg())
		if !s.whole || !s.empty.IsZero() {
			s.factor = toHundred(s.filled)
		}
	}
	return s
}

// toHundred is the factor that brings a sum to 100; 0 where there is nothing to
// bring there, as in a variant that fills no slot.
func toHundred(sum exact.Num) exact.Num {
	if sum.IsZero() {
		return sum
	}
	return hundredPct.Quo(sum)
}
