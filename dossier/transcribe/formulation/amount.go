package formulation

import (
	"strings"

	"gallipot/dossier/transcribe/dose"
	"gallipot/dossier/transcribe/recipe/raw"
)

// Take puts an amount with its unit on a line; remark is what stands beside it.
func (l *Line) Take(r *dose.Reader, a dose.Amount, unit, remark string) {
	l.Printed = a.Printed
	if unit != "" {
		l.Unit = Value(unit)
	}
	if a.Value != "" {
		l.Amount = Value(a.Value)
	}
	if a.Low != "" {
		l.Low = Value(a.Low)
	}
	if a.High != "" {
		l.High = Value(a.High)
	}
	qs := a.QS
	l.About = a.Around
	if l.Amount == nil && qs != dose.ToPH && r.MeansPH(remark) {
		qs = dose.ToPH
	}
	if qs == dose.Open && r.MeansRest(remark) {
		qs = dose.To100
	}
	if l.About == "" && qs != "" {
		l.About = dose.AroundIn(remark)
	}
	if a.Note != "" && !strings.Contains(l.Note, a.Note) {
		l.Note = strings.Trim(a.Note+"; "+l.Note, "; ")
	}
	l.ToMass = a.ToMass
	switch qs {
	case "":
	case dose.Open:
		l.Open = true
		l.QS = Value(string(dose.AsNeeded))
	default:
		l.QS = Value(string(qs))
	}
	if l.QS != nil && a.ToMass != "" {
		if _, u, ok := strings.Cut(a.ToMass, " "); ok && l.Unit == nil {
			l.Unit = Value(u)
		}
	}
	l.askFor(a, unit)
}

// askFor says why a line is open.
func (l *Line) askFor(a dose.Amount, unit string) {
	switch {
	case l.QS != nil && *l.QS == string(dose.ToPH):
		l.Ask = Sentence("line-to-ph", "about", AboutText(l))
	case l.QS != nil:
	case a.Doubt == dose.Words:
		l.Ask = Sentence("line-words", "printed", raw.OneLine(a.Printed))
	case a.Doubt != "":
		l.Ask = Sentence("line-"+string(a.Doubt), "printed", raw.OneLine(a.Printed), "low", a.Low, "high",
			a.High,
			"unit", unit)
	case unit != "" && !IsMass(unit):
		l.Ask = Sentence("line-no-mass", "printed", a.Value+" "+unit)
	}
}

// AboutText says about how much of a line that goes to a pH was used.
func AboutText(l *Line) string {
	switch {
	case l.About != "":
		return Sentence("about", "amount", l.About)
	case l.High != nil:
		return Sentence("about-most", "amount", *l.High)
	}
	return Sentence("about-open")
}

// IsMass says whether a unit is one of mass or a share of it.
func IsMass(unit string) bool {
	switch unit {
	case "%", "g", "kg", "mg", "oz", "lb", "parts", "ppm":
		return true
	}
	return false
}
