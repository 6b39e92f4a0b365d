package table

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"gallipot/ingredients"
)

func TestTTCExclusionsByName(t *testing.T) {
	tables := Builtin()
	for name, group := range map[string]string{
		"Zinc Oxide": "metals", "Lavandula Angustifolia Oil": "mixtures", "Xanthan Gum": "polymers", "PEG-40 Hydrogenated Castor Oil": "mixtures",
		"Cyclopentasiloxane": "organosilicon", "N-Nitrosodiethanolamine": "nitroso", "Hydrolyzed Oats": "proteins",
		"Iodopropynyl Butylcarbamate": "carbamates",
	} {
		x := tables.TTCExcluded(name)
		if assert.NotNil(t, x, name) {
			assert.Equal(t, group, x.Key, name)
		}
	}
	for _, name := range []string{"Lactic Acid", "Linalool", "Glycerin", "Cetearyl Alcohol", "Limonene"} {
		assert.Nil(t, tables.TTCExcluded(name), name)
	}
	for _, x := range tables.ttcExclusions {
		for _, p := range append(x.Parts, x.Words...) {
			assert.Equal(t, ingredients.NameKey(p), p, "words are compared in folded form")
		}
	}
}
