package soap

import (
	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law/table"
	"gallipot/ingredients"
	"gallipot/testdata/testrun"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestMain(m *testing.M) { testrun.Main(m) }

// What is printed as the most must pass: never above the figure, and the last of the
// digits is used. By hand.
func TestDownText(t *testing.T) {
	for _, c := range []struct {
		n      string
		digits int
		want   string
	}{
		{"0.58997", 4, "0.5899"}, {"0.5899", 4, "0.5899"}, {"1234.56", 4, "1234"}, {"1234.4", 4, "1234"},
		{"0.0099996", 3, "0.00999"}, {"9.9996", 2, "9.9"},
		{"10", 3, "10"}, {"9.96", 2, "9.9"}, {"10.06", 3, "10"}, {"99.97", 3, "99.9"}, {"1", 1, "1"}, {"1.99", 1, "1"},
	} {
		assert.Equal(t, c.want, formulatest.Num(t, c.n).SigDown(c.digits), c.n)
	}
	for n, want := range map[string]string{"6.66548": "6.6654", "6.6654": "6.6654", "0.00009": "0"} {
		assert.Equal(t, want, downTo(formulatest.Num(t, n)))
	}
}

// TestSoapNamesOfTheInventory: soap names in no edition of the inventory are marked.
//
// Source: inventory of cosmetic ingredient names, editions 2006, 2020 and 2026.
func TestSoapNamesOfTheInventory(t *testing.T) {
	tables := table.Builtin()
	dict := tables.Dictionary()
	formed := map[string]bool{}
	for _, f := range tables.Fats {
		for _, potassium := range []bool{false, true} {
			for _, s := range f.Soaps(potassium) {
				formed[s.INCI] = !listedName(dict, s.INCI)
			}
		}
	}
	for _, n := range []string{"Potassium Sweet Almondate", "Potassium Avocadoate", "Potassium Lardate",
		"Sodium Jojobate", "Sodium Hempseedate"} {
		assert.True(t, formed[n], n)
	}
	for _, n := range []string{"Sodium Olivate", "Sodium Cocoate", "Potassium Olivate", "Potassium Hempseedate",
		"Sodium Rapeseedate"} {
		assert.False(t, formed[n], n)
	}
}

// An oil that the table has no value for is asked about, unless it is there to scent: as a
// scent, with a certificate for fragrances, or by its function; one with a value of the
// maker's own is not.
func TestOilsThatNobodyKnows(t *testing.T) {
	in := formulatest.OfType(t, "bar-soap", formula.Adults, nil)
	in.Product.Saponify = &formula.Saponification{Values: []formula.OwnSV{{Ingredient: "own"}}}
	in.Sheets = map[string]*ingredients.Sheet{}
	add := func(id, functions string, change func(*ingredients.Sheet)) {
		s := formulatest.Material(t, id, functions, "Exemplum Borealis Seed Oil", "100")
		if change != nil {
			change(s)
		}
		in.Sheets[id] = s
	}
	add("oil", "emollient", nil)
	add("scent", "", func(s *ingredients.Sheet) { s.LabelAs = ingredients.LabelParfum })
	add("certified", "", func(s *ingredients.Sheet) { formulatest.Certified(t, s, "9", "1") })
	add("scenting", "fragrance", nil)
	add("own", "emollient", nil)
	add("water", "solvent", func(s *ingredients.Sheet) { s.Composition.Constituents[0].INCI = "Aqua" })
	add("olive", "emollient", func(s *ingredients.Sheet) { s.Composition.Constituents[0].INCI = "Olea Europaea Fruit Oil" })
	in.Materials = formula.PrepareAll(in.Sheets, in.Dict)
	for id, want := range map[string][]string{"oil": {"ask fat-unknown"}, "scent": nil, "certified": nil,
		"scenting": nil,
		"own":      nil, "water": nil, "olive": nil, "missing": nil} {
		mix := formula.Mixture{Shares: []formula.Share{{Ingredient: id, Pct: formula.Hundred}}}
		assert.Equal(t, want, formulatest.Codes((&Reaction{}).strangeFats(in, mix)), id)
	}
}

// Fat left over, by hand: 6 given of 10 that the fat takes leave 40 %; of a fat that may
// take nothing only the typical value says so. 6 of 8 to 12: 100 − 6/8 = 25 to 100 − 6/12 = 50 %.
func TestFatLeftOver(t *testing.T) {
	of := func(given, takes string) [3]string {
		r := &Reaction{GivenKOH: formulatest.Range(t, given), TakesKOH: formulatest.Range(t, takes)}
		r.degrees()
		return formulatest.ExactRange(r.ExcessFatPct)
	}
	assert.Equal(t, [3]string{"25", "40", "50"}, of("6", "8-12"))
	assert.Equal(t, [3]string{"40", "40", "40"}, of("6", "0-20"))
	assert.Equal(t, [3]string{"0", "0", "0"}, of("6", "0"))
	assert.Equal(t, [3]string{"-20", "-20", "-20"}, of("12", "10"))
}

// Figures of what lye and fat come to, as they are rounded.
func TestFiguresOfLye(t *testing.T) {
	r := &Reaction{Fats: []*FatUse{{TakesKOH: formulatest.Range(t, "1.23456-2.34567")}}}
	v, ok := r.terms()[0].Values.Get("takes")
	assert.True(t, ok)
	assert.Equal(t, []string{"1.235", "2.346"}, []string{v.Round.Of(v.Low), v.Round.Of(v.High())})
}
