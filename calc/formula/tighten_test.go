package formula

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/dossier/words/wordstest"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
)

func num(t testing.TB, text string) exact.Num {
	t.Helper()
	n, err := exact.ParseNum(text)
	require.NoError(t, err)
	return n
}

func rangeOf(t testing.TB, text string) exact.Range {
	t.Helper()
	a, err := exact.ParseAmount(text)
	require.NoError(t, err)
	return a.Range
}

func exactRange(r exact.Range) [3]string {
	return [3]string{r.Min.Exact(), r.Typ.Exact(), r.Max.Exact()}
}

// Worked by hand: betaine 28-32, salt 4-7, the rest water.
//
//	water ≤ 100 − 28 − 4 = 68, water ≥ 100 − 32 − 7 = 61, typical 100 − 30 − 5.5 = 64.5
func TestTightenRest(t *testing.T) {
	given := []exact.Range{rangeOf(t, "28-32"), rangeOf(t, "4-7"), {}}
	tight, ok := Tighten(given, 2)
	require.True(t, ok)
	assert.Equal(t, [3]string{"28", "30", "32"}, exactRange(tight[0]))
	assert.Equal(t, [3]string{"4", "5.5", "7"}, exactRange(tight[1]))
	assert.Equal(t, [3]string{"61", "64.5", "68"}, exactRange(tight[2]))
}

// Worked by hand: 60-90 and 20-35 with nothing else.
//
//	a ≤ 100 − 20 = 80, a ≥ 100 − 35 = 65; b ≤ 100 − 60 = 40, so 35 stays; b ≥ 100 − 90 = 10, so 20 stays
//	typical 75 and 27.5 make 102.5; room downwards 75 − 65 = 10 and 27.5 − 20 = 7.5
//	a = 75 − 2.5 × 10/17.5 = 73 4/7, b = 27.5 − 2.5 × 7.5/17.5 = 26 3/7
func TestTightenCutsAndScales(t *testing.T) {
	tight, ok := Tighten([]exact.Range{rangeOf(t, "60-90"), rangeOf(t, "20-35")}, -1)
	require.True(t, ok)
	assert.Equal(t, [3]string{"65", "515/7", "80"}, exactRange(tight[0]))
	assert.Equal(t, [3]string{"20", "185/7", "35"}, exactRange(tight[1]))
}

func TestTightenImpossible(t *testing.T) {
	for _, c := range []struct{ a, b string }{{"60-70", "41-50"}, {"10-20", "30-79"}} {
		_, ok := Tighten([]exact.Range{rangeOf(t, c.a), rangeOf(t, c.b)}, -1)
		assert.False(t, ok, "%s and %s", c.a, c.b)
	}
}

// Bounds that are whole numbers are reached at whole numbers, so trying every
// whole composition finds the true bounds.
func TestTightenAgainstEveryComposition(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for range 400 {
		n := 2 + rng.IntN(3)
		lo, hi := make([]int, n), make([]int, n)
		given := make([]exact.Range, n)
		for i := range n {
			lo[i] = rng.IntN(60)
			hi[i] = lo[i] + rng.IntN(40)
			hi[i] = min(hi[i], 100)
			lo[i] = min(lo[i], hi[i])
			mid := exact.Frac(int64(lo[i]+hi[i]), 2)
			given[i] = exact.Range{Min: exact.Int(int64(lo[i])), Typ: mid, Max: exact.Int(int64(hi[i]))}
		}
		least, most, any := everyComposition(lo, hi)
		tight, ok := Tighten(given, -1)
		require.Equal(t, any, ok)
		if !ok {
			continue
		}
		var sum exact.Num
		for i := range n {
			require.Equal(t, exact.Int(int64(least[i])).Exact(), tight[i].Min.Exact())
			require.Equal(t, exact.Int(int64(most[i])).Exact(), tight[i].Max.Exact())
			require.False(t, tight[i].Typ.Less(tight[i].Min) || tight[i].Max.Less(tight[i].Typ))
			sum = sum.Add(tight[i].Typ)
		}
		require.Equal(t, "100", sum.Exact())
	}
}

// everyComposition tries all whole contents between the bounds that add up to
// 100 and returns the least and most of each.
func everyComposition(lo, hi []int) (least, most []int, any bool) {
	n := len(lo)
	least, most = make([]int, n), make([]int, n)
	at := make([]int, n)
	var try func(i, left int)
	try = func(i, left int) {
		if i == n-1 {
			if left < lo[i] || left > hi[i] {
				return
			}
			at[i] = left
			for k := range n {
				if !any || at[k] < least[k] {
					least[k] = at[k]
				}
				if !any || at[k] > most[k] {
					most[k] = at[k]
				}
			}
			any = true
			return
		}
		for v := lo[i]; v <= hi[i] && v <= left; v++ {
			at[i] = v
			try(i+1, left-v)
		}
	}
	try(0, 100)
	return least, most, any
}

// Contents that cannot add up to 100: too much at the least, or too little at the most.
func TestImpossibleCompositionWords(t *testing.T) {
	words := func(parts ...string) string {
		m := Prepare(sheet(t, "m", parts...), ingredients.NewDictionary())
		for _, f := range m.Findings {
			if f.Code == "impossible-composition" {
				return wordstest.Said(f).Message
			}
		}
		return ""
	}
	assert.Equal(t, "the constituents cannot add up to 100 %: the lowest contents already make 60 + 50 = 110 %",
		words("Aqua", "60-70", "Glycerin", "50"))
	assert.Equal(t, "the constituents cannot add up to 100 %: the highest contents make only 70 + 20 = 90 %",
		words("Aqua", "60-70", "Glycerin", "20"))
	assert.Equal(t, "", words("Aqua", "60-70", "Glycerin", "30-40"))
}

// What is declared twice is said with the place of the first; a scent without
// constituents stands at its sheet.
func TestPlacesOfDeclarations(t *testing.T) {
	twice := declared(t, scentSheet("fo"), ingredients.List2023, "Linalool", "1", "Linalool", "2", "Linalool", "3")
	for i := range twice.Allergens.Declared {
		twice.Allergens.Declared[i].Pos.Line = 10 + i
	}
	for _, f := range declarationFindings(twice, ingredients.NewDictionary()) {
		assert.Contains(t, wordstest.Said(f).Message, "is declared twice, first on line 10")
	}
	scent := scentSheet("fo")
	scent.Pos.Line, scent.Composition.Pos.Line = 3, 9
	assert.Equal(t, 3, Prepare(scent, ingredients.NewDictionary()).Parts[0].Pos.Line)
}

func TestContentsInWords(t *testing.T) {
	given := func(text, inMaterial string) string {
		return givenText(Contribution{Given: text, InMaterial: rangeOf(t, inMaterial)})
	}
	assert.Equal(t, "q.s. (61 to 68 %)", given(" q.s.", "61-68"))
	assert.Equal(t, "Q.S. (50 %)", given("Q.S.", "50"))
	assert.Equal(t, "4-7 %", given("4-7", "4-7"))
	assert.Equal(t, "5-10 %", given("5-10", "5-10"))
	assert.Equal(t, "5-9 %", given("5-9", "5-9"))
	assert.Equal(t, "300 ppm", given("300 ppm", "0.03"))
	assert.Equal(t, "5.5 %", given("5.5 %", "5.5"))
	assert.Equal(t, "", given("", "5.5"))
	// four digits that count, halves upward
	assert.Equal(t, "12.35", RangeText(rangeOf(t, "12.345")))
	assert.Equal(t, "1.234 to 56.79", RangeText(rangeOf(t, "1.2344-56.785")))
	assert.Equal(t, "the product", PlaceName(""))
	assert.Equal(t, "portion moss", PlaceName("moss"))
	c := Contribution{UsePct: num(t, "1.23456"), Ingredient: "fo", Given: "2", Pct: rangeOf(t, "0.0246912")}
	assert.Equal(t, "1.235 % of fo × 2 % in it = 0.02469 %", wordstest.Term((&Input{}).TermsOf([]Contribution{c})[0]))
}
