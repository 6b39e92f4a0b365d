package transcribe

import (
	"gallipot/dossier/transcribe/cells"
	"gallipot/dossier/transcribe/figure"
	"gallipot/dossier/transcribe/lexicon"
)

// shared is a figure turned into per cent of mass.
type shared struct {
	low, high     *string
	lowIn, highIn bool
	middle        string
	how           How
	fig           figure.Figure
}

// share turns a figure into per cent of mass. A figure without a unit is asked
// about.
func (s *desk) share(f figure.Figure, name string, at Place) shared {
	out := shared{lowIn: f.LowIn, highIn: f.HighIn, fig: f}
	out.how.Rules = append(out.how.Rules, f.Rules...)
	if f.Low == "" && f.High == "" && f.Middle == "" {
		return out
	}
	if f.Open != "" {
		out.how.Ask = f.Open
		s.ask(f.Open, at, "name", name, "text", f.Printed)
		return out
	}
	if f.Unit.Divisor == 0 {
		out.how.Ask = "no-unit"
		s.ask("no-unit", at, "name", name, "text", f.Printed)
		return out
	}
	pct := func(v string) *string {
		if v == "" {
			return nil
		}
		if p, ok := figure.Percent(v, f.Unit); ok {
			return &p
		}
		out.how.Ask = "not-read"
		return nil
	}
	out.low, out.high = pct(f.Low), pct(f.High)
	if m := pct(f.Middle); m != nil {
		out.middle = *m
	}
	if out.low != nil && over(*out.low) || out.high != nil && over(*out.high) && f.Status != figure.Below {
		out.how.Ask = "not-read"
		s.ask("not-read", at, "name", name, "text", f.Printed)
		out.low, out.high = nil, nil
	}
	return out
}

// over says whether a share is more than an assay can be.
func over(pct string) bool { return figure.Sum("105").Less(figure.Sum(pct)) }

// columnUnit is the unit that holds for the figures of a column: that of its head,
// otherwise the one that the paper names for all.
func (s *desk) columnUnit(c cells.Column) (u lexicon.Unit, rule string) {
	if u, ok := s.fig.UnitIn(c.Head); ok {
		return u, ""
	}
	if s.unit.Divisor != 0 {
		return s.unit, "unit-of-the-paper"
	}
	return u, ""
}
