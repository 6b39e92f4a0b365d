package declaration

import (
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law"
	"gallipot/calc/law/table"
	"gallipot/dossier/transcribe/lexicon"
)

// Names and numbers as in Annex III to Regulation (EC) No 1223/2009, entries 67 to 92 and
// those of Regulation (EU) 2023/1545; customary names by common practice, no source.
func TestKnown(t *testing.T) {
	words, err := lexicon.Load()
	require.NoError(t, err)
	d := NewKnown(words, law.AllergenRows(table.Builtin()))
	t.Run("a name and its number are one", func(t *testing.T) {
		a, ok, clash := d.Find("Linalool", []string{"78-70-6"})
		require.True(t, ok)
		require.False(t, clash)
		require.Equal(t, "linalool", a.Key)
	})
	t.Run("a number alone", func(t *testing.T) {
		a, ok, _ := d.Find("", []string{"5392-40-5"})
		require.True(t, ok)
		require.Equal(t, "citral", a.Key)
	})
	t.Run("a customary name in another language", func(t *testing.T) {
		a, ok := d.ByName("Amylzimtaldehyd")
		require.True(t, ok)
		require.Equal(t, "amyl-cinnamal", a.Key)
	})
	t.Run("a member of a group is no whole", func(t *testing.T) {
		a, ok := d.ByName("β-Pinen")
		require.True(t, ok)
		require.Equal(t, lexicon.Allergen{Key: "pinene", Member: "beta-pinene"}, a)
	})
	t.Run("name and number of two allergens clash", func(t *testing.T) {
		_, ok, clash := d.Find("Linalool", []string{"5392-40-5"})
		require.True(t, ok)
		require.True(t, clash)
	})
	t.Run("what is no allergen is not found", func(t *testing.T) {
		_, ok, _ := d.Find("Aqua", []string{"7732-18-5"})
		require.False(t, ok)
	})
}

func TestHalfDigit(t *testing.T) {
	require.Equal(t, "0.005", halfDigit("0.00"))
	require.Equal(t, "0.5", halfDigit("0"))
}
