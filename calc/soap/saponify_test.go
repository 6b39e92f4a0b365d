package soap_test

import (
	"encoding/csv"
	"math/rand"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc"
	"gallipot/calc/calctest"
	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
)

func exactSV(t testing.TB, p *formula.Product, ingredient, value string) {
	t.Helper()
	a, err := exact.ParseNum(value)
	require.NoError(t, err)
	p.Saponify.Values = append(p.Saponify.Values, formula.OwnSV{Ingredient: ingredient, MgKOH: exact.Exactly(a)})
}

func pctOf(t testing.TB, r *calc.Result, inci string) exact.Num {
	t.Helper()
	s := r.Whole().Find(inci)
	if s == nil {
		return exact.Num{}
	}
	return s.Pct.Typ
}

// TestPublishedSaponification compares with stoichiometry and lye tables. Each
// row has its source; a range must cover the result within the tolerance.
func TestPublishedSaponification(t *testing.T) {
	f, err := os.Open("../../testdata/published/saponification.csv")
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 13)
	at := map[string]int{}
	for i, h := range rows[0] {
		at[h] = i
	}
	for _, row := range rows[1:] {
		cell := func(h string) string { return row[at[h]] }
		t.Run(cell("case"), func(t *testing.T) {
			require.NotEmpty(t, cell("source"))
			require.Contains(t, []string{"seen", "memory"}, cell("seen"))
			fat, _, _ := strings.Cut(cell("fat"), " as ")
			if fat == "Glyceryl Tristearate" {
				fat = "Olea Europaea Fruit Oil" // any glyceride; the value is given
			}
			for _, sv := range strings.Split(cell("sv_mg_koh_g"), "-") {
				got := saponified(t, cell("what"), fat, sv, cell("fat_g"), cell("alkali"), cell("excess_pct"))
				lo, hi, ranged := strings.Cut(cell("expect"), "-")
				if !ranged {
					hi = lo
				}
				low, _ := strconv.ParseFloat(lo, 64)
				high, _ := strconv.ParseFloat(hi, 64)
				tol, err := strconv.ParseFloat(cell("tolerance"), 64)
				require.NoError(t, err)
				assert.GreaterOrEqual(t, got, low-tol, cell("source"))
				assert.LessOrEqual(t, got, high+tol, cell("source"))
			}
		})
	}
}

// saponified runs the engine on one fat and returns what the case asks for, in g.
func saponified(t *testing.T, what, fat, sv, fatG, lye, excess string) float64 {
	t.Helper()
	sheets := formulatest.SoapSheets(t, "fat", fat)
	p := formulatest.SoapProduct(t, lye, "fat", fatG, "water", "300")
	exactSV(t, p, "fat", sv)
	p.Saponify.ExcessFatPct = formulatest.Ptr(formulatest.Num(t, excess))
	r := calctest.Assess(t, p, &formula.Variant{}, "bar-soap", rows.GB, 20261125, sheets...)
	require.Len(t, r.Reactions, 1)
	needed := r.Reactions[0].NeededPct.Mul(formulatest.Num(t,
		fatG).Add(formulatest.Num(t, "300"))).Quo(formula.Hundred) // g
	if what == "alkali" {
		return needed.Float()
	}
	// the same again with exactly that lye in the formula
	p = formulatest.SoapProduct(t, lye, "fat", fatG, "water", "300")
	p.Formula.Phases[0].Lines = append(p.Formula.Phases[0].Lines,
		formula.Line{Ingredient: strings.ToLower(lye), Amount: needed, Pos: exact.Pos{File: "f", Line: 30}})
	exactSV(t, p, "fat", sv)
	r = calctest.Assess(t, p, &formula.Variant{}, "bar-soap", rows.GB, 20261125, sheets...)
	total := formulatest.Num(t, fatG).Add(formulatest.Num(t, "300")).Add(needed).Float()
	switch what {
	case "glycerin":
		return pctOf(t, r, "Glycerin").Float() * total / 100
	case "water formed":
		return pctOf(t, r, "Aqua").Float()*total/100 - 300
	}
	require.Equal(t, "soap", what)
	return r.Reactions[0].Soap.Typ.Float() * total / 100
}

// TestSoapBalance holds everything about one bar together, by hand:
// 500 g coconut (248 to 265, middle 256.5) and 500 g olive (182 to 196 with the
// pomace oil of the same name, middle 189) take 128.25 + 94.5 = 222.75 g KOH, which
// is 158.80 g NaOH; 151.2 g leave 4.78 % of the fat. 10 % of 1451.2 g dry off.
func TestSoapBalance(t *testing.T) {
	p := formulatest.SoapProduct(t, "NaOH", "coconut", "500", "olive", "500", "naoh", "151.2", "water", "300")
	p.Saponify.WaterLossPct = formulatest.Num(t, "10")
	p.Saponify.ExcessFatPct = formulatest.Ptr(formulatest.Num(t, "5"))
	r := calctest.Assess(t, p, &formula.Variant{}, "bar-soap", rows.GB, 20261125,
		formulatest.SoapSheets(t, "coconut", "Cocos Nucifera Oil", "olive", "Olea Europaea Fruit Oil")...)
	assert.NotContains(t, strings.Join(formulatest.Codes(r.Findings), "\n"), "lye-excess")
	x := r.Reactions[0]
	assert.InDelta(t, 4.78, x.ExcessFatPct.Typ.Float(), 0.01)
	// lowest values 248 and 182 take 215 g KOH = 153.27 g NaOH: 151.2 g leave 1.35 % of the fat
	assert.InDelta(t, 1.35, x.ExcessFatPct.Min.Float(), 0.01)
	assert.True(t, x.FreeAlkali.IsZero())
	sold := 1451.2 * 0.9
	// glycerin 151.2 × 92.09/120.00 = 116.03 g; unreacted 47.83 g of 1000
	assert.InDelta(t, 116.03/sold*100, pctOf(t, r, "Glycerin").Float(), 0.01)
	assert.InDelta(t, 47.83/sold*100, x.UnreactedFat.Typ.Float(), 0.02)
	assert.InDelta(t, (300-145.12)/sold*100, pctOf(t, r, "Aqua").Float(), 0.01)
	// soap: 952.17 g fat + 151.2 − 116.03
	assert.InDelta(t, (952.17+151.2-116.03)/sold*100, x.Soap.Typ.Float(), 0.02)
	assert.Equal(t, "Sodium Cocoate", r.List.Entries[0].Name)
	names := r.List.Line()
	assert.Contains(t, names, "Sodium Olivate")
	assert.Contains(t, names, "Cocos Nucifera Oil", "the fat that is left")
	assert.NotContains(t, names, "Sodium Hydroxide")
	sumsTo100(t, r)
}

func sumsTo100(t *testing.T, r *calc.Result) {
	t.Helper()
	for _, c := range r.Compositions {
		var sum, shares exact.Num
		for _, s := range c.Substances {
			sum = sum.Add(s.Pct.Typ)
			require.True(t, s.Pct.Min.Sign() >= 0 && !s.Pct.Typ.Less(s.Pct.Min) && !s.Pct.Max.Less(s.Pct.Typ), "%s %v",
				s.INCI, s.Pct)
		}
		for _, s := range c.Mixture.Shares {
			shares = shares.Add(s.Pct)
		}
		require.Equal(t, "100", sum.Exact(), "contents as sold")
		require.Equal(t, "100", shares.Exact(), "shares as sold")
	}
}

// TestSaponificationKeepsMass is the promise that nothing is lost or made: over
// many fats, lyes, purities, losses, portions and scents the contents as sold
// add up to exactly 100, each within its bounds.
func TestSaponificationKeepsMass(t *testing.T) {
	fats := table.Builtin().Fats
	rnd := rand.New(rand.NewSource(8))
	stopped := 0
	for range 150 {
		sheets := []*ingredients.Sheet{formulatest.Sheet(t, "naoh", "Sodium Hydroxide", "98-100", "Aqua", "q.s."),
			formulatest.Sheet(t, "koh", "Potassium Hydroxide", "85-92", "Aqua", "q.s."),
			formulatest.Sheet(t, "water", "Aqua", "100"), formulatest.Sheet(t, "clay", "Kaolin", "100"),
			formulatest.ScentSheet("fo")}
		p := formulatest.SoapProduct(t, []string{"NaOH", "KOH", "NaOH+KOH"}[rnd.Intn(3)], "water",
			strconv.Itoa(250+rnd.Intn(200)))
		add := func(id string, g int) {
			p.Formula.Phases[0].Lines = append(p.Formula.Phases[0].Lines,
				formula.Line{Ingredient: id, Amount: exact.Int(int64(g)),
					Pos: exact.Pos{File: "f", Line: 30 + len(p.Formula.Phases[0].Lines)}})
		}
		for i := range 1 + rnd.Intn(5) {
			f := fats[rnd.Intn(len(fats))]
			id := "fat" + strconv.Itoa(i)
			if rnd.Intn(3) == 0 {
				sheets = append(sheets, formulatest.Sheet(t, id, f.Names()[0], "98-99.9", "Tocopherol", "q.s."))
			} else {
				sheets = append(sheets, formulatest.Sheet(t, id, f.Names()[0], "100"))
			}
			add(id, 50+rnd.Intn(600))
		}
		for _, a := range p.Saponify.Alkali {
			add(strings.ToLower(a), 20+rnd.Intn(120))
		}
		add("clay", 1+rnd.Intn(30))
		p.Formula.Phases[0].Lines = append(p.Formula.Phases[0].Lines,
			formula.Line{Slot: "scent", Amount: exact.Int(20), Pos: exact.Pos{File: "f", Line: 60}})
		v := &formula.Variant{Fill: []formula.Fill{formulatest.Fill("scent", "fo")}}
		if rnd.Intn(2) == 0 {
			v = &formula.Variant{Portions: []formula.Portion{{Name: "a", SharePct: exact.Int(30),
				Fill: []formula.Fill{formulatest.Fill("scent", "fo")}}, {Name: "b", SharePct: exact.Int(70)}}}
		}
		p.Saponify.WaterLossPct = exact.Frac(int64(rnd.Intn(150)), 10)
		r := calctest.Assess(t, p, v, "bar-soap", rows.EU, 20261125, sheets...)
		require.Len(t, r.Reactions, len(r.Compositions))
		if slices.Contains(formulatest.Codes(r.Findings), "stop lye-excess") {
			stopped++
			require.True(t, r.Reactions[0].FreeAlkali.Typ.Sign() > 0)
		}
		sumsTo100(t, r)
		for _, x := range r.Reactions {
			sum := x.Soap.Typ.Add(x.Glycerin.Typ).Add(x.UnreactedFat.Typ).Add(x.Water.Typ).Add(x.FreeAlkali.Typ)
			require.False(t, formula.Hundred.Less(sum))
		}
	}
	require.NotZero(t, stopped, "some of the random bars have too much lye")
	require.Less(t, stopped, 150)
}

// TestReactionBounds draws saponification values inside their ranges and wants
// each outcome inside the bounds that the ranges gave.
func TestReactionBounds(t *testing.T) {
	sheets := formulatest.SoapSheets(t, "shea", "Butyrospermum Parkii Butter", "olive",
		"Olea Europaea Fruit Oil", "stearic", "Stearic Acid")
	lines := []string{"shea", "300", "olive", "600", "stearic", "60", "naoh", "120", "koh", "15", "water", "280"}
	wide := calctest.Assess(t, formulatest.SoapProduct(t, "NaOH+KOH", lines...), &formula.Variant{}, "bar-soap",
		rows.GB, 20261125, sheets...)
	rnd := rand.New(rand.NewSource(9))
	between := func(lo, hi int) string { return strconv.Itoa(lo + rnd.Intn(hi-lo+1)) }
	for range 100 {
		p := formulatest.SoapProduct(t, "NaOH+KOH", lines...)
		exactSV(t, p, "shea", between(160, 195))
		exactSV(t, p, "olive", between(182, 196)) // olive and pomace share the name
		exactSV(t, p, "stearic", between(195, 212))
		r := calctest.Assess(t, p, &formula.Variant{}, "bar-soap", rows.GB, 20261125, sheets...)
		for _, s := range r.Whole().Substances {
			w := wide.Whole().Find(s.INCI)
			require.NotNil(t, w, s.INCI)
			require.False(t, s.Total.Typ.Less(w.Total.Min), "%s %s below %s", s.INCI, s.Total.Typ.Sig(6), w.Total.Min.Sig(6))
			require.False(t, w.Total.Max.Less(s.Total.Typ), "%s %s above %s", s.INCI, s.Total.Typ.Sig(6), w.Total.Max.Sig(6))
		}
	}
}

func TestLyeFindings(t *testing.T) {
	sheets := func(more ...string) []*ingredients.Sheet {
		return formulatest.SoapSheets(t,
			append(more, "olive", "Olea Europaea Fruit Oil", "shea", "Butyrospermum Parkii Butter")...)
	}
	run := func(p *formula.Product, more ...string) (string, *calc.Result) {
		r := calctest.Assess(t, p, &formula.Variant{}, "bar-soap", rows.GB, 20261125, sheets(more...)...)
		return strings.Join(formulatest.Codes(r.Findings), "\n"), r
	}
	// 1000 g olive take 135.4 g by middle values, 129.7 g by the lowest of olive and pomace (182)
	got, r := run(formulatest.SoapProduct(t, "NaOH", "olive", "1000", "naoh", "140", "water", "300"))
	assert.Contains(t, got, "stop lye-excess")
	assert.True(t, r.Reactions[0].FreeAlkali.Typ.Sign() > 0)
	assert.NotNil(t, r.Whole().Find("Sodium Hydroxide"))
	assert.Contains(t, r.List.Line(), "Sodium Hydroxide")

	got, r = run(formulatest.SoapProduct(t, "NaOH", "olive", "1000", "naoh", "133", "water", "300"))
	assert.Contains(t, got, "ask lye-excess-possible")
	assert.NotContains(t, got, "stop lye-excess")
	trace := r.Whole().Find("Sodium Hydroxide")
	require.NotNil(t, trace)
	assert.False(t, trace.IsIngredient())
	// 133 − 1000 × 0.182 × 40.00/56.11 = 3.254 g of 1433 g
	assert.InDelta(t, 3.254/1433*100, trace.Total.Max.Float(), 0.001)

	p := formulatest.SoapProduct(t, "NaOH", "olive", "1000", "naoh", "133", "water", "300")
	exactSV(t, p, "olive", "190")
	got, _ = run(p)
	assert.NotContains(t, got, "lye-excess", "the certificate of the lot settles it")

	p = formulatest.SoapProduct(t, "NaOH", "olive", "1000", "naoh", "100", "water", "300")
	p.Saponify.ExcessFatPct = formulatest.Ptr(formulatest.Num(t, "5"))
	got, _ = run(p)
	assert.Contains(t, got, "ask excess-fat")

	got, _ = run(formulatest.SoapProduct(t, "NaOH", "olive", "1000", "water", "300"))
	assert.Contains(t, got, "stop no-lye")
	got, _ = run(formulatest.SoapProduct(t, "KOH", "olive", "1000", "naoh", "120", "water", "300"))
	assert.Contains(t, got, "stop wrong-alkali")
	got, _ = run(formulatest.SoapProduct(t, "NaOH", "naoh", "120", "water", "300"))
	assert.Contains(t, got, "stop no-fat")
	p = formulatest.SoapProduct(t, "NaOH", "olive", "1000", "naoh", "125", "water", "50")
	p.Saponify.WaterLossPct = formulatest.Num(t, "10")
	got, r = run(p)
	assert.Contains(t, got, "stop water-loss")
	sumsTo100(t, r)
	got, r = run(formulatest.SoapProduct(t, "NaOH", "rosehip", "1000", "naoh", "120", "water", "300"), "rosehip",
		"Rosa Canina Seed Oil")
	assert.Contains(t, got, "ask soap-name")
	assert.Contains(t, r.List.Line(), "[sodium soap of Rosa Canina Seed Oil]")
	got, _ = run(formulatest.SoapProduct(t, "NaOH", "olive", "1000", "odd", "100", "naoh", "120", "water",
		"300"), "odd", "Moringa Oleifera Seed Oil")
	assert.Contains(t, got, "ask fat-unknown")
	p = formulatest.SoapProduct(t, "NaOH", "olive", "1000", "odd", "100", "naoh", "120", "water", "300")
	exactSV(t, p, "odd", "180")
	got, r = run(p, "odd", "Moringa Oleifera Seed Oil")
	assert.NotContains(t, got, "fat-unknown")
	assert.Len(t, r.Reactions[0].Fats, 2)
}

// TestWaxesAreNoLyeSink: beeswax may not react, so that the lye meant for it
// counts as possibly free.
func TestWaxesAreNoLyeSink(t *testing.T) {
	p := formulatest.SoapProduct(t, "NaOH", "olive", "1000", "wax", "100", "naoh", "133", "water", "300")
	exactSV(t, p, "olive", "184")
	r := calctest.Assess(t, p, &formula.Variant{}, "bar-soap", rows.GB, 20261125,
		formulatest.SoapSheets(t, "olive", "Olea Europaea Fruit Oil", "wax", "Cera Alba")...)
	assert.Contains(t, formulatest.Codes(r.Findings), "ask lye-excess-possible")
	assert.Contains(t, r.List.Line(), "Sodium Beeswax")
	glycerin := r.Reactions[0].Fats[0].AlkaliKOH.Typ.Mul(formulatest.Num(t, "92.09")).Quo(formulatest.Num(t,
		"168.33")).Mul(formula.Hundred).Quo(formula.Hundred)
	assert.Equal(t, glycerin.Fixed(6), pctOf(t, r, "Glycerin").Fixed(6), "a wax gives no glycerin")
}

// TestNothingReactsWithoutSaying: the same formula without saponify stays raw.
func TestNothingReactsWithoutSaying(t *testing.T) {
	p := formulatest.SoapProduct(t, "NaOH", "olive", "1000", "naoh", "125", "water", "300")
	p.Saponify = nil
	r := calctest.Assess(t, p, &formula.Variant{}, "bar-soap", rows.GB, 20261125,
		formulatest.SoapSheets(t, "olive", "Olea Europaea Fruit Oil")...)
	assert.Nil(t, r.Reactions)
	assert.Contains(t, r.List.Line(), "Sodium Hydroxide")
}
