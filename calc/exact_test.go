package calc

import (
	"math/big"
	"slices"
	"strings"
)

// The files exact_*_test.go hold the whole calculation a second time, on
// math/big.Rat, written from the published rules alone: no function of this
// package is called, and the tables are read as text. What is judged by other
// means is the condition of a limit row, which calc/law tests word by word on its
// own (see slow_test.go there).

type rat = *big.Rat

func q(n, d int64) rat { return big.NewRat(n, d) }

// dec reads a decimal or a quotient of two.
func dec(s string) rat {
	if top, bottom, ok := strings.Cut(s, "/"); ok {
		return over(dec(top), dec(bottom))
	}
	r, ok := new(big.Rat).SetString(strings.TrimSpace(s))
	if !ok {
		panic("no number: " + s)
	}
	return r
}

func plus(all ...rat) rat {
	sum := new(big.Rat)
	for _, a := range all {
		sum.Add(sum, a)
	}
	return sum
}

func minus(a, b rat) rat { return new(big.Rat).Sub(a, b) }

func times(all ...rat) rat {
	p := q(1, 1)
	for _, a := range all {
		p.Mul(p, a)
	}
	return p
}

func over(a, b rat) rat { return new(big.Rat).Quo(a, b) }

func least(a, b rat) rat {
	if b.Cmp(a) < 0 {
		return b
	}
	return a
}

func most(a, b rat) rat {
	if b.Cmp(a) > 0 {
		return b
	}
	return a
}

func percent(a, b rat) rat { return over(times(a, b), q(100, 1)) }

// span is a content between bounds, with a typical value.
type span struct{ lo, ty, hi rat }

func only(r rat) span           { return span{r, r, r} }
func nothing() span             { return only(new(big.Rat)) }
func (s span) plus(t span) span { return span{plus(s.lo, t.lo), plus(s.ty, t.ty), plus(s.hi, t.hi)} }
func (s span) times(f rat) span { return span{times(s.lo, f), times(s.ty, f), times(s.hi, f)} }
func (s span) beyond(t span) span {
	z := new(big.Rat)
	return span{most(minus(s.lo, t.lo), z), most(minus(s.ty, t.ty), z), most(minus(s.hi, t.hi), z)}
}

// exactPart is a content of a sheet as typed, and what that text means.
type exactPart struct {
	name string // as typed
	text string // the amount as typed
	pct  span
	rest bool // q.s.
	// unknown: nobody has said what it is
	unknown bool
}

// exactMaterial is a raw material.
type exactMaterial struct {
	id       string
	scent    string // "", Parfum or Aroma
	function string // in the words of the conditions
	complete bool
	parts    []exactPart
	traces   []exactPart
	list     string // the list its allergens are declared against; "" for no declaration
	declared []exactPart
	// category and figure of the certificate; nil and "" for none
	category    string
	limit       rat
	certificate string // "", figure, closed, open
	tox         []exactTox
}

// exactTox is a toxicological value on a sheet; nil figures are not given.
type exactTox struct {
	name, kind, study, cramer string
	value, dermal, oral, area rat
	replaces                  bool
}

type exactFill struct {
	material string
	share    rat // % of the slot; parts per 100 for additions
}

type exactLine struct {
	material, slot string
	amount         rat
	rest           bool
}

type exactPortion struct {
	share rat
	fill  map[string][]exactFill
}

// exactCase is one generated formula with everything that figures depend on.
type exactCase struct {
	seed      uint64
	kind      string // key of the product type
	market    string // EU or GB
	day, ages string
	grams     bool
	lines     []exactLine
	fill      map[string][]exactFill
	portions  []exactPortion
	then      []exactFill
	materials []*exactMaterial
	own       *exactOwn
	soap      *exactSoap

	batch, division, fine, fineMost rat // fine is nil without a second balance
}

// exactOwn is an exposure that the product file states; nil is not given.
type exactOwn struct{ amount, retention, relative, weight, area, perDay rat }

// exactSoap is the reaction with lye that the product file states.
type exactSoap struct {
	alkali string
	loss   rat
}

func (c *exactCase) material(id string) *exactMaterial {
	i := slices.IndexFunc(c.materials, func(m *exactMaterial) bool { return m.id == id })
	return c.materials[i]
}

// exactShare is one material of a mixture, in % of it.
type exactShare struct {
	material string
	pct      rat
	added    bool
	line     int // of the formula, or of what is added
}

// exactMix is a mixture that every rule is asked of: the whole, or a portion.
type exactMix struct {
	name   string
	share  rat
	shares []exactShare
}

// use adds up the lines of one material.
func (m exactMix) use(material string) rat {
	sum := new(big.Rat)
	for _, s := range m.shares {
		if s.material == material {
			sum.Add(sum, s.pct)
		}
	}
	return sum
}

// mixtures resolves the formula, step by step as the file format words it.
func (c *exactCase) mixtures() []exactMix {
	if len(c.portions) == 0 {
		return []exactMix{{"", q(100, 1), c.resolve(nil)}}
	}
	whole := exactMix{share: q(100, 1)}
	var parts []exactMix
	for i := range c.portions {
		p := &c.portions[i]
		m := exactMix{"portion " + itoa(i+1), p.share, c.resolve(p)}
		parts = append(parts, m)
		for _, s := range m.shares {
			s.pct = percent(s.pct, p.share)
			same := slices.IndexFunc(whole.shares, func(o exactShare) bool { return o.material == s.material && o.line == s.line && o.added == s.added })
			if same < 0 {
				whole.shares = append(whole.shares, s)
				continue
			}
			whole.shares[same].pct = plus(whole.shares[same].pct, s.pct)
		}
	}
	return append([]exactMix{whole}, parts...)
}

func (c *exactCase) resolve(p *exactPortion) []exactShare {
	var out []exactShare
	rest, typed, empty := -1, new(big.Rat), new(big.Rat)
	for li, l := range c.lines {
		fills := []exactFill{{l.material, q(100, 1)}}
		if l.slot != "" {
			fills = c.fill[l.slot]
			if p != nil && p.fill[l.slot] != nil {
				fills = p.fill[l.slot]
			}
		}
		if l.rest {
			rest = len(out)
		}
		if len(fills) == 0 {
			empty.Add(empty, l.amount)
			continue
		}
		for _, f := range fills {
			amount := new(big.Rat)
			if !l.rest {
				amount = percent(l.amount, f.share)
			}
			out = append(out, exactShare{f.material, amount, false, li})
			typed.Add(typed, amount)
		}
	}
	switch {
	case c.grams: // masses over their sum
		for i := range out {
			out[i].pct = over(times(out[i].pct, q(100, 1)), typed)
		}
	case rest >= 0: // whatever is missing to 100, an empty slot's part too
		out[rest].pct = minus(q(100, 1), typed)
	case empty.Sign() > 0: // nobody takes the place of what is left out
		for i := range out {
			out[i].pct = over(times(out[i].pct, q(100, 1)), typed)
		}
	}
	if len(c.then) == 0 {
		return out
	}
	total := q(100, 1)
	for _, a := range c.then {
		total.Add(total, a.share)
	}
	for i := range out {
		out[i].pct = over(times(out[i].pct, q(100, 1)), total)
	}
	for i, a := range c.then {
		out = append(out, exactShare{a.material, over(times(a.share, q(100, 1)), total), true, i})
	}
	return out
}

// tightened are the parts of a material with bounds that their sum of 100 leaves
// possible, the undeclared part at the end.
func (m *exactMaterial) tightened() []exactPart {
	parts := slices.Clone(m.parts)
	switch {
	case len(parts) == 0:
		return []exactPart{{name: m.scent, pct: only(q(100, 1))}}
	case !m.complete && m.scent != "":
		parts = append(parts, exactPart{name: m.scent, rest: true})
	case !m.complete:
		parts = append(parts, exactPart{name: "undeclared part of " + m.id, rest: true, unknown: true})
	}
	return tightParts(parts)
}

// tightParts is the rule of the composition that adds up to 100:
// max(i) ≤ 100 − Σ min(others), min(i) ≥ 100 − Σ max(others); typical values go
// towards their bounds in proportion to the room there.
func tightParts(parts []exactPart) []exactPart {
	hundred := q(100, 1)
	for i, p := range parts {
		if p.rest {
			left := hundred
			for j, o := range parts {
				if j != i {
					left = minus(left, o.pct.ty)
				}
			}
			parts[i].pct = span{new(big.Rat), most(left, new(big.Rat)), hundred}
		}
	}
	out := slices.Clone(parts)
	sum := new(big.Rat)
	for i, p := range parts {
		low, high := new(big.Rat), new(big.Rat)
		for j, o := range parts {
			if j != i {
				low, high = plus(low, o.pct.lo), plus(high, o.pct.hi)
			}
		}
		lo, hi := most(p.pct.lo, minus(hundred, high)), least(p.pct.hi, minus(hundred, low))
		out[i].pct = span{lo, least(most(p.pct.ty, lo), hi), hi}
		sum = plus(sum, out[i].pct.ty)
	}
	missing := minus(hundred, sum)
	if missing.Sign() != 0 {
		room := func(s span) rat {
			if missing.Sign() > 0 {
				return minus(s.hi, s.ty)
			}
			return minus(s.ty, s.lo)
		}
		all := new(big.Rat)
		for _, p := range out {
			all = plus(all, room(p.pct))
		}
		for i, p := range out {
			out[i].pct.ty = plus(p.pct.ty, over(times(missing, room(p.pct)), all))
		}
	}
	if last := len(out) - 1; parts[last].rest && parts[last].text == "" && out[last].pct.hi.Sign() == 0 {
		out = out[:last] // nothing is undeclared after all
	}
	return out
}

// exactContent is one substance in one mixture.
type exactContent struct {
	comp, total, trace span
	functions          []string // of what brings it in, traces apart
	scent              bool     // scents alone bring it in
	certain            bool     // it is there whatever the ranges, traces apart
	ingredient         bool     // a constituent, not only declared or a trace
	traced, counted    bool
	unknown            bool
}

// contents multiplies a mixture out: Σ lines share × content / 100. A declared
// allergen that the same material lists too counts for what it has beyond that.
func (x *exactRun) contents(m exactMix) map[string]*exactContent {
	out := map[string]*exactContent{}
	of := func(name string) *exactContent {
		if out[name] == nil {
			out[name] = &exactContent{comp: nothing(), total: nothing(), trace: nothing(), scent: true}
		}
		return out[name]
	}
	for _, s := range m.shares {
		mat, here := x.material(s.material), map[string]span{}
		by := over(s.pct, q(100, 1))
		function := mat.function
		if mat.scent != "" {
			function = "fragrance"
		}
		for _, p := range x.parts[s.material] {
			name, pct := x.name(p.name), p.pct.times(by)
			e := of(name)
			e.comp, e.total = e.comp.plus(pct), e.total.plus(pct)
			e.ingredient, e.counted, e.unknown = true, true, p.unknown
			e.certain = e.certain || pct.lo.Sign() > 0
			e.functions = append(e.functions, function)
			e.scent = e.scent && mat.scent != ""
			if have, ok := here[name]; ok {
				pct = pct.plus(have)
			}
			here[name] = pct
		}
		for _, d := range mat.declared {
			name, pct := x.name(d.name), d.pct.times(by)
			e := of(name)
			e.certain = e.certain || pct.lo.Sign() > 0
			if have, ok := here[name]; ok {
				pct = pct.beyond(have)
			}
			e.total = e.total.plus(pct)
			e.functions, e.counted = append(e.functions, "fragrance"), true
			e.scent = e.scent && mat.scent != ""
		}
		for _, t := range mat.traces {
			e := of(x.name(t.name))
			pct := t.pct.times(by)
			e.total, e.trace, e.traced = e.total.plus(pct), e.trace.plus(pct), true
		}
	}
	return out
}
