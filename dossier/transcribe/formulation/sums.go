package formulation

import (
	"slices"
	"strings"

	"gallipot/dossier/transcribe/dose"
	"gallipot/dossier/transcribe/figure"
	"gallipot/ingredients/exact"
)

// BasisOf says in which unit most lines are, of those that count as masses.
func (p *Product) BasisOf() {
	counts := map[string]int{}
	for _, l := range p.Lines() {
		if !l.Counted() || l.Unit == nil || l.QS != nil && l.ToMass == "" {
			continue
		}
		switch *l.Unit {
		case "%", "ppm":
			counts["percent"]++
		case "g", "kg", "mg", "oz", "lb":
			counts["grams"]++
		case "parts":
			counts["parts"]++
		}
	}
	kinds := 0
	best := ""
	for _, k := range []string{"percent", "grams", "parts"} {
		if counts[k] > 0 {
			kinds++
		}
		if counts[k] > counts[best] || best == "" && counts[k] > 0 {
			best = k
		}
	}
	switch {
	case kinds == 0:
		p.Basis = "mixed"
		for _, l := range p.Lines() {
			if l.Unit != nil && *l.Unit == "%" {
				p.Basis = "percent"
			}
		}
	case kinds > 1:
		p.Basis = "mixed"
		p.Say("two-units")
	default:
		p.Basis = best
	}
}

// Near100 says whether lines sum to about 100, in each variant where there are any.
func (p *Product) Near100(lines []*Line, sum exact.Num) bool {
	hundred := exact.Int(100)
	for _, v := range p.Variants {
		sum = exact.Num{}
		for _, l := range lines {
			if len(l.Variants) == 0 || slices.Contains(l.Variants, v.Name) {
				sum = sum.Add(figure.Sum(ValueOf(l.Amount)))
			}
		}
		if !figure.Near(sum, hundred, figure.Sum("1.5")) {
			return false
		}
	}
	return figure.Near(sum, hundred, figure.Sum("1.5"))
}

// Fixed sums the lines with an amount in the unit of the basis, without additions
// after 100; of a variant where one is named.
func (p *Product) Fixed(variant *string) exact.Num {
	var sum exact.Num
	for _, l := range p.Lines() {
		if !l.Counted() || l.After100 || l.Amount == nil || l.QS != nil || l.Unit == nil {
			continue
		}
		if len(l.Variants) > 0 && (variant == nil || !slices.Contains(l.Variants, *variant)) {
			continue
		}
		x := figure.Sum(*l.Amount)
		switch {
		case p.Basis == "percent" && *l.Unit == "%", p.Basis == "grams" &&
			*l.Unit == "g", p.Basis == "parts" && *l.Unit == "parts", p.Basis == "mixed" && *l.Unit == "%":
		case p.Basis == "percent" && *l.Unit == "ppm":
			x = x.Quo(exact.Int(10_000))
		case p.Basis == "grams" && *l.Unit == "kg":
			x = x.Mul(exact.Int(1000))
		case p.Basis == "grams" && *l.Unit == "mg":
			x = x.Quo(exact.Int(1000))
		default:
			continue
		}
		sum = sum.Add(x)
	}
	return sum
}

// Open lists the lines that a sum leaves out.
func (p *Product) Open() (names []string, most exact.Num) {
	for _, l := range p.Lines() {
		if !l.Counted() || l.After100 || l.QS != nil && *l.QS == string(dose.To100) {
			continue
		}
		sameUnit := l.Unit != nil && (*l.Unit == "%" && p.Basis == "percent" || *l.Unit == "g" &&
			p.Basis == "grams")
		if l.Amount != nil && l.QS == nil && l.Unit != nil && IsMass(*l.Unit) {
			continue
		}
		names = append(names, l.Name)
		if l.High != nil && sameUnit {
			most = most.Add(figure.Sum(*l.High))
		}
	}
	return names, most
}

// HasRest says whether a line is the rest to 100.
func (p *Product) HasRest() bool {
	return slices.ContainsFunc(p.Lines(), func(l *Line) bool {
		return l.Counted() && l.QS != nil &&
			*l.QS == string(dose.To100)
	})
}

// SetPH keeps the pH that the document names first, as a number or a range.
func (p *Product) SetPH(v string) {
	if p.Specification == nil {
		p.Specification = map[string]string{}
	}
	if p.Specification["ph"] == "" {
		v = strings.NewReplacer(
			",", ".", "–", "-", " to ", "-", " bis ", "-", " à ", "-", " a ", "-").Replace(v)
		p.Specification["ph"] = strings.ReplaceAll(v, " ", "")
	}
}
