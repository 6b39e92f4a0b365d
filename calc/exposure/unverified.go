package exposure

import (
	"strings"

	"gallipot/calc/formula"
	"gallipot/ingredients/finding"
)

// addUnread adds the threshold of a screening that was not read in its source.
func (x *marginFigures) addUnread() {
	if x.TTC == nil {
		return
	}
	if s := &x.TTC.Limit; s.FromMemory() && s.Table != "" {
		x.Memory = append(x.Memory, MemoryFigure{"threshold of toxicological concern", s.Table, s.Row, s.Seen})
	}
}

// Memory names the figures of the exposure that were not read in their source.
func (e *Exposure) Memory() []MemoryFigure {
	const most = 7
	var room [most]MemoryFigure
	out := room[:0]
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
	return append([]MemoryFigure(nil), out...)
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
	f.Things = make(finding.Values, 0, len(figures))
	known := formula.MemoryOf[unverifiedMemory](in.Session)
	for _, m := range figures {
		f.Things = append(f.Things, known.Of(MemoryFigure{"", m.Table, m.Row, m.Seen}, func() finding.Value {
			v := formula.With().Name("table", m.Table).Name("row", m.Row)
			if m.Seen == "partly" {
				v = v.Term("seen", "partly-checked", nil)
			}
			return finding.Values(nil).Term("", "figure-row", v)[0]
		}))
	}
	return f
}

// unverifiedMemory keeps what is said of a row that was not read in its source.
type unverifiedMemory struct {
	formula.Memo[MemoryFigure, finding.Value]
}
