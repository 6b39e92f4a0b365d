package chart

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/dossier/document"
)

func TestHBarLogAxisReachesOverWholeDecades(t *testing.T) {
	h := &document.HBarLog{Rows: []document.HBar{{Value: 0.0004, Limit: 0.001}, {Value: 12},
		{Value: math.NaN(), Limit: math.Inf(1)}, {Value: 0, Limit: -1}}}
	a := axis(h, textW)
	require.InDelta(t, 1e-4, a.from, 1e-12)
	require.InDelta(t, 100, a.to, 1e-9)
	empty := axis((&document.HBarLog{}), textW)
	require.True(t, empty.from > 0 && empty.to > empty.from)
}

// A row without a value gets no bar, and its words all the same.
func TestHBarLogDrawsWhatItKnows(t *testing.T) {
	h := &document.HBarLog{Unit: "%", Rows: []document.HBar{
		{Label: "known", Value: 1, Limit: 10, Used: document.FloatCell(1, 2),
			Bound: document.FloatCell(10, 2).In("%"), State: document.VerdictMet},
		{Label: "unknown", Value: 0, Used: document.MissingCell("not supplied"),
			Bound: document.FloatCell(10, 2).In("%"), State: document.VerdictOpen},
		{Label: "broken", Value: math.NaN(), Used: document.FloatCell(math.NaN(), 2), State: document.VerdictFail},
	}}
	d := drawAll(h)
	require.Len(t, d.rects, 2, "ground and edge of one bar")
	for _, want := range []string{"known", "○\u00a01.0 of 10\u00a0%", "unknown",
		"▲\u00a0not supplied, limit 10\u00a0%", "■\u00a0not computable"} {
		require.Contains(t, d.texts, want)
	}
	require.NotContains(t, legendHBarLog((&document.HBarLog{AtLeast: true})), "the limit")
}
