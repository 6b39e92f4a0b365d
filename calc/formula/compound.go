package formula

import (
	"encoding/binary"
	"slices"
	"sync"

	"gallipot/ingredients/exact"
)

// compounding is what the mixtures of a product have in common: its lines multiplied out,
// and the substances that these make, each once. It may be used in parallel.
type compounding struct {
	mu      sync.Mutex
	numbers numbers
	lines   map[lineOf]*line
	joint   map[string]*Substance // those that several pieces make, by the pieces

	// Room for what is put together or made several at once.
	pieces [][]piece // of one mixture, by number of their substance
	key    []byte    // of joint
	made   []Substance
	from   []Contribution
}

// madeAtOnce is how many substances, or contributions of several pieces, are made at once.
const madeAtOnce = 32

// lineOf is what tells lines of formulas apart.
type lineOf struct {
	material   *Material
	ingredient string
	pct        exact.Num
	pos        exact.Pos
}

// line is a line of a formula multiplied out.
type line struct {
	id            int
	material      *Material
	brings        []broughtIn // by coefficient
	contributions []Contribution
}

// broughtIn is what a line brings of a substance.
type broughtIn struct {
	number int        // of the substance
	alone  *Substance // where nothing else brings it; nil: not made yet
}

// piece is one coefficient of a line.
type piece struct {
	of *line
	at int
}

func (c *compounding) line(share Share, m *Material) *line {
	key := lineOf{m, share.Ingredient, share.Pct, share.Pos}
	if l := c.lines[key]; l != nil {
		return l
	}
	if c.lines == nil {
		c.lines, c.joint = map[lineOf]*line{}, map[string]*Substance{}
	}
	n := len(m.brings)
	l := &line{id: len(c.lines), material: m, brings: make([]broughtIn, n), contributions: make([]Contribution, n)}
	for i := range m.brings {
		b := &m.brings[i]
		l.brings[i].number = c.numbers.number(&b.name)
		l.contributions[i] = Contribution{Ingredient: share.Ingredient, UsePct: share.Pct, InMaterial: b.content,
			Given: b.given, Pct: b.content.Pct(share.Pct), Route: b.route, LinePos: share.Pos, SourcePos: b.pos,
			Present: b.present}
	}
	c.lines[key] = l
	return l
}

func (c *compounding) compose(mix Mixture, materials map[string]*Material) *Composition {
	c.mu.Lock()
	defer c.mu.Unlock()
	order := make([]int, 0, len(c.pieces))
	for _, share := range mix.Shares {
		m := materials[share.Ingredient]
		if m == nil {
			continue // an id that does not resolve is the reader's finding
		}
		l := c.line(share, m)
		for i := range l.brings {
			n := l.brings[i].number
			if n >= len(c.pieces) {
				c.pieces = append(c.pieces, make([][]piece, n+1-len(c.pieces))...)
			}
			if len(c.pieces[n]) == 0 {
				order = append(order, n)
			}
			c.pieces[n] = append(c.pieces[n], piece{l, i})
		}
	}
	out := &Composition{Mixture: mix, uses: UseOf(mix), numbers: &c.numbers,
		Substances: make([]*Substance, 0, len(order)), at: make([]placed, len(c.pieces))}
	for _, n := range order {
		out.at[n] = c.substance(n, c.pieces[n])
		out.Substances = append(out.Substances, out.at[n].Substance)
		c.pieces[n] = c.pieces[n][:0]
	}
	slices.SortStableFunc(out.Substances, byContent)
	return out
}

// substance is what pieces make, in the order of the formula.
func (c *compounding) substance(number int, pieces []piece) placed {
	if len(pieces) == 1 {
		alone := &pieces[0].of.brings[pieces[0].at].alone
		again := *alone != nil
		if !again {
			*alone = c.make(number, pieces)
		}
		return placed{*alone, again}
	}
	c.key = c.key[:0]
	for _, p := range pieces {
		c.key = binary.AppendUvarint(binary.AppendUvarint(c.key, uint64(p.of.id)), uint64(p.at))
	}
	s, again := c.joint[string(c.key)]
	if !again {
		s = c.make(number, pieces)
		c.joint[string(c.key)] = s
	}
	return placed{s, again}
}

func (c *compounding) make(number int, pieces []piece) *Substance {
	if len(c.made) == cap(c.made) {
		c.made = make([]Substance, 0, madeAtOnce)
	}
	first := &pieces[0].of.material.brings[pieces[0].at].name
	c.made = append(c.made, Substance{INCI: first.INCI, Nano: first.nano, MergeKey: first.merge, number: number,
		numbers: &c.numbers, Contributions: c.contributions(pieces)})
	s := &c.made[len(c.made)-1]
	for i, p := range pieces {
		b := &p.of.material.brings[p.at]
		if s.CAS == "" {
			s.CAS = b.name.cas
		}
		s.add(b.name.OtherNames)
		switch k := &s.Contributions[i]; b.route {
		case ByComposition:
			if s.EC == "" {
				s.EC = b.name.ec
			}
			s.Pct, s.Total = s.Pct.Add(k.Pct), s.Total.Add(k.Pct)
			s.Undeclared = b.undeclared
			s.addFunctions(p.of.material)
		case ByDeclaration:
			s.Total = s.Total.Add(b.total.Pct(k.UsePct))
		default:
			s.Total = s.Total.Add(k.Pct)
		}
	}
	return s
}

// contributions are those of pieces; those of one line alone are the line's.
func (c *compounding) contributions(pieces []piece) []Contribution {
	if len(pieces) == 1 {
		p := pieces[0]
		return p.of.contributions[p.at : p.at+1 : p.at+1]
	}
	if cap(c.from)-len(c.from) < len(pieces) {
		c.from = make([]Contribution, 0, max(madeAtOnce, len(pieces)))
	}
	from := len(c.from)
	for _, p := range pieces {
		c.from = append(c.from, p.of.contributions[p.at])
	}
	return slices.Clip(c.from[from:])
}

// numbers numbers the substances of a product: 0, 1, 2 … in the order met. It may be used
// in parallel.
type numbers struct {
	mu    sync.RWMutex
	known map[string]int // by key
	byCAS map[string]int // the first with a CAS number, see numberKey
	pairs bool           // two substances have one CAS number
}

func (n *numbers) of(key string) (number int, known bool) {
	n.mu.RLock()
	defer n.mu.RUnlock()
	number, known = n.known[key]
	return
}

func (n *numbers) number(name *Name) int {
	n.mu.Lock()
	defer n.mu.Unlock()
	number, known := n.known[name.merge]
	if !known {
		if n.known == nil {
			n.known, n.byCAS = map[string]int{}, map[string]int{}
		}
		number = len(n.known)
		n.known[name.merge] = number
	}
	if name.cas != "" {
		cas := casKey(name.cas, name.nano)
		if other, known := n.byCAS[cas]; !known {
			n.byCAS[cas] = number
		} else if other != number {
			n.pairs = true
		}
	}
	return number
}

// mayPair says whether two substances have one CAS number.
func (n *numbers) mayPair() bool {
	n.mu.RLock()
	defer n.mu.RUnlock()
	return n.pairs
}

// Compose is Compose within what the variants of the product share: a substance that the
// same lines bring is one and the same in all mixtures of all variants.
func (in *Input) Compose(mix Mixture) *Composition {
	if shared := SharedOf[compounding](in); shared != nil {
		return shared.compose(mix, in.Materials)
	}
	return Compose(mix, in.Materials)
}
