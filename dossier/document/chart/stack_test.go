package chart

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/dossier/document"
)

func TestStackedBarKeepsItsLengths(t *testing.T) {
	s := &document.StackedBar{Unit: "%", Whole: 100, Parts: []string{"a", "b", "c"}, Rows: []document.StackedRow{
		{Label: "", Values: []float64{50, 25, math.NaN()},
			Cells: []document.Cell{document.IntCell(50), document.IntCell(25), document.MissingCell("unknown")}}}}
	d := drawAll(s)
	require.Equal(t, box{0, 0, textW / 2, stackHeight}, d.rects[0])
	require.Contains(t, d.rects, box{textW / 2, 0, textW / 4, stackHeight})
	require.Contains(t, d.texts, "c  unknown")
	require.InDelta(t, 130, whole((&document.StackedBar{Whole: 100,
		Rows: []document.StackedRow{{Values: []float64{70, 60}}}})), 1e-9)
}
