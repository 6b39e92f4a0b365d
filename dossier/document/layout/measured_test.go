package layout

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// A line found by sums up to each letter is the line found letter by letter.
func TestMeasuredLines(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 11))
	words := []string{"Aqua, ", "Sodium Cocoyl Isethionate", "C10-30 ", "CI\u00a077891", "PEG-7/PPG-2", "  ", "\n", " ",
		"i", "WWWWWWWW", "1,2-Hexanediol; ", "Käse–", "_"}
	styles := []FontStyle{StyleRegular, StyleBold}
	for range 400 {
		var runs []Run
		for range 1 + r.IntN(3) {
			run := Run{Style: styles[r.IntN(2)], Small: r.IntN(5) == 0, Whole: r.IntN(5) == 0}
			for range r.IntN(12) {
				run.Text += words[r.IntN(len(words))]
			}
			runs = append(runs, run)
		}
		size := 4 + float64(r.IntN(80))/10
		m := Measure(runs, size)
		widths := []float64{-1, 0, 0.3, 5, 17, 60, 200}
		for range 6 { // widths that a line fills to the last letter
			if n := len(m.text); n > 0 {
				from := r.IntN(n)
				widths = append(widths, m.upTo[from+r.IntN(n-from)+1]-m.upTo[from],
					(m.upTo[from+r.IntN(n-from)+1]-m.upTo[from])/fullEnough, m.upTo[n]-m.upTo[from]-Slack)
			}
		}
		for _, width := range widths {
			for start := range m.text {
				end, next := m.line(start, width)
				wantEnd, wantNext := BreakLine(m.text, runs, start, width, RuneMM(size))
				require.Equal(t, [2]int{wantEnd, wantNext}, [2]int{end, next}, "%q at %d in %v mm", runs, start, width)
				require.Equal(t, m.wide(start, end) > width+Slack, m.isWider(start, end, width+Slack))
			}
		}
	}
}
