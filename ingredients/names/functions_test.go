package names

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// What words for what a material does mean, in the official words of the inventory
// (inci-functions.csv): alone, joined, and with words before them.
func TestFunction(t *testing.T) {
	r := resolver(t)
	for _, c := range []struct {
		wording  string
		official []string // none: in no table
		limits   []string
	}{
		{"preservative", []string{"preservative"}, []string{"preservative", "non-preservative"}},
		{"Preservative", []string{"preservative"}, []string{"preservative", "non-preservative"}},
		{"mild preservative", []string{"preservative"}, []string{"preservative", "non-preservative"}},
		{"very mild preservative", []string{"preservative"}, []string{"preservative", "non-preservative"}},
		{"not preservative", nil, nil}, {"no preservative", nil, nil}, {"non preservative", nil, nil},
		{"without preservative", nil, nil}, {"free preservative", nil, nil}, {"never preservative", nil, nil},
		{"un preservative", nil, nil},
		{"moisturising and conditioning", []string{"moisturising", "skin conditioning"}, nil},
		{"emollient / humectant", []string{"skin conditioning - emollient", "humectant"}, nil},
		{"emollient & solvent", []string{"skin conditioning - emollient", "solvent"}, nil},
		{"emollient, ,solvent", []string{"skin conditioning - emollient", "solvent"}, nil},
		{"emollient;solvent", []string{"skin conditioning - emollient", "solvent"}, nil},
		{"emollient (humectant)", []string{"skin conditioning - emollient", "humectant"}, nil},
		{"solvent and preservative", []string{"solvent", "preservative"}, []string{"preservative",
			"non-preservative"}},
		{"preservative and preservative", []string{"preservative"}, []string{"preservative",
			"non-preservative"}},
		{"emollient and xyz", nil, nil}, {"mild", nil, nil}, {"and", nil, nil}, {"", nil, nil}, {" / ",
			nil, nil},
		{"CI 77891", []string{"colorant"}, []string{"colorant"}},
	} {
		f, ok := r.Function(c.wording)
		require.Equal(t, c.official != nil, ok, c.wording)
		require.Equal(t, c.official, f.Official, c.wording)
		require.Equal(t, c.limits, f.Turn("limits"), c.wording)
	}
	f, _ := r.Function("absorber")
	require.Equal(t, "common practice, no source", f.Source)
	f, _ = r.Function("emollient")
	require.Empty(t, f.Turns)
	require.Equal(t, "preservative", r.NearestFunctions("preservativ", 3)[0])
	require.Len(t, r.NearestFunctions("preservativ", 2), 2)
	require.Empty(t, r.NearestFunctions("xqzvw", 3))
	list := r.Functions()
	official := map[string]bool{}
	for _, f := range list {
		require.NotEmpty(t, f.Word)
		official[f.Word] = official[f.Word] || f.Source == "official"
	}
	for _, f := range r.inventory.Functions() {
		got, ok := r.Function(f.Word)
		require.True(t, ok && len(got.Official) > 0, f.Word)
	}
	require.True(t, official["anti-sebum"], "an official word that no customary one is")
	list[0] = nil
	require.NotNil(t, r.Functions()[0], "the list is the caller's own")
}
