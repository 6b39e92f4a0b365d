package checks_test

import (
	"strings"
	"testing"

	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/paper"
	"gallipot/dossier/transcribe/recipe"

	"github.com/stretchr/testify/require"
)

// Documents and figures are invented; what is wanted was worked out by hand.
func TestChecks(t *testing.T) {
	words, err := lexicon.Load()
	require.NoError(t, err)
	for name, c := range map[string]struct {
		text   string
		said   []string
		silent []string
	}{
		"a sum of 99.5 is asked about and not scaled": {"Ingredient,%\nWater,70\nGlycerin,20\nOil,9.5\n",
			[]string{"the lines sum to 99.5 %, 0.5 % too little"}, nil},
		"a sum of 101": {"Ingredient,%\nWater,70\nGlycerin,20\nOil,11\n",
			[]string{"101 %, 1 % too much"}, nil},
		"the rest and what is left for it": {"Ingredient,%\nWater,to 100\nGlycerin,20\nOil,11\n",
			[]string{"the rest to 100 is Water: 69 %"}, []string{"which line is wrong"}},
		"no room for the rest": {"Ingredient,%\nWater,to 100\nGlycerin,60\nOil,45\n",
			[]string{"nothing is left for the rest, Water"}, nil},
		"two rests": {"Ingredient,%\nWater,to 100\nRose water,to 100\nOil,45\n",
			[]string{"two lines are the rest (Water, Rose water)"}, nil},
		"an acid that is q.s. is no rest": {"Ingredient,%\nWater,q.s.\nOil,45\nCitric acid,q.s.\n",
			[]string{"Citric acid goes to a pH", "the rest to 100 is Water: 55 %"}, nil},
		"q.s. where the others make 100": {"Ingredient,%\nWater,55\nOil,45\nBlue dye,q.s.\n",
			[]string{"Blue dye is q.s. without a word"}, []string{"the rest to 100 is"}},
		"drops are asked about": {"Ingredient,g\nOil,95\nWax,5\nLavender,20 drops\n",
			[]string{"Lavender: what is the mass of 20 drops"}, nil},
		"a material in two lines": {"Ingredient,g\nOil,95\nWax,5\nOil,10\n",
			[]string{"Oil stands 2 times (95 g and 10 g)"}, nil},
		"per cent and grams that contradict": {"Ingredient,%,g\nWater,70,350\nGlycerin,20,100\nOil,9,45\nWax,1,50\n", []string{"Wax: 1 and 50 g do not agree"}, []string{"Glycerin: 20"}},
		"a total that is not the sum": {"Ingredient,g\nOil,95\nWax,5\nTotal,110\n",
			[]string{"the document states 110 g, the lines sum to 100 g"}, nil},
		"no unit and no sum of 100": {"Ingredient,Amount\nOil,95\nWax,50\n",
			[]string{"no unit is printed: are the amounts per cent, grams or parts?"}, nil},
		"lye": {"Soap bar,\nIngredient,g\nOlive oil,500\nNaOH,64\nWater,150\n",
			[]string{"lye reacts"}, nil},
		"several versions in columns": {"Ingredient,v1 %,v2 %\nWater,70,60\nOil,30,40\n",
			[]string{"version 2 is read: is it the one in use?"}, nil},
		"trials side by side": {"Ingredient,Trial 1 %,Trial 2 %\nWater,70,60\nOil,30,40\n",
			[]string{"several trials stand side by side"}, nil},
	} {
		t.Run(name, func(t *testing.T) {
			f, err := paper.NewReader().Read("x.csv", []byte(c.text))
			require.NoError(t, err)
			r := recipe.Read(f, words)
			require.Len(t, r.Products, 1)
			all := strings.Join(append(append(r.Products[0].Asks, r.Products[0].Warnings...), r.Asks...), "\n")
			for _, s := range c.said {
				require.Contains(t, all, s)
			}
			for _, s := range c.silent {
				require.NotContains(t, all, s)
			}
		})
	}
}
