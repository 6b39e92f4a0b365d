package dossier

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestReadinessChart counts every item once, or says that it is not counted.
func TestReadinessChart(t *testing.T) {
	for _, id := range []string{"heath-wash", "salt-scrub"} {
		a := demoAssessment(t, id)
		items := a.Readiness()
		chart := readinessChart(items, true)
		counted, assessor := 0, 0
		for _, r := range chart.Rows {
			counted += r.Present + r.Missing + r.NotNeeded
			assert.Positive(t, r.Present+r.Missing+r.NotNeeded, r.Label)
		}
		for _, x := range items {
			if x.State == ReadyAssessor {
				assessor++
			}
		}
		assert.Equal(t, len(items), counted+assessor)
		assert.Contains(t, chart.Caption, count(assessor, "item", "items"))
	}
}

// TestReadinessInPack prints every item with its links, and the pack stays
// whole.
func TestReadinessInPack(t *testing.T) {
	a := demoAssessment(t, "body-cream")
	d := Pack(a)
	require.Empty(t, d.Check())
	known := map[string]bool{}
	for _, id := range d.anchors() {
		known[id] = true
	}
	for _, x := range a.Readiness() {
		assert.True(t, known[readyAnchor(x.ID)], x.ID)
	}
	for _, place := range packPlaces {
		assert.True(t, known[place], place)
	}
	figures, err := Figures(a, "", []string{"readiness"})
	require.NoError(t, err)
	require.Empty(t, figures.Check())
	var text bytes.Buffer
	require.NoError(t, WriteText(&text, figures))
	assert.Contains(t, text.String(), "A3c")
	assert.NotContains(t, text.String(), "PH 5.3")
}
