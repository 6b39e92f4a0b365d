package formula

import (
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// typedAmount is an amount in the unit of a line of the formula as it is typed.
type typedAmount struct {
	pos       exact.Pos
	now, most exact.Num
	unit      string // of the line: %, g or parts
}

// typed turns the most of a raw material, % of a mixture, into the most on its line
// of the formula: an addition comes after, a slot is shared, a portion has its own
// fill, or the line is in grams.
//
//	percent:  line' = line × most ÷ use
//	grams:    line' = p × (Σ − line) ÷ (1 − p), p the share of the base that makes `most`
//	addition: parts' = p × (100 + Σ other parts) ÷ (1 − p), p = most ÷ 100
//
// ok is false where several lines bring the material, or its line is the rest to 100.
func (in *Input) typed(mix Mixture, id string, use, most exact.Num) (t typedAmount, ok bool) {
	shares := SharesOf(mix, id)
	if len(shares) != 1 || use.Sign() <= 0 || most.Sign() < 0 {
		return t, false
	}
	s := shares[0]
	t.pos = s.Pos
	if s.Added {
		return in.typedAddition(t, most)
	}
	line, sum := in.lineAt(s.Pos)
	if line.Amount.Sign() <= 0 { // a line that is not there, or is the rest, has none
		return t, false
	}
	t.now, t.unit = line.Amount, "%"
	if in.Product.Formula.Basis != Grams {
		t.most = line.Amount.Mul(most).Quo(use)
		return t, true
	}
	t.unit = "g"
	p := line.Amount.Quo(sum).Mul(most).Quo(use)
	one := exact.Int(1)
	if !p.Less(one) {
		return t, false
	}
	t.most = p.Mul(sum.Sub(line.Amount)).Quo(one.Sub(p))
	return t, true
}

func (in *Input) typedAddition(t typedAmount, most exact.Num) (typedAmount, bool) {
	others := Hundred
	found := false
	for _, a := range in.Variant.ThenAdd {
		if a.Pos == t.pos && !found {
			t.now, found = a.Parts, true
			continue
		}
		others = others.Add(a.Parts)
	}
	if !found || !most.Less(Hundred) {
		return t, false
	}
	t.unit = "parts per 100"
	t.most = most.Mul(others).Quo(Hundred.Sub(most))
	return t, true
}

// lineAt is the line of the formula at a place, with nothing in it where there is none, and
// what all lines add up to.
func (in *Input) lineAt(pos exact.Pos) (line Line, sum exact.Num) {
	for _, phase := range in.Product.Formula.Phases {
		for _, l := range phase.Lines {
			if l.Slot == "" || findFill(l.Slot, in.Variant, nil) != nil || len(in.Variant.Portions) > 0 {
				sum = sum.Add(l.Amount)
			}
			if l.Pos == pos {
				line = l
			}
		}
	}
	return line, sum
}

// Least is the most on a line of the formula as values for the wording: in the unit
// of that line, or of the mixture where the line does not say.
func (in *Input) Least(mix Mixture, id string, use, most exact.Num) (finding.Values, *finding.Settle) {
	v := With().Is("material", in.Material(id))
	t, ok := in.typed(mix, id, use, most)
	if !ok {
		return PortionNamed(v.Num("most", most, "%", finding.FourDown).Num("now", use, "%", finding.FourDigits),
			mix.Name).Flag(true, "of-mixture"), nil
	}
	v = v.Num("most", t.most, t.unit, finding.FourDown).Num("now", t.now, t.unit, finding.FourDigits)
	value := v[1]
	return v, &finding.Settle{File: t.pos.File, Key: "amount", Pos: t.pos, Value: &value}
}

// MixtureNamed returns the mixture of a name, "" for the whole.
func MixtureNamed(comps []*Composition, name string) Mixture {
	for _, c := range comps {
		if c.Mixture.Name == name {
			return c.Mixture
		}
	}
	return comps[0].Mixture
}
