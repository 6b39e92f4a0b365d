package plaintest

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
func (x *Run) react() {
	for i := range x.Mixes {
		m := &Material{Id: strings.TrimSuffix("lye reaction of "+x.Mixes[i].Name, " of "), Function: "other",
			Complete: true}
		x.soaps = append(x.soaps, m)
		x.reactIn(&x.Mixes[i], m)
	}
}

type fatSoap struct {
	name      string
	pct       Rat
	rows      []map[string]string
	sv, takes Span
}

// most one: a share of what there is.
func share(a, b Rat) Rat {
	if b.Sign() <= 0 || a.Cmp(b) > 0 {
		return Q(1, 1)
	}
	return Over(a, b)
}

func (x *Run) reactIn(mix *mixture, m *Material) {
	f := x.book.fact
	per := Q(1, 1)
	if x.Soap.Alkali == "Sodium Hydroxide" {
		per = f("soap-naoh-per-koh")
	}
	var fats []*fatSoap
	var others []lineShare
	given, takes, water, mass := Nothing(), Nothing(), Nothing(), new(big.Rat)
	for _, s := range mix.Shares {
		switch {
		case s.Material == "lye":
			given = given.plus(x.parts["lye"][0].pct.Times(Over(s.Pct, Times(Q(100, 1), per))))
			water = water.plus(x.parts["lye"][1].pct.Times(Over(s.Pct, Q(100, 1))))
		case s.Material == "water":
			water = water.plus(only(s.Pct))
		case strings.HasPrefix(s.Material, "fat-"):
			fat := x.fat(x.parts[s.Material][0].Name, s.Pct)
			fats = append(fats, fat)
			takes = takes.plus(fat.takes)
		default:
			others = append(others, s)
			continue
		}
		mass = Plus(mass, s.Pct)
	}
	add := func(name string, pct Span, unknown bool) {
		if pct.Hi.Sign() > 0 {
			m.Parts = append(m.Parts, Part{Name: name, pct: pct, unknown: unknown})
		}
	}
	glycerin := Nothing()
	loss := x.Soap.Loss
	for _, fat := range fats {
		d := fat.takes
		used := Span{
			Times(d.Lo, share(given.Lo, Plus(Minus(takes.Hi, d.Hi), d.Lo))),
			Times(d.Ty, share(given.Ty, takes.Ty)),
			Times(d.Hi, share(given.Hi, Plus(Minus(takes.Lo, d.Lo), d.Hi))),
		}
		reacted := Span{Times(fat.pct, share(given.Lo, takes.Hi)), Times(fat.pct, share(given.Ty, takes.Ty)),
			Times(fat.pct, share(given.Hi, takes.Lo))}
		lost := new(big.Rat)
		switch fat.rows[0]["kind"] {
		case "glyceride":
			lost = f("soap-glycerin-per-koh")
			glycerin = glycerin.plus(used.Times(lost))
		case "acid":
			lost = f("soap-water-per-koh")
			water = water.plus(used.Times(lost))
		}
		soap := reacted.plus(used.Times(Minus(per, lost)))
		names := x.soapNames(fat)
		for _, n := range names {
			add(n.Name, Span{Percent(soap.Lo, n.pct.Lo), Percent(soap.Ty, n.pct.Ty),
				Percent(soap.Hi, n.pct.Hi)}, false)
		}
		if len(names) == 0 {
			add(strings.ToLower(strings.Fields(x.Soap.Alkali)[0])+" soap of "+fat.name, soap, true)
		}
		add(fat.name, Span{most(Minus(fat.pct, reacted.Hi), new(big.Rat)), Minus(fat.pct, reacted.Ty),
			Minus(fat.pct, reacted.Lo)}, false)
	}
	add("Glycerin", glycerin, false)
	if water.Ty.Cmp(loss) < 0 {
		loss = new(big.Rat)
	}
	add("Aqua", Span{most(Minus(water.Lo, loss), new(big.Rat)), Minus(water.Ty, loss),
		Minus(water.Hi, loss)}, false)
	free := Span{given.Lo, given.Ty, given.Hi}.beyond(Span{takes.Hi, takes.Ty, takes.Lo}).Times(per)
	mass = Minus(mass, loss)
	ofMass := Over(Q(100, 1), mass)
	if free.Ty.Sign() > 0 {
		add(x.Soap.Alkali, free, false)
	} else if free.Hi.Sign() > 0 {
		m.Traces = append(m.Traces, Part{Name: x.Soap.Alkali, pct: free.Times(ofMass)})
	}
	low, high := new(big.Rat), new(big.Rat)
	for i, p := range m.Parts {
		m.Parts[i].pct = p.pct.Times(ofMass)
		low, high = Plus(low, m.Parts[i].pct.Lo), Plus(high, m.Parts[i].pct.Hi)
	}
	x.parts[m.Id] = m.Parts
	if low.Cmp(Q(100, 1)) <= 0 && high.Cmp(Q(100, 1)) >= 0 {
		x.parts[m.Id] = tightParts(m.Parts)
	}
	left := Minus(Q(100, 1), loss)
	mix.Shares = []lineShare{{m.Id, Over(Times(Q(100, 1), mass), left), false, 0}}
	for _, s := range others {
		mix.Shares = append(mix.Shares, lineShare{s.Material, Over(Times(Q(100, 1), s.Pct), left), s.added, s.line})
	}
}

// fat covers all rows of a name: olive and olive pomace oil share theirs. Waxes
// may not react at all.
func (x *Run) fat(name string, pct Rat) *fatSoap {
	f := &fatSoap{name: name, pct: pct}
	var lo, hi Rat
	for _, r := range x.book.fats {
		if !slices.ContainsFunc(strings.Split(r["inci"], " / "),
			func(n string) bool { return x.book.same(n, name) }) {
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
	f.sv = Span{lo, Over(Plus(lo, hi), Q(2, 1)), hi}
	f.takes = f.sv.Times(Over(pct, Q(1000, 1)))
	if f.rows[0]["kind"] == "wax" {
		f.takes.Lo = new(big.Rat)
	}
	return f
}

// soapNames shares the soap of a fat out by the pattern of its acids, in order.
func (x *Run) soapNames(f *fatSoap) []Part {
	column := "soap_inci_sodium"
	if x.Soap.Alkali == "Potassium Hydroxide" {
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
	var parts []Part
	for i, n := range names {
		if len(names) == 1 {
			return []Part{{Name: n, pct: only(Q(100, 1))}}
		}
		lo, hi, isRange := strings.Cut(acids[i], "-")
		p := only(Dec(lo))
		if isRange {
			p = Span{Dec(lo), Over(Plus(Dec(lo), Dec(hi)), Q(2, 1)), Dec(hi)}
		}
		parts = append(parts, Part{Name: n, pct: p, Text: acids[i]})
	}
	if len(parts) == 0 {
		return nil
	}
	low, sum, high := new(big.Rat), new(big.Rat), new(big.Rat)
	for _, p := range parts {
		low, sum, high = Plus(low, p.pct.Lo), Plus(sum, p.pct.Ty), Plus(high, p.pct.Hi)
	}
	if low.Cmp(Q(100, 1)) <= 0 && high.Cmp(Q(100, 1)) >= 0 {
		return tightParts(parts)
	}
	for i, p := range parts {
		parts[i].pct = Span{new(big.Rat), Over(Times(Q(100, 1), p.pct.Ty), sum), Q(100, 1)}
	}
	return parts
}

// The files exact_*_test.go hold the whole calculation a second time, on
// math/big.Rat, written from the published rules alone: no function of this
// package is called, and the tables are read as text. What is judged by other
// means is the condition of a limit row, which calc/law tests word by word on its
// Own (see slow_test.go there).
