package desk

import (
	"strings"

	"gallipot/dossier/transcribe/cells"
	"gallipot/dossier/transcribe/figure"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/reading"
)

// Share is a figure turned into per cent of mass.
type Share struct {
	Low, High     *string
	LowIn, HighIn bool
	Middle        string
	How           reading.How
	fig           figure.Figure
}

// Share turns a figure into per cent of mass. A figure without a unit is asked
// about.
func (s *Desk) Share(f figure.Figure, name string, at reading.Place) Share {
	out := Share{LowIn: f.LowIn, HighIn: f.HighIn, fig: f}
	out.How.Rules = append(out.How.Rules, f.Rules...)
	if f.Low == "" && f.High == "" && f.Middle == "" {
		return out
	}
	if f.Open != "" {
		out.How.Ask = f.Open
		s.Ask(f.Open, at, "name", name, "text", f.Printed)
		return out
	}
	if f.Unit.Divisor == 0 {
		out.How.Ask = "no-unit"
		s.Ask("no-unit", at, "name", name, "text", f.Printed)
		return out
	}
	pct := func(v string) *string {
		if v == "" {
			return nil
		}
		if p, ok := figure.Percent(v, f.Unit); ok {
			return &p
		}
		out.How.Ask = "not-read"
		return nil
	}
	out.Low, out.High = pct(f.Low), pct(f.High)
	if m := pct(f.Middle); m != nil {
		out.Middle = *m
	}
	if out.Low != nil && over(*out.Low) || out.High != nil && over(*out.High) && f.Status != figure.Below {
		out.How.Ask = "not-read"
		s.Ask("not-read", at, "name", name, "text", f.Printed)
		out.Low, out.High = nil, nil
	}
	return out
}

// over says whether a share is more than an assay can be.
func over(pct string) bool { return figure.Sum("105").Less(figure.Sum(pct)) }

// UnitAt is the unit that holds for the figure in a column of a row: that of the
// table's column of units, which stands above the paper's own; where the head says
// another one, neither.
func (s *Desk) UnitAt(t *cells.Table, row cells.Row, col int) (u lexicon.Unit, rule string) {
	i := t.Index("unit")
	if i < 0 || strings.TrimSpace(row.Cells[i].Text) == "" {
		return s.ColumnUnit(t.Columns[col])
	}
	u, ok := s.Figures.UnitIn(row.Cells[i].Text)
	if head, both := s.Figures.UnitIn(t.Columns[col].Head); !ok || both && head.Name != u.Name {
		return lexicon.Unit{}, ""
	}
	return u, ""
}

// ColumnUnit is the unit that holds for the figures of a column: that of its head,
// otherwise the one that the paper names for all.
func (s *Desk) ColumnUnit(c cells.Column) (u lexicon.Unit, rule string) {
	if u, ok := s.Figures.UnitIn(c.Head); ok {
		return u, ""
	}
	if s.Unit.Divisor != 0 {
		return s.Unit, "unit-of-the-paper"
	}
	return u, ""
}
