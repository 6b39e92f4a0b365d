package chart_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/dossier/document"
	"gallipot/dossier/document/chart"
	"gallipot/dossier/document/layout"
	"gallipot/dossier/document/pdf"
	"gallipot/dossier/words"
)

// drawn is a canvas that keeps what was drawn.
type drawn struct {
	lines, rects []box
	grounds      []int
	texts        []string
	links        []string
}

type box struct{ x, y, w, h float64 }

func (d *drawn) Line(x1, y1, x2, y2 float64, p chart.Pen) {
	d.lines = append(d.lines, box{x1, y1, x2 - x1, y2 - y1})
}

func (d *drawn) Rect(x, y, w, h float64, ground int, p chart.Pen) {
	d.rects, d.grounds = append(d.rects, box{x, y, w, h}), append(d.grounds, ground)
}

func (d *drawn) Polygon([]chart.Point, int, chart.Pen) {}

func (d *drawn) Text(_, _ float64, s string, _ layout.FontStyle, _ float64, _ int) {
	d.texts = append(d.texts, s)
}

func (d *drawn) Link(_, _, _, _ float64, anchor string) { d.links = append(d.links, anchor) }

func (d *drawn) Clean(s string) string { return s }

func drawAll(c document.Chart) *drawn {
	d := &drawn{}
	for _, part := range chart.Drawings(c, pdf.TextW, words.Printable) {
		part.Draw(d)
	}
	return d
}

func TestHBarLogAxisReachesOverWholeDecades(t *testing.T) {
	h := &document.HBarLog{Rows: []document.HBar{{Value: 0.0004, Limit: 0.001}, {Value: 12}, {Value: math.NaN(), Limit: math.Inf(1)}, {Value: 0, Limit: -1}}}
	a := chart.Axis(h, pdf.TextW)
	require.InDelta(t, 1e-4, a.From, 1e-12)
	require.InDelta(t, 100, a.To, 1e-9)
	empty := chart.Axis((&document.HBarLog{}), pdf.TextW)
	require.True(t, empty.From > 0 && empty.To > empty.From)
}

// A row without a value gets no bar, and its words all the same.
func TestHBarLogDrawsWhatItKnows(t *testing.T) {
	h := &document.HBarLog{Unit: "%", Rows: []document.HBar{
		{Label: "known", Value: 1, Limit: 10, Used: document.FloatCell(1, 2), Bound: document.FloatCell(10, 2).In("%"), State: document.VerdictMet},
		{Label: "unknown", Value: 0, Used: document.MissingCell("not supplied"), Bound: document.FloatCell(10, 2).In("%"), State: document.VerdictOpen},
		{Label: "broken", Value: math.NaN(), Used: document.FloatCell(math.NaN(), 2), State: document.VerdictFail},
	}}
	d := drawAll(h)
	require.Len(t, d.rects, 2, "ground and edge of one bar")
	for _, want := range []string{"known", "1.0 of 10\u00a0%", "unknown", "▲\u00a0not supplied, limit 10\u00a0%", "■\u00a0not computable"} {
		require.Contains(t, d.texts, want)
	}
	require.NotContains(t, chart.LegendHBarLog((&document.HBarLog{AtLeast: true})), "the limit")
}

func TestStackedBarKeepsItsLengths(t *testing.T) {
	s := &document.StackedBar{Unit: "%", Whole: 100, Parts: []string{"a", "b", "c"}, Rows: []document.StackedRow{
		{Label: "", Values: []float64{50, 25, math.NaN()}, Cells: []document.Cell{document.IntCell(50), document.IntCell(25), document.MissingCell("unknown")}}}}
	d := drawAll(s)
	require.Equal(t, box{0, 0, pdf.TextW / 2, chart.StackHeight}, d.rects[0])
	require.Contains(t, d.rects, box{pdf.TextW / 2, 0, pdf.TextW / 4, chart.StackHeight})
	require.Contains(t, d.texts, "c  unknown")
	require.InDelta(t, 130, chart.Whole((&document.StackedBar{Whole: 100, Rows: []document.StackedRow{{Values: []float64{70, 60}}}})), 1e-9)
}

func TestChartsAreCutWherePagesAre(t *testing.T) {
	require.Equal(t, []int{2, 4, 5}, chart.Chunks(5, 10, func(int) float64 { return 5 }))
	require.Equal(t, []int{1, 2}, chart.Chunks(2, 10, func(int) float64 { return 50 }))
	require.Equal(t, []int{0}, chart.Chunks(0, 10, nil))
	r := &document.ReadinessBars{}
	for range 90 {
		r.Rows = append(r.Rows, document.Readiness{Label: "subject", Present: 3, Missing: 2, NotNeeded: 1, Link: "s"})
	}
	parts := chart.Drawings(r, pdf.TextW, words.Printable)
	require.Greater(t, len(parts), 2)
	for _, p := range parts {
		require.LessOrEqual(t, p.Height, chart.MostDrawing)
	}
	d := drawAll(r)
	require.Len(t, d.links, 90)
	require.Contains(t, d.texts, "3 of 5, 1 not needed")
}

func TestLineBandBreaksWhereNothingWasRead(t *testing.T) {
	l := &document.LineBand{Series: []document.LineSeries{{Name: "a", Points: []document.LinePoint{{X: 0, Y: 5, Cell: document.FloatCell(5, 2)}, {X: 1, Missing: true}, {X: 2, Y: 6, Cell: document.FloatCell(6, 2)}, {X: 3, Y: 7, Cell: document.FloatCell(7, 2)}}}}}
	x, y := chart.Axes(l, pdf.TextW)
	n := 0
	d := drawAll(l)
	for _, s := range d.lines {
		if s.w > 0 && s.h != 0 {
			n++
		}
	}
	require.Equal(t, 1, n, "one stretch: from week 2 to week 3")
	require.Less(t, y.From, 5.0)
	require.Greater(t, y.To, 7.0)
	require.Equal(t, 3.0, x.To)
	tab := l.Figures()
	require.Equal(t, "not taken", tab.Rows[1].Cells[1].String())
}

// TestLineBandFit: a fitted line stands in place of the one from point to point,
// between the curves of its range, which are cut off at the edge of the plot.
func TestLineBandFit(t *testing.T) {
	points := []document.LinePoint{{X: 0, Y: 5}, {X: 4, Y: 5}, {X: 8, Y: 6}}
	slanting := func(fit []document.FitPoint) int {
		n := 0
		for _, s := range drawAll(&document.LineBand{Series: []document.LineSeries{{Name: "a", Points: points, Fit: fit}}}).lines {
			if s.w > 0 && s.h != 0 {
				n++
			}
		}
		return n
	}
	require.Equal(t, 1, slanting(nil), "the stretch from 4 to 8; the other lies flat")
	require.Equal(t, 3, slanting([]document.FitPoint{{X: 0, Y: 4.9, Low: 4.8, High: 5.0}, {X: 8, Y: 5.9, Low: 5.8, High: 6.0}}), "the line and two curves")
	require.Equal(t, 1, slanting([]document.FitPoint{{X: 0, Y: 4.9, Low: -90, High: 90}, {X: 8, Y: 5.9, Low: -80, High: 91}}), "a range beyond the plot is not drawn")
	require.Equal(t, 1, slanting([]document.FitPoint{{X: 0, Y: 4.9, Low: math.NaN(), High: math.NaN()}, {X: 8, Y: 5.9, Low: math.NaN(), High: math.NaN()}}))
	l := &document.LineBand{Series: []document.LineSeries{{Name: "a", Points: points, Fit: []document.FitPoint{{X: 0, Y: 4.9, Low: 4.8, High: 5.0}}}}}
	require.Equal(t, []string{"a", "95 % range of a line"}, chart.Names(l))
	require.Contains(t, drawAll(l).texts, "95 % range of a line")
}
