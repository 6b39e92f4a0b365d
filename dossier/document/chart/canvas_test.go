package chart

import (
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/dossier/document"
	"gallipot/dossier/document/layout"
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

func (d *drawn) Line(x1, y1, x2, y2 float64, p Pen) {
	d.lines = append(d.lines, box{x1, y1, x2 - x1, y2 - y1})
}

func (d *drawn) Rect(x, y, w, h float64, ground int, p Pen) {
	d.rects, d.grounds = append(d.rects, box{x, y, w, h}), append(d.grounds, ground)
}

func (d *drawn) Polygon([]Point, int, Pen) {}

func (d *drawn) Text(_, _ float64, s string, _ layout.FontStyle, _ float64, _ int) {
	d.texts = append(d.texts, s)
}

func (d *drawn) Link(_, _, _, _ float64, anchor string) { d.links = append(d.links, anchor) }

func (d *drawn) Clean(s string) string { return s }

// textW is the width of a page of text in mm.
const textW = 170.0

func drawAll(c document.Chart) *drawn {
	d := &drawn{}
	for _, part := range Drawings(c, textW, words.Printable) {
		part.Draw(d)
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
	require.Equal(t, "4.8", document.PlainFloat(4.800000000000001))
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
		key := slopes + "," + string(rune('0'+len(d.rects)%10)) + "," + document.FormatFloat(float64(d.grounds[0]), 3)
		require.False(t, looks[key], "pattern %d looks like another: %s", p, key)
		looks[key] = true
	}
	d := &drawn{}
	patterned(d, 0, 0, 0, 8, patHatch)
	patterned(d, 0, 0, 3, -1, patHatch)
	require.Empty(t, d.rects)
}

func TestChartsAreCutWherePagesAre(t *testing.T) {
	require.Equal(t, []int{2, 4, 5}, chunks(5, 10, func(int) float64 { return 5 }))
	require.Equal(t, []int{1, 2}, chunks(2, 10, func(int) float64 { return 50 }))
	require.Equal(t, []int{0}, chunks(0, 10, nil))
	r := &document.ReadinessBars{}
	for range 90 {
		r.Rows = append(r.Rows, document.Readiness{Label: "subject", Present: 3, Missing: 2, NotNeeded: 1, Link: "s"})
	}
	parts := Drawings(r, textW, words.Printable)
	require.Greater(t, len(parts), 2)
	for _, p := range parts {
		require.LessOrEqual(t, p.Height, mostDrawing)
	}
	d := drawAll(r)
	require.Len(t, d.links, 90)
	require.Contains(t, d.texts, "3 of 5, 1 not needed")
}
