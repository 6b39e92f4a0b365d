package calc_test

import (
	"encoding/json"
	"maps"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc"
	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/calc/plaintest"
	"gallipot/ingredients"
	"gallipot/testdata"
)

// Variants that are computed together share what is alike in them, markets too: each result
// is the one that it has alone. The formulas are generated; each is varied in what its slots
// and portions are filled with.
func TestTogetherAsAlone(t *testing.T) {
	g := plaintest.NewGenerator(plaintest.NewBook(t, formulatest.PlainAsked()))
	compared, more := 0, 0
	ins := []*formula.Input{crowded(t)}
	for seed := range uint64(testdata.Cases(12, 100)) {
		ins = append(ins, inputOf(t, g.Generate(2000+seed)))
	}
	for seed, in := range ins {
		shared := &formula.Shared{}
		for _, v := range variantsOf(in) {
			together := *in
			together.Variant, together.Shared = v, shared
			rs := calc.AssessMarkets(&together, []rows.Market{rows.EU, rows.GB})
			for i, m := range []rows.Market{rows.EU, rows.GB} {
				alone := *in
				alone.Variant, alone.Market = v, m
				want, got := told(t, calc.Assess(&alone)), told(t, rs[i])
				require.Len(t, got, len(want))
				for k := range want {
					require.Equal(t, want[k], got[k], "seed %d, variant %s, %s", seed, v.ID, m)
				}
				compared++
				more += len(rs[i].Limits)
			}
		}
	}
	assert.Greater(t, compared, 40)
	assert.Greater(t, more, 5*compared, "limits were compared")
}

// variantsOf are a variant as generated, the same once more, with the fills of the slots
// changed about, without its portions, with them the other way round, and under other names.
func variantsOf(in *formula.Input) []*formula.Variant {
	again, about, whole, turned, named := *in.Variant, *in.Variant, *in.Variant, *in.Variant, *in.Variant
	again.ID, about.ID, whole.ID, turned.ID, named.ID = "again", "about", "whole", "turned", "named"
	about.Fill = slices.Clone(about.Fill)
	for i := range about.Fill {
		f := &about.Fill[i]
		f.Parts = slices.Clone(f.Parts)
		f.Parts[0].Ingredient = "water"
	}
	whole.Portions = nil
	turned.Portions = slices.Clone(turned.Portions)
	slices.Reverse(turned.Portions)
	named.Portions = slices.Clone(named.Portions)
	for i := range named.Portions {
		named.Portions[i].Name += " again"
	}
	return []*formula.Variant{in.Variant, &again, &about, &whole, &turned, &named}
}

// A variant whose material states a value and one whose material states none have the margins
// that each has alone, whichever comes first.
func TestStatedValuesAreOfTheirVariant(t *testing.T) {
	stated := formulatest.Pure(t, "skin conditioning", "Exemplum Acid")
	stated.ID = "stated"
	formulatest.Tox(t, stated, "NOAEL", "100", "", "")
	bare := formulatest.Pure(t, "skin conditioning", "Exemplum Acid")
	bare.ID = "bare"
	keeper := formulatest.Pure(t, "preservative", "Phenoxyethanol")
	keeper.ID = "keeper"
	own := formulatest.Pure(t, "preservative", "Phenoxyethanol")
	own.ID = "own"
	formulatest.Tox(t, own, "NOAEL", "10", "", "").Replaces = true
	sheets := map[string]*ingredients.Sheet{"water": formulatest.Sheet(t, "water", "Aqua", "100")}
	for _, s := range []*ingredients.Sheet{stated, bare, keeper, own} {
		sheets[s.ID] = s
	}
	tables := table.Builtin()
	kind, ok := law.ProductType(tables, "body-lotion")
	require.True(t, ok)
	in := &formula.Input{Product: formulatest.WithFormula(t, formula.Percent, "water", "q.s.", ":one", "1",
		":two", "0.5"),
		Type: kind, Sheets: sheets, Materials: formula.PrepareAll(sheets, tables.Dictionary()), Date: 20261125,
		Session: formulatest.Session(tables)}
	with := &formula.Variant{ID: "with", Fill: []formula.Fill{formulatest.Fill("one", "stated"),
		formulatest.Fill("two", "own")}}
	without := &formula.Variant{ID: "without", Fill: []formula.Fill{formulatest.Fill("one", "bare"),
		formulatest.Fill("two", "keeper")}}
	for _, order := range [][]*formula.Variant{{with, without}, {without, with}} {
		shared := &formula.Shared{}
		for _, v := range order {
			alone, together := *in, *in
			alone.Variant, alone.Market = v, rows.EU
			together.Variant, together.Shared = v, shared
			assert.Equal(t, told(t, calc.Assess(&alone)), told(t, calc.AssessMarkets(&together, []rows.Market{rows.EU})[0]))
		}
	}
}

// crowded is a product of substances that count together, that exclude each other and that
// are permitted for a purpose, with a slot that is scented.
func crowded(t *testing.T) *formula.Input {
	t.Helper()
	byID := map[string]*ingredients.Sheet{}
	add := func(s *ingredients.Sheet) { byID[s.ID] = s }
	add(formulatest.Traced(t, formulatest.Declared(t, formulatest.ScentSheet("fo"), ingredients.List2003,
		"Linalool", "20"),
		"Methyleugenol", "0.01"))
	for name, function := range map[string]string{"Methylparaben": "preservative", "Propylparaben": "preservative",
		"Methylchloroisothiazolinone": "preservative", "Methylisothiazolinone": "preservative",
		"Salicylic Acid": "preservative", "Sodium Salicylate": "preservative", "Sodium Hydroxide": "pH adjuster",
		"Potassium Hydroxide": "pH adjuster", "Titanium Dioxide": "UV filter", "Zinc Oxide": "colorant",
		"CI 77891": "colorant", "CI 10006": "colorant", "Retinol": "skin conditioning",
		"Retinyl Palmitate": "skin conditioning",
		"Sodium Fluoride":   "oral care", "Stannous Fluoride": "oral care", "Formaldehyde": "preservative",
		"Imidazolidinyl Urea": "preservative", "Cetrimonium Chloride": "preservative;hair conditioning",
		"Steartrimonium Chloride": "hair conditioning", "Ammonium Silver Zinc Aluminium Silicate": "preservative"} {
		add(formulatest.Traced(t, formulatest.Pure(t, function, name), "Lead", "0.0001"))
	}
	lines := []string{"water", "q.s.", ":one", "1"}
	for _, id := range slices.Sorted(maps.Keys(byID)) {
		if id != "fo" {
			lines = append(lines, id, "0.6")
		}
	}
	add(formulatest.Material(t, "water", "solvent", "Aqua", "100"))
	p := formulatest.WithFormula(t, formula.Percent, lines...)
	tables := table.Builtin()
	kind, ok := law.ProductType(tables, "body-lotion")
	require.True(t, ok)
	scented := []formula.Fill{formulatest.Fill("one", "fo")}
	v := &formula.Variant{Fill: []formula.Fill{formulatest.Fill("one", "water")}, Portions: []formula.Portion{
		{Name: "rose", SharePct: formulatest.Num(t, "60"), Fill: scented}, {Name: "plain",
			SharePct: formulatest.Num(t, "40")}}}
	return &formula.Input{Product: p, Variant: v, Type: kind, Sheets: byID, Materials: formula.PrepareAll(byID,
		tables.Dictionary()), Date: 20261125,
		Session: formulatest.Session(tables)}
}

// told is all that a result says, a line for each thing.
func told(t *testing.T, r *calc.Result) []string {
	t.Helper()
	var out []string
	add := func(x any) {
		text, err := json.Marshal(x)
		require.NoError(t, err)
		out = append(out, string(text))
	}
	for _, f := range r.Findings {
		add(f)
	}
	for _, c := range r.Limits {
		add(c.Basis())
		add(c.Room())
		add(formula.EntryOf(c.Row))
		c.Row, c.Shape.Uses, c.Shape.Terms = nil, nil, nil
		add(c)
	}
	for _, m := range r.Margins {
		add(m)
	}
	for _, x := range []any{r.SumMargins, r.Aggregates, r.LocalDoses, r.Traces, r.Allergens, r.Fragrances,
		r.FragranceSums, r.Standards, r.OtherLaw, r.Exposure, r.Inhalation, r.List.Line()} {
		add(x)
	}
	return out
}
