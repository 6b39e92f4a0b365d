package properties

import (
	"strings"

	"gallipot/dossier/transcribe/figure"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/pieces"
	"gallipot/dossier/transcribe/reading"
)

// HoldToLimits holds each result of a lot to what the paper itself wants of it. A result
// outside its limits, one that does not show whether it keeps them, and one that cannot be
// compared are asked about with both figures.
func (s *Reader) HoldToLimits() {
	for _, list := range [][]reading.Property{s.Out.Impurities, s.Out.Physical} {
		for _, p := range list {
			s.askHeld(p)
		}
	}
}

// askHeld asks about one result.
func (s *Reader) askHeld(p reading.Property) {
	code := s.held(p)
	if code == "" {
		return
	}
	name := p.Name
	if p.Lot != "" {
		name += ", " + p.Lot
	}
	s.Ask(code, p.Place, "name", name, "text", withUnit(p.Printed, p.Unit), "wanted", p.Spec)
}

// held says what is to be asked of a result beside its limits; "" for nothing.
func (s *Reader) held(p reading.Property) string {
	if p.Kind == "not applicable" || p.Lot == "" && p.Kind != "result" && !s.Is("certificate-of-analysis") {
		return ""
	}
	result := lexicon.Fold(p.Printed)
	if p.Status == "fails" {
		return "result-outside"
	}
	if _, failed := s.Words.Prefix("verdict", result); failed && p.Value+p.Low+p.High == "" {
		return "result-outside"
	}
	if p.Spec == "" || p.Ask != "" {
		return ""
	}
	unit := lexicon.Unit{Name: p.Unit, Printed: p.Unit}
	if u, ok := s.Figures.UnitIn(p.Unit); ok {
		unit = u
	}
	spec := figure.Normal(p.Spec)
	if strings.HasPrefix(spec, "(") && strings.HasSuffix(spec, ")") {
		spec = strings.Trim(spec, "() ")
	}
	wanted, ok := s.Figures.Parse(spec, unit)
	if !ok {
		f, rest, partly := s.Figures.ParseAt(spec, unit)
		wanted, ok = f, partly && harmless(rest)
	}
	got, figured := resultOf(p)
	switch {
	case !figured && (p.Op == "trace" || s.found(result)) && ok &&
		(wanted.Status == figure.Absent || wanted.Status == figure.NotDetected && wanted.High == ""):
		return "result-outside" // found where nothing may be
	case !figured:
		return ""
	case !ok && strings.ContainsAny(p.Spec, "0123456789"), wanted.Open != "":
		return "result-unlike"
	case !ok:
		return ""
	case wanted.Status == figure.Absent || wanted.Status == figure.NotDetected && wanted.High == "":
		if got.Status == figure.Below || strings.Trim(got.High, "0.") == "" {
			return ""
		}
		return "result-outside"
	}
	return compared(got, unit, wanted)
}

// found says whether a result in words tells that something is there.
func (s *Reader) found(folded string) bool {
	return s.Words.Is("verdict-found", "found", folded)
}

// resultOf is the figure of a result; false for one in words.
func resultOf(p reading.Property) (f figure.Figure, ok bool) {
	low, high := p.Low, p.High
	if p.Value != "" {
		low, high = p.Value, p.Value
	}
	f = figure.Figure{Low: low, High: high, LowIn: true, HighIn: true}
	switch p.Op {
	case "=", "range":
		f.Status = figure.Range
	case "<", "<=":
		f.Status, f.Low, f.HighIn = figure.Below, "", p.Op == "<="
	case ">", ">=":
		f.Status, f.High, f.LowIn = figure.Above, "", p.Op == ">="
	default:
		return f, false
	}
	return f, low+high != ""
}

// compared holds a result to limits, each in its own unit.
func compared(got figure.Figure, unit lexicon.Unit, wanted figure.Figure) string {
	share := func(v string, u lexicon.Unit) (string, bool) {
		if v == "" || u.Divisor == 0 {
			return v, v != ""
		}
		return figure.Percent(v, u)
	}
	less := func(a, b string) bool { return figure.Sum(a).Less(figure.Sum(b)) }
	if wanted.Unit.Name != unit.Name && (wanted.Unit.Divisor == 0 || unit.Divisor == 0) {
		return "result-unlike"
	}
	if wanted.Status == figure.Value { // one figure may be a target or a limit
		return ""
	}
	low, hasLow := share(got.Low, unit)
	high, hasHigh := share(got.High, unit)
	least, mustReach := share(wanted.Low, wanted.Unit)
	most, mustKeep := share(wanted.High, wanted.Unit)
	mustReach = mustReach && wanted.Status != figure.Below
	below := got.Status == figure.Below && !got.HighIn // the high bound itself is none of it
	switch {
	case mustKeep && hasLow && (less(most, low) || !wanted.HighIn && !less(low, most)),
		mustReach && hasHigh && (less(high, least) || (!wanted.LowIn || below) && !less(least, high)):
		return "result-outside"
	case mustKeep && (!hasHigh || less(most, high)), mustReach && (!hasLow || less(low, least)):
		return "result-unshown"
	}
	return ""
}

// withUnit is a printed figure with its unit where it has none.
func withUnit(printed, unit string) string {
	if strings.Contains(printed, unit) {
		return printed
	}
	return pieces.Printed(printed + " " + unit)
}
