package transcribe

import (
	"regexp"
	"strings"

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
func (s *reading) share(f figure.Figure, name string, at Place) shared {
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
func (s *reading) columnUnit(c cells.Column) (u lexicon.Unit, rule string) {
	if u, ok := s.fig.UnitIn(c.Head); ok {
		return u, ""
	}
	if s.unit.Divisor != 0 {
		return s.unit, "unit-of-the-paper"
	}
	return u, ""
}

var spaces = regexp.MustCompile(`[ \t]+`)

// oneLine joins the lines of a cell: a line that ends with a hyphen goes on without
// a blank.
func oneLine(t string) string {
	lines := strings.Split(t, "\n")
	out := strings.TrimSpace(lines[0])
	for _, l := range lines[1:] {
		l = strings.TrimSpace(l)
		if l == "" {
			continue
		}
		if strings.HasSuffix(out, "-") || strings.HasSuffix(out, "/") || out == "" {
			out += l
		} else {
			out += " " + l
		}
	}
	return spaces.ReplaceAllString(out, " ")
}

// printed is a cell as it stands, on one line.
func printed(t string) string {
	return strings.TrimSpace(spaces.ReplaceAllString(strings.ReplaceAll(t, "\n", " "), " "))
}

var leadingNumber = regexp.MustCompile(`^(\d{1,3})[.)]?\s+(.*)$`)

// rowNumbers says whether the names of a table begin with running numbers.
func rowNumbers(t *cells.Table, col int) bool {
	last, run := 0, 0
	for _, r := range t.Rows {
		m := leadingNumber.FindStringSubmatch(r.Cells[col].Text)
		if m == nil {
			continue
		}
		if n := atoi(m[1]); n == last+1 {
			run++
			last = n
		} else if last == 0 {
			last = n
			run++
		}
	}
	return run >= 3 && run*10 >= len(t.Rows)*8
}

// isTotal says whether the name of a row is that of a sum.
func (s *reading) isTotal(name string) bool {
	f := lexicon.Fold(name)
	if f == "" {
		return false
	}
	if _, ok := s.words.Exact("total", f); ok {
		return true
	}
	e, ok := s.words.Prefix("total", f)
	return ok && len(f) < len(e.Word)+14 && strings.ContainsAny(name, ":%") || ok && len(strings.Fields(f)) == len(strings.Fields(e.Word))
}
