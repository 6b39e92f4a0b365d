package pack_test

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/dossier/document/plain"
	"gallipot/dossier/evidence"
	"gallipot/dossier/pack"
	"gallipot/dossier/ready"
	"gallipot/dossier/words"
)

// TestReadinessChart counts every item once, or says that it is not counted.
func TestReadinessChart(t *testing.T) {
	for _, id := range []string{"heath-wash", "salt-scrub"} {
		a := demoAssessment(t, id)
		items := ready.Readiness(a)
		chart := pack.ReadinessChart(items, true)
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

// TestReadinessInPack prints every item with its links, and the pack stays
// whole.
func TestReadinessInPack(t *testing.T) {
	a := demoAssessment(t, "body-cream")
	d := pack.Build(a)
	require.Empty(t, d.Check())
	known := map[string]bool{}
	for _, id := range d.Anchors() {
		known[id] = true
	}
	for _, x := range ready.Readiness(a) {
		assert.True(t, known[pack.ReadyAnchor(x.ID)], x.ID)
	}
	for _, place := range pack.PackPlaces {
		assert.True(t, known[place], place)
	}
	figures, err := pack.Figures(a, "", []string{"readiness"})
	require.NoError(t, err)
	require.Empty(t, figures.Check())
	var text bytes.Buffer
	require.NoError(t, plain.Write(&text, figures))
	assert.Contains(t, text.String(), "A3c")
	assert.NotContains(t, text.String(), "PH 5.3")
}
