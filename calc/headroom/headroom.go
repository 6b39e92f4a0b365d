package headroom

import (
	"cmp"
	"math/big"
	"slices"

	"gallipot/calc"
	"gallipot/calc/formula"
	"gallipot/calc/soap"
	"gallipot/ingredients/exact"
)

// Headroom is how far one raw material, or all that fills a slot, can be raised
// in a variant while every rule holds.
type Headroom struct {
	Ingredient string    // "" for a slot
	Slot       string    // "" for a raw material
	Portion    string    // mixture that leaves least room; "" for the whole product
	UsePct     exact.Num // % of that mixture now
	// % of that mixture at which the first rule binds; nil where the others break one without it
	AtMostPct *exact.Num
	Below     bool          // the rule that binds asks for less, not at most
	Binding   string        // that rule
	Trace     []string      // what it prohibits and is in the product as a trace alone; see [RuleRoom]
	Rules     []RuleRoom    // every rule it touches in any mixture, the tightest first
	Changes   []LabelChange // where the label changes, by content
}

// RuleRoom is the room that one rule leaves.
type RuleRoom struct {
	Rule      string
	Kind      ruleKind
	Portion   string
	UsePct    exact.Num
	AtMostPct *exact.Num // nil where the rule is broken even without the material
	Below     bool       // the content itself must stay below
	// Trace is what the rule prohibits where all of it is a trace of raw materials. AtMostPct is then
	// what the prohibition alone leaves, nothing; whether the trace is unavoidable and the product
	// safe with it is for the supplier and the assessor to say.
	//
	// Source: Regulation (EC) 1223/2009 Article 17.
	Trace []string
}

// ruleKind says where a rule comes from.
type ruleKind string

// The kinds of rule that leave a room.
const (
	RuleTotal       ruleKind = "total 100"
	ruleCertificate ruleKind = "certificate"
	ruleScreen      ruleKind = "fragrance screen"
	ruleLimit       ruleKind = "legal limit"
	ruleMargin      ruleKind = "margin of safety"
)

// LabelChange is a content of the material at which a statement of the label
// changes.
type LabelChange struct {
	AtPct   exact.Num // % of the mixture named
	UsePct  exact.Num // % of it now
	Portion string    // that mixture; "" for the whole product
	What    string
}

// load is what counts against a rule in one mixture, and how much of it each
// raw material brings. It grows and shrinks in proportion to their shares.
type load struct {
	total exact.Num
	by    map[string]exact.Num
}

func newLoad() load { return load{by: map[string]exact.Num{}} }

func (l *load) add(ingredient string, n exact.Num) {
	l.total = l.total.Add(n)
	l.by[ingredient] = l.by[ingredient].Add(n)
}

// ruleLoad is a rule with its load in one mixture.
type ruleLoad struct {
	rule  string
	kind  ruleKind
	limit exact.Num
	below bool
	trace []string
	load
}

// mover is what is raised: a raw material or the filling of a slot.
type mover struct {
	Ingredient, Slot string
	pct              exact.Num            // % of the mixture now
	Rate             map[string]exact.Num // change of each raw material per change of the mover, relative to its share
	Room             exact.Num            // most it can be with the total at 100
}

// Headrooms computes the room of every raw material and slot of a variant.
//
// The material grows at the cost of the q.s. line, or, without one, of all other
// lines in proportion. Then every content is a straight line in the amount u of
// the material, and each rule is solved for it:
//
//	at most = u + (limit − content) ÷ (change of content per change of u)
//
// Units: % w/w of the mixture named. Exact where the rule is; margins of safety
// rest on float64 figures.
// Basis: the highest contents of the ranges, as in every check. Rows whose
// condition is undecided count as if they applied.
// Source: arithmetic alone; the tests run the checks again on both sides of each
// answer.
func Headrooms(r *calc.Result) []Headroom {
	var out []Headroom
	var moved [][]*mover // of each of out, one for each mixture; nil where it is not in
	at := map[string]int{}
	for i, c := range r.Compositions {
		rules := rulesOf(r, i)
		for _, m := range moversOf(c.Mixture) {
			if soap.IsReaction(r.Input, m.Ingredient) {
				continue // more of a fat is another reaction
			}
			h := m.headroom(c.Mixture.Name, rules)
			key := m.Slot + "|" + m.Ingredient
			k, known := at[key]
			if !known {
				k, at[key] = len(out), len(out)
				out, moved = append(out, h), append(moved, make([]*mover, len(r.Compositions)))
			} else {
				out[k] = tighter(out[k], h)
			}
			moved[k][i] = &m
		}
	}
	allergens, order := allergenLoads(r), orderLoads(r)
	for k := range out {
		out[k].Changes = changes(r, moved[k], allergens, order)
	}
	return out
}

// tighter keeps the headroom that leaves less in proportion, with the rules of
// both.
func tighter(a, b Headroom) Headroom {
	first, second := a, b
	if ratioLess(b, a) {
		first, second = b, a
	}
	first.Rules = sortRooms(slices.Concat(first.Rules, second.Rules))
	return first
}

func ratioLess(a, b Headroom) bool {
	switch {
	case b.AtMostPct == nil:
		return false
	case a.AtMostPct == nil:
		return true
	}
	return a.AtMostPct.Quo(a.UsePct).Less(b.AtMostPct.Quo(b.UsePct))
}

// moversOf lists the raw materials of a mixture, then its slots. The q.s. line
// takes what the others leave and is none itself.
func moversOf(mix formula.Mixture) []mover {
	var movers []mover
	for _, u := range formula.UseOf(mix) {
		if u.Pct.Sign() > 0 && u.Pct.Less(formula.Hundred) && !isRest(mix, u.Ingredient) {
			movers = append(movers, newMover(mix, u.Ingredient, ""))
		}
	}
	var slots []string
	for _, s := range mix.Shares {
		if s.Slot != "" && !slices.Contains(slots, s.Slot) {
			slots = append(slots, s.Slot)
			movers = append(movers, newMover(mix, "", s.Slot))
		}
	}
	return movers
}

func isRest(mix formula.Mixture, ingredient string) bool {
	return slices.ContainsFunc(mix.Shares, func(s formula.Share) bool {
		return s.Rest &&
			s.Ingredient == ingredient
	})
}

func (m *mover) moves(s formula.Share) bool {
	if m.Slot != "" {
		return s.Slot == m.Slot
	}
	return s.Ingredient == m.Ingredient
}

func newMover(mix formula.Mixture, ingredient, slot string) mover {
	m := mover{Ingredient: ingredient, Slot: slot, Rate: map[string]exact.Num{}}
	var rest *formula.Share
	for i := range mix.Shares {
		s := &mix.Shares[i]
		switch {
		case m.moves(*s):
			m.pct = m.pct.Add(s.Pct)
		case s.Rest:
			rest = s
		}
	}
	m.Room = formula.Hundred
	if rest != nil {
		m.Room = m.pct.Add(rest.Pct)
	}
	shares := map[string]exact.Num{}
	for _, s := range mix.Shares {
		shares[s.Ingredient] = shares[s.Ingredient].Add(s.Pct)
		var change exact.Num // of this line, per change of the mover
		switch {
		case m.moves(s):
			change = s.Pct.Quo(m.pct)
		case rest != nil && s.Rest:
			change = exact.Int(-1)
		case rest == nil:
			change = s.Pct.Quo(formula.Hundred.Sub(m.pct)).Neg()
		}
		m.Rate[s.Ingredient] = m.Rate[s.Ingredient].Add(change)
	}
	for id, share := range shares {
		if !share.IsZero() {
			m.Rate[id] = m.Rate[id].Quo(share)
		}
	}
	return m
}

// slope is the change of a load per change of the mover.
func (m *mover) slope(l load) exact.Num {
	var slope exact.Num
	for id, n := range l.by {
		slope = slope.Add(n.Mul(m.Rate[id]))
	}
	return slope
}

// solve returns the amount of the mover at which a load reaches a bound; false
// where it never does by raising the mover.
func (m *mover) solve(l load, bound exact.Num) (exact.Num, bool) {
	slope := m.slope(l)
	if slope.Sign() <= 0 {
		return exact.Num{}, false
	}
	return m.pct.Add(bound.Sub(l.total).Quo(slope)), true
}

func (m *mover) headroom(portion string, rules []ruleLoad) Headroom {
	room := m.Room
	h := Headroom{Ingredient: m.Ingredient, Slot: m.Slot, Portion: portion, UsePct: m.pct,
		Rules: []RuleRoom{{Rule: "nothing else left in the formula", Kind: RuleTotal, Portion: portion,
			UsePct: m.pct, AtMostPct: &room}}}
	for _, rule := range rules {
		most, ok := m.solve(rule.load, rule.limit)
		if !ok {
			continue
		}
		r := RuleRoom{Rule: rule.rule, Kind: rule.kind, Portion: portion, UsePct: m.pct, Below: rule.below,
			Trace: rule.trace}
		if most.Sign() >= 0 {
			r.AtMostPct = &most
		}
		h.Rules = append(h.Rules, r)
	}
	h.Rules = sortRooms(h.Rules)
	h.AtMostPct, h.Binding, h.Below = h.Rules[0].AtMostPct, h.Rules[0].Rule, h.Rules[0].Below
	h.Trace = h.Rules[0].Trace
	return h
}

// sortRooms puts first what leaves less in proportion.
func sortRooms(rooms []RuleRoom) []RuleRoom {
	type proportion struct {
		room  RuleRoom
		ratio exact.Num
	}
	all := make([]proportion, len(rooms))
	for i, r := range rooms {
		all[i].room = r
		if r.AtMostPct != nil && r.UsePct.Sign() > 0 { // what is not there has no headroom
			all[i].ratio = r.AtMostPct.Quo(r.UsePct)
		}
	}
	slices.SortStableFunc(all, func(a, b proportion) int {
		switch {
		case a.room.AtMostPct == nil && b.room.AtMostPct == nil:
			return cmp.Compare(a.room.Rule, b.room.Rule)
		case a.room.AtMostPct == nil:
			return -1
		case b.room.AtMostPct == nil:
			return 1
		}
		return a.ratio.Cmp(b.ratio)
	})
	for i := range all {
		rooms[i] = all[i].room
	}
	return rooms
}

// exactOf returns a float as the fraction it is.
func exactOf(f float64) exact.Num {
	r := new(big.Rat).SetFloat64(f)
	if r == nil {
		return exact.Num{}
	}
	return exact.FromRat(r)
}
