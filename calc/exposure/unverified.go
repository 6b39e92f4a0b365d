package exposure

import (
	"strings"

	"gallipot/calc/formula"
	"gallipot/ingredients/finding"
)

// memory names the figures of a margin that were not read in their source.
func (m *Marginer) memory(x *Margin) []MemoryFigure {
	var out []MemoryFigure
	add := func(what string, s *formula.Stated) {
		if s.FromMemory() && s.Table != "" {
			out = append(out, MemoryFigure{what, s.Table, s.Row, s.Seen})
		}
	}
	absorption := "dermal absorption"
	if m.exp.Swallowed {
		absorption = "oral absorption"
	}
	add(absorption, &x.Absorption.Pct)
	if p := x.PoD; p != nil {
		if p.FromMemory() && p.Table != "" {
			out = append(out, MemoryFigure{"point of departure", p.Table, p.Row, p.Seen})
		}
		add("absorption in the study", &p.Systemic)
		add("factor for the effect level", p.LOAELFactor)
		add("factor for the length of the study", p.DurationFactor)
		add("target", &x.Target)
	}
	if x.TTC != nil {
		add("threshold of toxicological concern", &x.TTC.Limit)
	}
	return out
}

// Memory names the figures of the exposure that were not read in their source.
func (e *Exposure) Memory() []MemoryFigure {
	var out []MemoryFigure
	for _, f := range []struct {
		what string
		s    *formula.Stated
	}{{"amount", e.AmountG}, {"uses a day", e.PerDay}, {"retention", e.Retention}, {"exposure",
		e.MgPerKg}, {"skin area", e.AreaCm2},
		{"body weight", e.BodyWeightKg}, {"factor for children", e.ChildFactor}} {
		if f.s == e.BodyWeightKg && e.printed {
			continue // nothing was divided by it
		}
		if f.s.FromMemory() && f.s.Table != "" {
			out = append(out, MemoryFigure{f.what, f.s.Table, f.s.Row, f.s.Seen})
		}
	}
	return out
}

func (h *Inhalation) Memory() []MemoryFigure {
	var out []MemoryFigure
	for _, p := range h.Parameters {
		if p.FromMemory() && p.Table != "" {
			out = append(out, MemoryFigure{p.Name, p.Table, p.Row, p.Seen})
		}
	}
	return out
}

// ByTable splits sorted figures by their table.
func ByTable(all []MemoryFigure) [][]MemoryFigure {
	var out [][]MemoryFigure
	for _, f := range all {
		if n := len(out); n > 0 && out[n-1][0].Table == f.Table {
			out[n-1] = append(out[n-1], f)
			continue
		}
		out = append(out, []MemoryFigure{f})
	}
	return out
}

func CountOf(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return formula.Itoa(n) + " " + what + "s"
}

func RowNames(figures []MemoryFigure) string {
	names := make([]string, len(figures))
	for i, f := range figures {
		names[i] = f.Row
		if f.Seen != "memory" {
			names[i] += " (" + f.Seen + ")"
		}
	}
	return strings.Join(names, "; ")
}

// UnverifiedFinding asks the assessor to confirm all rows at once.
func UnverifiedFinding(in *formula.Input, figures []MemoryFigure) finding.Finding {
	f := in.OnProduct(finding.NewFinding(finding.Ask, "figures-unverified", in.Product.Pos, nil)).
		By(finding.TheAssessor)
	for _, m := range figures {
		v := formula.With().Name("table", m.Table).Name("row", m.Row)
		if m.Seen == "partly" {
			v = v.Term("seen", "partly-checked", nil)
		}
		f.Things = f.Things.Term("", "figure-row", v)
	}
	return f
}
