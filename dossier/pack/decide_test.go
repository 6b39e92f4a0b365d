package pack_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/dossier/assess"
	"gallipot/dossier/document"
	"gallipot/dossier/dossiertest"
	"gallipot/dossier/pack"
	"gallipot/dossier/ready"
)

// TestLowestByTarget: the bars stand by margin ÷ target, computed here again from the two
// figures of each bar, and the table of margins beside them by the same rule.
func TestLowestByTarget(t *testing.T) {
	mixed := 0
	for _, id := range []string{"heath-wash", "body-cream", "lip-balm", "salt-scrub"} {
		d := pack.Build(dossiertest.Demo(t, id))
		for _, b := range d.Blocks() {
			if c, is := b.(*document.HBarLog); is && c.ID == "chart-lowest" {
				require.Contains(t, c.Title, "margin ÷ target", id)
				for i := 1; i < len(c.Rows); i++ {
					a, z := c.Rows[i-1], c.Rows[i]
					assert.LessOrEqual(t, a.Value/a.Limit, z.Value/z.Limit, "%s: %s before %s", id, a.Label, z.Label)
					if a.Limit != z.Limit {
						mixed++
					}
				}
			}
		}
	}
	assert.Positive(t, mixed, "a target other than the usual one is among them")
}

// TestCountsOfSubstances: those without a value are as many on the first page, in Part B
// and in the parts of the file, and the three counts of that item make up all substances.
func TestCountsOfSubstances(t *testing.T) {
	for _, a := range []*assess.Assessment{twoMaterials(t), dossiertest.Demo(t, "heath-wash"),
		dossiertest.Demo(t, "body-cream"), dossiertest.Demo(t, "lip-balm"), dossiertest.Demo(t, "salt-scrub")} {
		said := ""
		for _, item := range ready.Readiness(a) {
			if item.ID == "A8a" {
				said = item.Because()
			}
		}
		var with, all, without, none int
		_, err := fmt.Sscanf(said, "computed for %d of %d substances; %d without a value, %d that need none",
			&with, &all, &without, &none)
		require.NoError(t, err, said)
		assert.Equal(t, all, with+without+none, a.Product.ID)
		for _, r := range tableOf(pack.Build(a), "b-assessed").Rows {
			if r.Cells[0].Text == "Substances without a value" {
				assert.Equal(t, fmt.Sprintf("%d of %d", without, all), r.Cells[1].Text, a.Product.ID)
			}
		}
	}
}
