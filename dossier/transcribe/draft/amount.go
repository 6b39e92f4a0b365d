package draft

import (
	"slices"
	"strings"

	"gallipot/dossier/transcribe/formulation"
	"gallipot/ingredients/exact"
)

// basis is how the lines are written. Parts and mixed formulas keep their units,
// at which the workshop stops until the maker has decided.
func (w *writer) basis() string {
	switch w.p.Basis {
	case "percent":
		varies := slices.ContainsFunc(w.p.Lines(),
			func(l *formulation.Line) bool { return len(l.Variants) > 0 })
		rest := slices.ContainsFunc(w.p.Lines(), func(l *formulation.Line) bool {
			return l.Counted() &&
				isRest(l)
		})
		if varies && !rest {
			return "grams"
		}
		return "percent"
	case "grams":
		return "grams"
	}
	for _, l := range w.p.Lines() {
		if l.Unit != nil && *l.Unit == "%" {
			return "percent"
		}
	}
	return "grams"
}

func isRest(l *formulation.Line) bool { return l.QS != nil && *l.QS == "to-100" }

// open is an amount at which the workshop stops.
func open(s string) string { return quoted("? " + s) }

// amountText is an amount as it was printed.
func amountText(l *formulation.Line) string {
	words := map[string]string{"to-100": "the rest", "to-ph": "to a pH", "as-needed": "as needed"}
	switch {
	case l.QS != nil && l.Note != "":
		return words[*l.QS] + " (" + l.Note + ")"
	case l.QS != nil:
		return words[*l.QS]
	case l.Low != nil && l.High != nil:
		return *l.Low + "-" + *l.High + unitText(l)
	case l.High != nil:
		return "up to " + *l.High + unitText(l)
	case l.Low != nil:
		return "at least " + *l.Low + unitText(l)
	case l.Amount != nil:
		return *l.Amount + unitText(l)
	}
	return strings.TrimSpace("none " + l.AlsoPrinted)
}

func unitText(l *formulation.Line) string {
	if l.Unit == nil {
		return ""
	}
	return " " + *l.Unit
}

// amount is what a line of the formula holds: a number in the unit of the basis,
// the rest, or an open one.
func (w *writer) amount(l *formulation.Line, basis string) string {
	switch {
	case l.Hidden:
		return open(amountText(l) + ", a hidden row")
	case isRest(l) && l.Ask == "" && basis == "percent" && l.ToMass == "":
		return "q.s."
	case isRest(l) && l.Ask == "" && l.ToMass != "":
		if rest, ok := w.restOf(l); ok {
			return rest
		}
		return open("to " + l.ToMass)
	case l.QS != nil || l.Ask != "" || l.Amount == nil || l.Unit == nil:
		return open(amountText(l))
	}
	unit := *l.Unit
	switch {
	case basis == "percent" && unit == "%", basis == "grams" && unit == "g", basis == "grams" &&
		unit == "%" && w.p.Basis == "percent":
		return *l.Amount
	case basis == "percent" && unit == "ppm":
		return quoted(*l.Amount + " ppm")
	case basis == "grams" && (unit == "kg" || unit == "mg"):
		return inGrams(*l.Amount, unit).Exact()
	}
	return open(amountText(l))
}

func inGrams(amount, unit string) exact.Num {
	x, err := exact.ParseNum(amount)
	if err != nil {
		return exact.Num{}
	}
	switch unit {
	case "kg":
		return x.Mul(exact.Int(1000))
	case "mg":
		return x.Quo(exact.Int(1000))
	}
	return x
}

// restOf is what is left of the mass to which a line fills up, where every other
// line is a mass.
func (w *writer) restOf(rest *formulation.Line) (string, bool) {
	whole, unit, _ := strings.Cut(rest.ToMass, " ")
	if unit != "g" && unit != "kg" || len(w.p.Variants) > 0 {
		return "", false
	}
	left := inGrams(whole, unit)
	for _, l := range w.p.Lines() {
		if l == rest || !l.Counted() || l.After100 {
			continue
		}
		if l.Amount == nil || l.Unit == nil || l.QS != nil || l.Hidden || l.Ask != "" || *l.Unit != "g" &&
			*l.Unit != "kg" && *l.Unit != "mg" {
			return "", false
		}
		left = left.Sub(inGrams(*l.Amount, *l.Unit))
	}
	return left.Exact(), left.Sign() > 0
}

// parts is how much of an addition comes to 100 parts of the base.
func (w *writer) parts(l *formulation.Line) string {
	if l.Ask != "" || l.Hidden || l.Amount == nil || l.Unit == nil || *l.Unit != "%" && *l.Unit != "parts" {
		return open(amountText(l))
	}
	return *l.Amount
}
