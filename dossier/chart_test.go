package dossier

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// drawn is a canvas that keeps what was drawn.
type drawn struct {
	lines, rects []box
	grounds      []int
	texts        []string
	links        []string
}

type box struct{ x, y, w, h float64 }

func (d *drawn) line(x1, y1, x2, y2 float64, p pen) {
	d.lines = append(d.lines, box{x1, y1, x2 - x1, y2 - y1})
}

func (d *drawn) rect(x, y, w, h float64, ground int, p pen) {
	d.rects, d.grounds = append(d.rects, box{x, y, w, h}), append(d.grounds, ground)
}
func (d *drawn) polygon([]point, int, pen) {}
func (d *drawn) text(_, _ float64, s string, _ fontStyle, _ float64, _ int) {
	d.texts = append(d.texts, s)
}
func (d *drawn) link(_, _, _, _ float64, anchor string) { d.links = append(d.links, anchor) }
func (d *drawn) clean(s string) string                  { return s }

func drawAll(c chart) *drawn {
	d := &drawn{}
	for _, part := range drawings(c, textW, printable) {
		part.draw(d)
	}
	return d
}

func TestScale(t *testing.T) {
	log := scale{from: 0.1, to: 10, x: 20, w: 100, log: true}
	require.InDelta(t, 20, log.at(0.1), 1e-9)
	require.InDelta(t, 70, log.at(1), 1e-9) // the middle of two decades
	require.InDelta(t, 120, log.at(10), 1e-9)
	require.InDelta(t, 20, log.at(0), 1e-9)
	require.InDelta(t, 120, log.at(1e9), 1e-9)
	require.InDeltaSlice(t, []float64{0.1, 1, 10}, log.decades(), 1e-12)
	require.InDeltaSlice(t, []float64{0, 2, 4, 6, 8, 10, 12}, scale{from: 0, to: 12}.ticks(10), 1e-9)
	require.InDeltaSlice(t, []float64{4.8, 5, 5.2, 5.4, 5.6}, scale{from: 4.7, to: 5.65}.ticks(6), 1e-9)
	require.Equal(t, "4.8", plainFloat(4.800000000000001))
}

func TestHBarLogAxisReachesOverWholeDecades(t *testing.T) {
	h := &HBarLog{Rows: []HBar{{Value: 0.0004, Limit: 0.001}, {Value: 12}, {Value: math.NaN(), Limit: math.Inf(1)}, {Value: 0, Limit: -1}}}
	a := h.axis(textW)
	require.InDelta(t, 1e-4, a.from, 1e-12)
	require.InDelta(t, 100, a.to, 1e-9)
	empty := (&HBarLog{}).axis(textW)
	require.True(t, empty.from > 0 && empty.to > empty.from)
}

// A row without a value gets no bar, and its words all the same.
func TestHBarLogDrawsWhatItKnows(t *testing.T) {
	h := &HBarLog{Unit: "%", Rows: []HBar{
		{Label: "known", Value: 1, Limit: 10, Used: FloatCell(1, 2), Bound: FloatCell(10, 2).In("%"), State: VerdictMet},
		{Label: "unknown", Value: 0, Used: MissingCell("not supplied"), Bound: FloatCell(10, 2).In("%"), State: VerdictOpen},
		{Label: "broken", Value: math.NaN(), Used: FloatCell(math.NaN(), 2), State: VerdictFail},
	}}
	d := drawAll(h)
	require.Len(t, d.rects, 2, "ground and edge of one bar")
	for _, want := range []string{"known", "1.0 of 10\u00a0%", "unknown", "▲\u00a0not supplied, limit 10\u00a0%", "■\u00a0not computable"} {
		require.Contains(t, d.texts, want)
	}
	require.NotContains(t, (&HBarLog{AtLeast: true}).legend(), "the limit")
}

func TestPatternsDifferAndFillTheirPart(t *testing.T) {
	looks := map[string]bool{}
	for p := range patternCount {
		d := &drawn{}
		patterned(d, 0, 0, 20, 8, p)
		require.Equal(t, box{0, 0, 20, 8}, d.rects[0])
		slopes := ""
		for _, l := range d.lines {
			require.True(t, min(l.x, l.x+l.w) >= -1e-9 && max(l.x, l.x+l.w) <= 20+1e-9, "pattern %d", p)
			require.True(t, min(l.y, l.y+l.h) >= -1e-9 && max(l.y, l.y+l.h) <= 8+1e-9, "pattern %d", p)
			s := "|"
			if l.w != 0 {
				s = map[bool]string{true: "\\", false: "/"}[l.h > 0]
			}
			if len(slopes) == 0 || slopes[len(slopes)-1:] != s {
				slopes += s
			}
		}
		key := slopes + "," + string(rune('0'+len(d.rects)%10)) + "," + FormatFloat(float64(d.grounds[0]), 3)
		require.False(t, looks[key], "pattern %d looks like another: %s", p, key)
		looks[key] = true
	}
	d := &drawn{}
	patterned(d, 0, 0, 0, 8, patHatch)
	patterned(d, 0, 0, 3, -1, patHatch)
	require.Empty(t, d.rects)
}

func TestStackedBarKeepsItsLengths(t *testing.T) {
	s := &StackedBar{Unit: "%", Whole: 100, Parts: []string{"a", "b", "c"}, Rows: []StackedRow{
		{"", []float64{50, 25, math.NaN()}, []Cell{IntCell(50), IntCell(25), MissingCell("unknown")}}}}
	d := drawAll(s)
	require.Equal(t, box{0, 0, textW / 2, stackHeight}, d.rects[0])
	require.Contains(t, d.rects, box{textW / 2, 0, textW / 4, stackHeight})
	require.Contains(t, d.texts, "c  unknown")
	require.InDelta(t, 130, (&StackedBar{Whole: 100, Rows: []StackedRow{{Values: []float64{70, 60}}}}).whole(), 1e-9)
}

func TestChartsAreCutWherePagesAre(t *testing.T) {
	require.Equal(t, []int{2, 4, 5}, chunks(5, 10, func(int) float64 { return 5 }))
	require.Equal(t, []int{1, 2}, chunks(2, 10, func(int) float64 { return 50 }))
	require.Equal(t, []int{0}, chunks(0, 10, nil))
	r := &ReadinessBars{}
	for range 90 {
		r.Rows = append(r.Rows, Readiness{"subject", 3, 2, 1, "s"})
	}
	parts := drawings(r, textW, printable)
	require.Greater(t, len(parts), 2)
	for _, p := range parts {
		require.LessOrEqual(t, p.height, mostDrawing)
	}
	d := drawAll(r)
	require.Len(t, d.links, 90)
	require.Contains(t, d.texts, "3 of 5, 1 not needed")
}

func TestLineBandBreaksWhereNothingWasRead(t *testing.T) {
	l := &LineBand{Series: []LineSeries{{Name: "a", Points: []LinePoint{{X: 0, Y: 5, Cell: FloatCell(5, 2)}, {X: 1, Missing: true}, {X: 2, Y: 6, Cell: FloatCell(6, 2)}, {X: 3, Y: 7, Cell: FloatCell(7, 2)}}}}}
	x, y := l.axes(textW)
	n := 0
	d := drawAll(l)
	for _, s := range d.lines {
		if s.w > 0 && s.h != 0 {
			n++
		}
	}
	require.Equal(t, 1, n, "one stretch: from week 2 to week 3")
	require.Less(t, y.from, 5.0)
	require.Greater(t, y.to, 7.0)
	require.Equal(t, 3.0, x.to)
	tab := l.figures()
	require.Equal(t, "not taken", tab.Rows[1].Cells[1].String())
}

// TestLineBandFit: a fitted line stands in place of the one from point to point,
// between the curves of its range, which are cut off at the edge of the plot.
func TestLineBandFit(t *testing.T) {
	points := []LinePoint{{X: 0, Y: 5}, {X: 4, Y: 5}, {X: 8, Y: 6}}
	slanting := func(fit []FitPoint) int {
		n := 0
		for _, s := range drawAll(&LineBand{Series: []LineSeries{{Name: "a", Points: points, Fit: fit}}}).lines {
			if s.w > 0 && s.h != 0 {
				n++
			}
		}
		return n
	}
	require.Equal(t, 1, slanting(nil), "the stretch from 4 to 8; the other lies flat")
	require.Equal(t, 3, slanting([]FitPoint{{0, 4.9, 4.8, 5.0}, {8, 5.9, 5.8, 6.0}}), "the line and two curves")
	require.Equal(t, 1, slanting([]FitPoint{{0, 4.9, -90, 90}, {8, 5.9, -80, 91}}), "a range beyond the plot is not drawn")
	require.Equal(t, 1, slanting([]FitPoint{{0, 4.9, math.NaN(), math.NaN()}, {8, 5.9, math.NaN(), math.NaN()}}))
	l := &LineBand{Series: []LineSeries{{Name: "a", Points: points, Fit: []FitPoint{{0, 4.9, 4.8, 5.0}}}}}
	require.Equal(t, []string{"a", "95 % range of a line"}, l.names())
	require.Contains(t, drawAll(l).texts, "95 % range of a line")
}
