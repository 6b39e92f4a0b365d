package label

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/labelling"
	"gallipot/dossier/label/labelsize"
	"gallipot/testdata"
)

// What is said to fit is what can be set, for every shape, size and way of setting.
func TestFitsIsWhatIsSet(t *testing.T) {
	list := strings.Repeat("Aqua, Sodium Cocoyl Isethionate, C10-30 Alkyl Acrylate Crosspolymer, CI\u00a077891, PEG-7/PPG-2, ", 6)
	matters := map[string]matter{
		"short": {Name: "Soap", Paras: []para{{kind: labelling.ItemIngredients, Lead: "Ingredients",
			Text: "Aqua, Glycerin"}}},
		"long": {Name: "Hand cream with heather and a very long name", function: "care of the skin",
			quantity: "250 ml", figureMM: 4, months: "6M",
			Paras: []para{{kind: labelling.ItemIngredients, Lead: "Ingredients", Text: list},
				{kind: labelling.ItemPrecaution, Text: "Avoid contact with the eyes. Rinse at once."},
				{kind: labelling.ItemBatch, Lead: "Batch", Text: roomForCode},
				{kind: labelling.ItemPerson, Text: "Wrack, 1 Shore Lane, Example", underlined: true}}},
		"wide word": {Name: "Oil", Paras: []para{{kind: labelling.ItemIngredients, Text: strings.Repeat("abcdefghij", 20)}}},
		"nothing":   {},
	}
	fit, not, n, every := 0, 0, 0, testdata.Cases(13, 1) // of the settings in the short run, every thirteenth
	for name, m := range matters {
		m.measureOnce(newKnown())
		for _, shape := range []labelsize.Shape{labelsize.Rectangle, labelsize.Wrap, labelsize.Round} {
			for _, wide := range []float64{12, 23.7, 40, 61.3, 90, 140, 260} {
				o := outline{Shape: shape, Width: wide, Height: wide * 0.55, Margin: usualMargin}
				if shape == labelsize.Wrap {
					o.Overlap = usualOverlap
				}
				for _, s := range o.settings() {
					for _, x := range []float64{0.9, 1.2, 1.55} {
						for _, size := range append(smallNames, goodNames...) {
							for _, lines := range []int{0, nameLines} {
								if n++; n%every != 0 {
									continue
								}
								s.x, s.name, s.lines = x, size, lines
								set := o.set(m, s) != nil
								require.Equal(t, set, o.fits(m, s), fmt.Sprint(name, o, s))
								if set {
									fit++
								} else {
									not++
								}
							}
						}
					}
				}
			}
		}
	}
	assert.Greater(t, fit, testdata.Cases(80, 1000))
	assert.Greater(t, not, testdata.Cases(80, 1000))
}
