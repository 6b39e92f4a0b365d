package document

import (
	"slices"
	"strings"
)

// HBarLog compares figures with limits, one bar a row, on a logarithmic axis
// from what is used to what is allowed. Use it where the rows span powers of
// ten: contents with their limits, margins of safety with 100.
type HBarLog struct {
	ID        string
	Title     string
	Unit      string // of Value and Limit, on the axis
	Rows      []HBar
	Caption   string
	BoundWord string // what Limit is called; "limit" when empty, or "threshold"
	// AtLeast says that the limit is a floor that the value has to reach, as a
	// margin of safety has. Else it is a ceiling.
	AtLeast bool
}

// HBar is one bar. The figures printed beside it come from the cells; the bar is
// drawn from Value and Limit, which must be above 0 to be drawn.
type HBar struct {
	Label string
	Value float64 // in the chart's unit
	Limit float64 // in the chart's unit; 0 means no limit
	Used  Cell    // the value as printed
	Sign  string  // printed behind the value, such as that of its mark
	Bound Cell    // the limit as printed
	State Verdict
}

// StackedBar shows what a whole is made of: one bar a row, its parts side by
// side, each with its own pattern, named and with its figure in the legend.
type StackedBar struct {
	ID      string
	Title   string
	Unit    string
	Parts   []string // names of the parts, the same for all rows
	Rows    []StackedRow
	Whole   float64 // length of the full bar in the unit; 0 means the longest row's sum
	Caption string
}

// MostPatterns is how many parts of a [StackedBar] can be told apart in black and white.
const MostPatterns = 9

// StackedRow is one bar of a [StackedBar].
type StackedRow struct {
	Label  string
	Values []float64 // one a part, in the chart's unit, not below 0
	Cells  []Cell    // the same as printed
}

// ReadinessBars shows how much of each subject is there: what is present, what
// is missing, and what is not needed, counted.
type ReadinessBars struct {
	ID      string
	Title   string
	Rows    []Readiness
	Caption string
}

// Readiness is one row of [ReadinessBars]: counts of items.
type Readiness struct {
	Label     string
	Present   int
	Missing   int
	NotNeeded int
	Link      string // anchor of the section that lists them, or ""
}

// LineBand shows readings over time inside the band that a specification allows.
type LineBand struct {
	ID      string
	Title   string
	XLabel  string // "weeks"
	YLabel  string // "pH"
	Lower   *float64
	Upper   *float64 // bounds of the band in the unit of the readings; nil where there is none
	Series  []LineSeries
	Caption string
}

// LineSeries is one line of a [LineBand].
type LineSeries struct {
	Name   string
	Points []LinePoint
	Fit    []FitPoint // a straight line through the points, from left to right; empty: none
}

// FitPoint is one place of a fitted line with the 95 % range of the line there.
type FitPoint struct {
	X, Y      float64
	Low, High float64 // NaN where the points say nothing of their scatter
}

// LinePoint is one reading. A reading that was not taken is left out of the
// line, and the table beside it says so.
type LinePoint struct {
	X, Y    float64
	Cell    Cell // the reading as printed
	Missing bool
}

func (*HBarLog) block() {}

func (*StackedBar) block() {}

func (*ReadinessBars) block() {}

func (*LineBand) block() {}

// Chart is a block that is drawn where there is something to draw on, and
// printed as its figures where there is not.
type Chart interface {
	Block
	Head() (id, title, caption string)
	Figures() *Table // the same data as a table
}

func (h *HBarLog) Head() (string, string, string) { return h.ID, h.Title, h.Caption }

func (s *StackedBar) Head() (string, string, string) { return s.ID, s.Title, s.Caption }

func (r *ReadinessBars) Head() (string, string, string) { return r.ID, r.Title, r.Caption }

func (l *LineBand) Head() (string, string, string) { return l.ID, l.Title, l.Caption }

func (h *HBarLog) Figures() *Table {
	word := h.BoundText()
	word = strings.ToUpper(word[:1]) + word[1:]
	t := &Table{Columns: []Column{{Head: ""}, {Head: "Value", Unit: h.Unit}, {Head: word, Unit: h.Unit},
		{Head: ""}}}
	for _, r := range h.Rows {
		t.Add(TextCell(r.Label), r.Used, r.Bound, VerdictCell(r.State, verdictWords(r.State)))
	}
	return t
}

func (h *HBarLog) BoundText() string {
	switch {
	case h.BoundWord != "":
		return h.BoundWord
	case h.AtLeast:
		return "least allowed"
	}
	return "limit"
}

func verdictWords(v Verdict) string {
	return [...]string{"no limit", "within", "open", "outside"}[v]
}

func (s *StackedBar) Figures() *Table {
	t := &Table{Columns: []Column{{Head: ""}}}
	for _, p := range s.Parts {
		t.Columns = append(t.Columns, Column{Head: p, Unit: s.Unit})
	}
	for _, r := range s.Rows {
		t.Add(append([]Cell{TextCell(r.Label)}, r.Cells...)...)
	}
	return t
}

func (r *ReadinessBars) Figures() *Table {
	t := &Table{Columns: []Column{{Head: ""}, {Head: "Present"}, {Head: "Missing"}, {Head: "Not needed"}}}
	for _, x := range r.Rows {
		t.Add(LinkCell(x.Label, x.Link), IntCell(x.Present), IntCell(x.Missing), IntCell(x.NotNeeded))
	}
	return t
}

func (l *LineBand) Figures() *Table {
	t := &Table{Columns: []Column{{Head: l.XLabel, Align: AlignRight}}}
	for _, s := range l.Series {
		t.Columns = append(t.Columns, Column{Head: s.Name, Unit: l.YLabel, Align: AlignRight})
	}
	for _, x := range l.xs() {
		row := []Cell{TextCell(PlainFloat(x))}
		for _, s := range l.Series {
			row = append(row, s.at(x))
		}
		t.Add(row...)
	}
	return t
}

// xs returns every x that a reading was taken at, ascending.
func (l *LineBand) xs() []float64 {
	var all []float64
	for _, s := range l.Series {
		for _, p := range s.Points {
			all = append(all, p.X)
		}
	}
	slices.Sort(all)
	return slices.Compact(all)
}

// at returns the reading at x as printed.
func (s LineSeries) at(x float64) Cell {
	for _, p := range s.Points {
		if p.X == x {
			if p.Missing && p.Cell.Kind == CellBlank {
				return MissingCell("not taken")
			}
			return p.Cell
		}
	}
	return MissingCell("not taken")
}
