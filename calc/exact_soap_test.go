package calc

import (
	"math/big"
	"slices"
	"strings"
)

// react turns each mixture into what it is when sold. Stoichiometry: 1 g of fat
// takes SV mg of KOH, or 40.00/56.11 of that as NaOH; three molecules of lye set
// one of glycerin free, one of lye one of water from a free acid. Where lye is
// short all fats react to the same degree. Source: saponification.csv and
// facts.csv, rows soap-…; the bounds hold every combination of saponification
// values and strengths of the lye.
func (x *exactRun) react() {
	for i := range x.mixes {
		m := &exactMaterial{id: strings.TrimSuffix("lye reaction of "+x.mixes[i].name, " of "), function: "other", complete: true}
		x.soaps = append(x.soaps, m)
		x.reactIn(&x.mixes[i], m)
	}
}

type exactFat struct {
	name      string
	pct       rat
	rows      []map[string]string
	sv, takes span
}

// most one: a share of what there is.
func share(a, b rat) rat {
	if b.Sign() <= 0 || a.Cmp(b) > 0 {
		return q(1, 1)
	}
	return over(a, b)
}

func (x *exactRun) reactIn(mix *exactMix, m *exactMaterial) {
	f := x.book.fact
	per := q(1, 1)
	if x.soap.alkali == "Sodium Hydroxide" {
		per = f("soap-naoh-per-koh")
	}
	var fats []*exactFat
	var others []exactShare
	given, takes, water, mass := nothing(), nothing(), nothing(), new(big.Rat)
	for _, s := range mix.shares {
		switch {
		case s.material == "lye":
			given = given.plus(x.parts["lye"][0].pct.times(over(s.pct, times(q(100, 1), per))))
			water = water.plus(x.parts["lye"][1].pct.times(over(s.pct, q(100, 1))))
		case s.material == "water":
			water = water.plus(only(s.pct))
		case strings.HasPrefix(s.material, "fat-"):
			fat := x.fat(x.parts[s.material][0].name, s.pct)
			fats = append(fats, fat)
			takes = takes.plus(fat.takes)
		default:
			others = append(others, s)
			continue
		}
		mass = plus(mass, s.pct)
	}
	add := func(name string, pct span, unknown bool) {
		if pct.hi.Sign() > 0 {
			m.parts = append(m.parts, exactPart{name: name, pct: pct, unknown: unknown})
		}
	}
	glycerin := nothing()
	loss := x.soap.loss
	for _, fat := range fats {
		d := fat.takes
		used := span{
			times(d.lo, share(given.lo, plus(minus(takes.hi, d.hi), d.lo))),
			times(d.ty, share(given.ty, takes.ty)),
			times(d.hi, share(given.hi, plus(minus(takes.lo, d.lo), d.hi))),
		}
		reacted := span{times(fat.pct, share(given.lo, takes.hi)), times(fat.pct, share(given.ty, takes.ty)), times(fat.pct, share(given.hi, takes.lo))}
		lost := new(big.Rat)
		switch fat.rows[0]["kind"] {
		case "glyceride":
			lost = f("soap-glycerin-per-koh")
			glycerin = glycerin.plus(used.times(lost))
		case "acid":
			lost = f("soap-water-per-koh")
			water = water.plus(used.times(lost))
		}
		soap := reacted.plus(used.times(minus(per, lost)))
		names := x.soapNames(fat)
		for _, n := range names {
			add(n.name, span{percent(soap.lo, n.pct.lo), percent(soap.ty, n.pct.ty), percent(soap.hi, n.pct.hi)}, false)
		}
		if len(names) == 0 {
			add(strings.ToLower(strings.Fields(x.soap.alkali)[0])+" soap of "+fat.name, soap, true)
		}
		add(fat.name, span{most(minus(fat.pct, reacted.hi), new(big.Rat)), minus(fat.pct, reacted.ty), minus(fat.pct, reacted.lo)}, false)
	}
	add("Glycerin", glycerin, false)
	if water.ty.Cmp(loss) < 0 {
		loss = new(big.Rat)
	}
	add("Aqua", span{most(minus(water.lo, loss), new(big.Rat)), minus(water.ty, loss), minus(water.hi, loss)}, false)
	free := span{given.lo, given.ty, given.hi}.beyond(span{takes.hi, takes.ty, takes.lo}).times(per)
	mass = minus(mass, loss)
	ofMass := over(q(100, 1), mass)
	if free.ty.Sign() > 0 {
		add(x.soap.alkali, free, false)
	} else if free.hi.Sign() > 0 {
		m.traces = append(m.traces, exactPart{name: x.soap.alkali, pct: free.times(ofMass)})
	}
	low, high := new(big.Rat), new(big.Rat)
	for i, p := range m.parts {
		m.parts[i].pct = p.pct.times(ofMass)
		low, high = plus(low, m.parts[i].pct.lo), plus(high, m.parts[i].pct.hi)
	}
	x.parts[m.id] = m.parts
	if low.Cmp(q(100, 1)) <= 0 && high.Cmp(q(100, 1)) >= 0 {
		x.parts[m.id] = tightParts(m.parts)
	}
	left := minus(q(100, 1), loss)
	mix.shares = []exactShare{{m.id, over(times(q(100, 1), mass), left), false, 0}}
	for _, s := range others {
		mix.shares = append(mix.shares, exactShare{s.material, over(times(q(100, 1), s.pct), left), s.added, s.line})
	}
}

// fat covers all rows of a name: olive and olive pomace oil share theirs. Waxes
// may not react at all.
func (x *exactRun) fat(name string, pct rat) *exactFat {
	f := &exactFat{name: name, pct: pct}
	var lo, hi rat
	for _, r := range x.book.fats {
		if !slices.ContainsFunc(strings.Split(r["inci"], " / "), func(n string) bool { return x.book.same(n, name) }) {
			continue
		}
		f.rows = append(f.rows, r)
		if a, b := figure(r, "sv_min_mg_koh_g"), figure(r, "sv_max_mg_koh_g"); a != nil && b != nil {
			if lo == nil {
				lo, hi = a, b
			}
			lo, hi = least(lo, a), most(hi, b)
		}
	}
	f.sv = span{lo, over(plus(lo, hi), q(2, 1)), hi}
	f.takes = f.sv.times(over(pct, q(1000, 1)))
	if f.rows[0]["kind"] == "wax" {
		f.takes.lo = new(big.Rat)
	}
	return f
}

// soapNames shares the soap of a fat out by the pattern of its acids, in order.
func (x *exactRun) soapNames(f *exactFat) []exactPart {
	column := "soap_inci_sodium"
	if x.soap.alkali == "Potassium Hydroxide" {
		column = "soap_inci_potassium"
	}
	var names, acids []string
	for n := range strings.SplitSeq(f.rows[0][column], ";") {
		if n = strings.TrimSpace(n); n != "" {
			names = append(names, n)
		}
	}
	for a := range strings.SplitSeq(f.rows[0]["fatty_acids_typical_pct"], ";") {
		if words := strings.Fields(a); len(words) == 2 && words[1][0] >= '0' && words[1][0] <= '9' {
			acids = append(acids, words[1])
		}
	}
	var parts []exactPart
	for i, n := range names {
		if len(names) == 1 {
			return []exactPart{{name: n, pct: only(q(100, 1))}}
		}
		lo, hi, isRange := strings.Cut(acids[i], "-")
		p := only(dec(lo))
		if isRange {
			p = span{dec(lo), over(plus(dec(lo), dec(hi)), q(2, 1)), dec(hi)}
		}
		parts = append(parts, exactPart{name: n, pct: p, text: acids[i]})
	}
	if len(parts) == 0 {
		return nil
	}
	low, sum, high := new(big.Rat), new(big.Rat), new(big.Rat)
	for _, p := range parts {
		low, sum, high = plus(low, p.pct.lo), plus(sum, p.pct.ty), plus(high, p.pct.hi)
	}
	if low.Cmp(q(100, 1)) <= 0 && high.Cmp(q(100, 1)) >= 0 {
		return tightParts(parts)
	}
	for i, p := range parts {
		parts[i].pct = span{new(big.Rat), over(times(q(100, 1), p.pct.ty), sum), q(100, 1)}
	}
	return parts
}
