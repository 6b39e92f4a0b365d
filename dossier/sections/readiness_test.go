package sections_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"gallipot/dossier/evidence"
	"gallipot/dossier/ready"
	"gallipot/dossier/sections"
	"gallipot/dossier/words"
)

// TestReadinessChart counts every item once, or says that it is not counted.
func TestReadinessChart(t *testing.T) {
	for _, id := range []string{"heath-wash", "salt-scrub"} {
		a := demo(t, id)
		items := ready.Readiness(a)
		chart := sections.ReadinessChart(items, true)
		counted, assessor := 0, 0
		for _, r := range chart.Rows {
			counted += r.Present + r.Missing + r.NotNeeded
			assert.Positive(t, r.Present+r.Missing+r.NotNeeded, r.Label)
		}
		for _, x := range items {
			if x.State == evidence.ReadyAssessor {
				assessor++
			}
		}
		assert.Equal(t, len(items), counted+assessor)
		assert.Contains(t, chart.Caption, words.Count(assessor, "item", "items"))
	}
}
