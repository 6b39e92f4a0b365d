package sections_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"gallipot/dossier/assess"
	"gallipot/dossier/assess/assesstest"
	"gallipot/dossier/sections"
	"gallipot/dossier/show"
	"gallipot/dossier/words"
)

var demo = assesstest.Demo(assess.Run)

// The doses per area of a pack are those of all its markets: the list of the EU
// names more allergens than that of Great Britain, and the one with most can be
// among them.
func TestLocalDosesOfEveryMarket(t *testing.T) {
	some := 0
	for _, id := range []string{"heath-wash", "body-cream", "lip-balm"} {
		a := demo(t, id)
		inMarkets := map[string][]string{}
		for _, r := range a.Results {
			for _, d := range r.LocalDoses {
				inMarkets[d.LabelName] = words.AddOnce(inMarkets[d.LabelName], string(r.Input.Market))
			}
		}
		v := show.Show(a, "")
		table := sections.LocalDoseTable(v)
		var names []string
		for _, row := range table.Rows {
			name := row.Cells[0].Text
			names = append(names, name)
			if len(inMarkets[name]) < len(a.Markets) {
				some++
			}
			assert.Equal(t, len(inMarkets[name]) < len(a.Markets),
				strings.HasSuffix(row.Cells[1].Text, " ("+strings.Join(inMarkets[name], ", ")+")"), "%s: %s", name,
				row.Cells[1].Text)
		}
		assert.Len(t, names, len(inMarkets), id)
		for name := range inMarkets {
			assert.True(t, slices.Contains(names, name), "%s lacks %s", id, name)
		}
	}
	assert.Positive(t, some, "a name of one market alone")
}
