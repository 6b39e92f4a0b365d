package formula

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

func TestSmallWords(t *testing.T) {
	for given, want := range map[string]string{"Water": "water", "Az": "az", "Aa": "aa", "Zinc": "zinc",
		"A part": "a part",
		"B part": "B part", "CAS number": "CAS number", "A": "A", "": "", "A{": "A{", "A`": "A`", "pH": "pH"} {
		assert.Equal(t, want, LowerFirst(given), given)
	}
	for _, c := range []struct {
		words []string
		want  string
	}{{nil, ""}, {[]string{"a"}, "a"}, {[]string{"a", "b"}, "a and b"}, {[]string{"a", "b", "c"}, "a, b and c"}} {
		assert.Equal(t, c.want, JoinAnd(c.words))
	}
	assert.Nil(t, List(""))
	assert.Equal(t, []string{"a"}, List("a"))
	assert.Equal(t, []string{"the product", "portion rose"}, []string{PlaceName(""), PlaceName("rose")})
	v := finding.With().Name("x", "a")
	assert.True(t, HasValue(v, v[0]))
	assert.False(t, HasValue(v, finding.With().Name("x", "b")[0]))
	assert.Equal(t, []string{"the supplier", "Alder Supplies (invented)"}, []string{SupplierName(&ingredients.Sheet{}),
		SupplierName(supplied(&ingredients.Sheet{}, "Alder Supplies (invented)", ""))})
}

// Contents as they are repeated: a number alone is in per cent, words stay as they are.
func TestContentsAsGiven(t *testing.T) {
	for given, want := range map[string]string{"10": "10 %", " 0-9 ": "0-9 %", "10 %": "10 %", "5 ppm": "5 ppm", "": "",
		"< 10": "< 10 %", "about 10:": "about 10:", "1/": "1/"} {
		assert.Equal(t, want, givenOnly(Contribution{Given: given}), given)
	}
	assert.Equal(t, "q.s. (60 to 70 %)", givenText(Contribution{Given: "q.s.", InMaterial: rangeOf(t, "60-70")}))
	assert.Equal(t, "12.35 % of m × 10 % in it = 1.235 %", Contribution{Ingredient: "m", UsePct: num(t, "12.3456"),
		Given: "10", Pct: rangeOf(t, "1.23456")}.String())
	in := &Input{}
	rest := Contribution{Ingredient: "m", UsePct: num(t, "50"), Given: "q.s.", InMaterial: rangeOf(t, "60-70"),
		Pct: rangeOf(t, "30-35")}
	told := rest
	told.Given = "60-70"
	terms := in.TermsOf([]Contribution{rest, told})
	got, ok := terms[0].Values.Get("rest")
	assert.True(t, ok)
	assert.Equal(t, []string{"60", "70"}, []string{got.Low.Exact(), got.High().Exact()})
	assert.Equal(t, finding.FourDigits, got.Round)
	_, ok = terms[1].Values.Get("rest")
	assert.False(t, ok)
	result, _ := terms[1].Values.Get("result")
	use, _ := terms[1].Values.Get("use")
	assert.Equal(t, []string{"30", "35", "50"}, []string{result.Low.Exact(), result.High().Exact(), use.Low.Exact()})
}

// The widest range is the one whose supplier is asked; of equal ones the first, and with
// nothing open the supplier without a name.
func TestWhoseRangeIsWidest(t *testing.T) {
	sheets := map[string]*ingredients.Sheet{}
	for _, id := range []string{"a", "b"} {
		sheets[id] = supplied(sheet(t, id, "Aqua", "100"), "Supplier "+id, "")
	}
	in := &Input{Sheets: sheets}
	of := func(pairs ...string) (list []Contribution) {
		for i := 0; i < len(pairs); i += 2 {
			list = append(list, Contribution{Ingredient: pairs[i], Pct: rangeOf(t, pairs[i+1])})
		}
		return list
	}
	a, b := in.SupplierOf("a"), in.SupplierOf("b")
	assert.NotEqual(t, a, b)
	assert.Equal(t, []finding.Party{b, a, a, finding.TheSupplier}, []finding.Party{
		WidestParty(of("a", "10-11", "b", "1-3"), in), WidestParty(of("a", "1-3", "b", "10-11"), in),
		WidestParty(of("a", "1-3", "b", "2-4"), in), WidestParty(of("a", "5", "b", "7"), in)})
}

// A substance of 1 % in the whole and 3 % in one portion: the portion counts, with what it
// is made of; where the portions hold no more, the whole does.
func TestWorstMixture(t *testing.T) {
	materials := PrepareAll(map[string]*ingredients.Sheet{"water": sheet(t, "water", "Aqua", "100"),
		"oil": sheet(t, "oil", "Squalane", "100")}, ingredients.NewDictionary())
	mix := func(name, water, oil string) *Composition {
		return Compose(Mixture{Name: name, Shares: []Share{{Ingredient: "water", Pct: num(t, water)},
			{Ingredient: "oil", Pct: num(t, oil)}}}, materials)
	}
	whole, rose, plain := mix("", "99", "1"), mix("rose", "97", "3"), mix("plain", "100", "0")
	r, where, from := WorstOf(whole.Find("Squalane"), []*Composition{whole, rose, plain})
	assert.Equal(t, []string{"3", "rose", "3"}, []string{r.Max.Exact(), where, from[0].Pct.Max.Exact()})
	r, where, from = WorstOf(whole.Find("Aqua"), []*Composition{whole, rose})
	assert.Equal(t, []string{"99", "", "99"}, []string{r.Max.Exact(), where, from[0].Pct.Max.Exact()})
	_, where, _ = WorstOf(whole.Find("Squalane"), []*Composition{whole, mix("same", "99", "1")})
	assert.Equal(t, "", where)

	comps := []*Composition{whole, rose}
	assert.Equal(t, "rose", MixtureNamed(comps, "rose").Name)
	assert.Equal(t, "", MixtureNamed(comps, "none of that name").Name)
	assert.Equal(t, "1", MixtureNamed(comps, "").Shares[1].Pct.Exact())

	// two lines of one material are one use of it
	twice := Mixture{Shares: []Share{{Ingredient: "oil", Pct: num(t, "1")}, {Ingredient: "water", Pct: num(t, "96")},
		{Ingredient: "oil", Pct: num(t, "3")}}}
	want := []Use{{"oil", num(t, "4")}, {"water", num(t, "96")}}
	for _, got := range [][]Use{UseOf(twice), Compose(twice, materials).Uses(), (&Composition{Mixture: twice}).Uses()} {
		assert.Len(t, got, 2)
		for i := range want {
			assert.Equal(t, want[i].Ingredient+" "+want[i].Pct.Exact(), got[i].Ingredient+" "+got[i].Pct.Exact())
		}
	}
	in := &Input{Materials: materials}
	sheets := SheetsIn(in, []*Composition{Compose(twice, materials)})
	assert.Len(t, sheets, 2)
	assert.Equal(t, "oil", sheets[0].ID)
}

// Settled figures are those read in their source, or somebody's own.
func TestWhatWasRead(t *testing.T) {
	for seen, want := range map[string]bool{"seen": false, "partly": true, "memory": true, "none": true, "": true,
		SeenGiven: false, SeenAssessor: false} {
		assert.Equal(t, want, (&Stated{Seen: seen}).FromMemory(), seen)
	}
	var none *Stated
	assert.False(t, none.FromMemory())
	assert.Equal(t, []float64{2, 3}, []float64{none.Or(2), (&Stated{Value: 3}).Or(2)})
	assert.Equal(t, "1", none.Num().Exact())
	assert.Equal(t, []string{"a", "a (facts.csv, row k)", "(facts.csv, row k)"},
		[]string{Cite("a", "", "k"), Cite("a", "facts.csv", "k"), Cite("", "facts.csv", "k")})
	var third Stated
	third.Become(exact.Int(1).Quo(exact.Int(3)))
	assert.Equal(t, "1/3", third.Num().Exact())
	assert.InDelta(t, 1.0/3, third.Value, 1e-15)
	for _, c := range []struct {
		f      float64
		digits int
		want   string
	}{{9.9996, 4, "10"}, {1234567, 4, "1235000"}, {0.00012346, 4, "0.0001235"}, {1234.5, 4, "1234"}, {100, 4, "100"},
		{12.5, 3, "12.5"}, {12.5, 2, "12"}, {0, 4, "0"}} {
		assert.Equal(t, c.want, FigureSig(c.f, c.digits), c)
	}
	// 15 digits do not tell it from its bound: then all there are
	tenth := 0.1 // no constant, which Go adds up exactly
	assert.Equal(t, "0.30000000000000004", FigureBeside(tenth+0.2, 0.3))
	assert.Equal(t, []string{"0.3333", "0.33333"}, []string{FigureBeside(1.0/3, 1), FigureBeside(1.0/3, 0.3333)})
	assert.Equal(t, "0.00000030000000000000004", FigureBeside(math.Nextafter(3e-7, 1), 3e-7), "no exponent")
	assert.True(t, IsNear(1000+5e-7, 1000))
	assert.False(t, IsNear(0.001+5e-10, 0.001))
	calls := 0
	one := func() int { calls++; return 1 }
	assert.Equal(t, []int{1, -1, 1}, []int{CompareNear(1, 1+1e-12, one), CompareNear(1, 2, one), CompareNear(2, 1, one)})
	assert.Equal(t, 1, calls)
}
