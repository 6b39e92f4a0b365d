package names

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// Official names stand in capitals in the inventory; a label has them in the form that the
// trade prints: abbreviations and what holds a figure stay in capitals.
func TestDisplay(t *testing.T) {
	r := resolver(t)
	for official, want := range map[string]string{
		"SODIUM LAURETH SULFATE":         "Sodium Laureth Sulfate",
		"PEG-40 HYDROGENATED CASTOR OIL": "PEG-40 Hydrogenated Castor Oil",
		"C12-15 ALKYL BENZOATE":          "C12-15 Alkyl Benzoate",
		"TEA-LAURYL SULFATE":             "TEA-Lauryl Sulfate",
		"POLYQUATERNIUM-7":               "Polyquaternium-7",
		"D&C RED":                        "D&C Red",
		"BHT":                            "BHT",
		"COCOS NUCIFERA OIL/WATER":       "Cocos Nucifera Oil/Water",
		"YEAST EXTRACT":                  "Yeast Extract",
		"ÉLAN VITAL":                     "Élan Vital",
		"ADAM'S NEEDLE":                  "Adam's Needle",
		"ADAM’S NEEDLE":                  "Adam’s Needle",
		"":                               "",
	} {
		require.Equal(t, want, r.words.display(official))
	}
}
