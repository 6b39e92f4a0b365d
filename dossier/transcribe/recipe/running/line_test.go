package running

import (
	"testing"

	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/recipe/terms"

	"github.com/stretchr/testify/require"
)

// Lines as makers write them: common practice, no source.
func TestLine(t *testing.T) {
	words, err := lexicon.Load()
	require.NoError(t, err)
	d := &Reader{terms.New(words, []string{"0.5"})}
	for text, want := range map[string][4]string{ // name, amount, unit, qs
		"castor oil           38 g":                         {"castor oil", "38", "g", ""},
		"- 45% sweet almond oil":                            {"sweet almond oil", "45", "%", ""},
		"glycerin 3 %":                                      {"glycerin", "3", "%", ""},
		"* Polysorbate 20 - 2 %":                            {"Polysorbate 20", "2", "%", ""},
		"Lactic acid 80 %  0.5 %":                           {"Lactic acid 80 %", "0.5", "%", ""},
		"citric acid 50 % solution to pH 5.4 (about 0.6 %)": {"citric acid 50 % solution", "", "", "to-ph"},
		"NaOH 10 %    q.s.":                                 {"NaOH 10 %", "", "", "open"},
		"Water: make up to 1000 g":                          {"Water", "", "", "to-100"},
		"water to 100":                                      {"water", "", "", "to-100"},
		"½ tsp mica":                                        {"mica", "0.5", "tsp", ""},
		"a pinch of mica":                                   {"mica", "1", "pinch", ""},
		"Beeswax .............. 14":                         {"Beeswax", "14", "", ""},
		"Vitamin E 70 0.5 g":                                {"Vitamin E 70", "0.5", "g", ""},
		"A  water 60 %":                                     {"water", "60", "%", ""},
		"shea butter 4 g, grated":                           {"shea butter", "4", "g", ""},
		"4,5 g de cire d'abeille (soit 30 %)":               {"cire d'abeille", "4.5", "g", ""},
		"0.3 g vitamin E (70 %)":                            {"vitamin E (70 %)", "0.3", "g", ""},
	} {
		t.Run(text, func(t *testing.T) {
			l, ok := d.Line(text)
			require.True(t, ok)
			if l.twin != nil {
				l.Name, l.amount = l.twin.Name, l.twin.amount
			}
			require.Equal(t, want, [4]string{l.Name, l.amount.Value, l.amount.Unit, string(l.amount.QS)})
		})
	}
	for _, text := range []string{
		"melt everything but mica + mint in the bain marie, 80 deg. stir mica in.", "mint under 60!!",
		"10 tubes of 7.5 ml and a bit over",
		"next time: try 2 g less castor", "Heat A to 40, hydrate an hour, B in slowly, then C.", "Batch: 600 g",
		"makes 12 bars", "Lactic acid 80 % solution", "",
	} {
		_, ok := d.Line(text)
		require.False(t, ok, text)
	}
}
