package chart

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/dossier/document"
)

func TestLineBandBreaksWhereNothingWasRead(t *testing.T) {
	l := &document.LineBand{Series: []document.LineSeries{{Name: "a",
		Points: []document.LinePoint{{X: 0, Y: 5, Cell: document.FloatCell(5, 2)}, {X: 1, Missing: true},
			{X: 2, Y: 6, Cell: document.FloatCell(6, 2)}, {X: 3, Y: 7, Cell: document.FloatCell(7, 2)}}}}}
	x, y := axes(l, textW)
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
	tab := l.Figures()
	require.Equal(t, "not taken", tab.Rows[1].Cells[1].String())
}

// TestLineBandFit: a fitted line stands in place of the one from point to point,
// between the curves of its range, which are cut off at the edge of the plot.
func TestLineBandFit(t *testing.T) {
	points := []document.LinePoint{{X: 0, Y: 5}, {X: 4, Y: 5}, {X: 8, Y: 6}}
	slanting := func(fit []document.FitPoint) int {
		n := 0
		for _, s := range drawAll(&document.LineBand{Series: []document.LineSeries{{Name: "a", Points: points,
			Fit: fit}}}).lines {
			if s.w > 0 && s.h != 0 {
				n++
			}
		}
		return n
	}
	require.Equal(t, 1, slanting(nil), "the stretch from 4 to 8; the other lies flat")
	require.Equal(t, 3, slanting([]document.FitPoint{{X: 0, Y: 4.9, Low: 4.8, High: 5.0},
		{X: 8, Y: 5.9, Low: 5.8, High: 6.0}}), "the line and two curves")
	require.Equal(t, 1, slanting([]document.FitPoint{{X: 0, Y: 4.9, Low: -90, High: 90},
		{X: 8, Y: 5.9, Low: -80, High: 91}}), "a range beyond the plot is not drawn")
	require.Equal(t, 1, slanting([]document.FitPoint{{X: 0, Y: 4.9, Low: math.NaN(), High: math.NaN()},
		{X: 8, Y: 5.9, Low: math.NaN(), High: math.NaN()}}))
	l := &document.LineBand{Series: []document.LineSeries{{Name: "a", Points: points,
		Fit: []document.FitPoint{{X: 0, Y: 4.9, Low: 4.8, High: 5.0}}}}}
	require.Equal(t, []string{"a", "95 % range of a line"}, namesOfLineBand(l))
	require.Contains(t, drawAll(l).texts, "95 % range of a line")
}
