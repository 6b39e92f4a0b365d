package limits_test

import (
	"encoding/json"
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc"
	"gallipot/calc/calctest"
	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/calc/limits"
	"gallipot/ingredients"
)

// told is what a result says of limits, a line for each check and finding.
func told(t testing.TB, r *calc.Result) []string {
	t.Helper()
	var out []string
	add := func(x any) {
		text, err := json.Marshal(x)
		require.NoError(t, err)
		out = append(out, string(text))
	}
	for _, c := range r.Limits {
		add([]any{c.Row.Key, c.Substances, c.Content, c.WorstIn, c.LimitPct, c.Verdict, c.Reason, c.Missing,
			c.Contributions, c.HighestPct, c.Room(), c.Basis()})
	}
	for _, f := range r.Findings {
		add(f)
	}
	return out
}

// Variants that are computed together share what is alike in them, whatever differs beside
// it: each has the checks and findings that it has alone. What is the same in all stands in
// rows that add (III/89 with III/173, III/376), that exclude (V/39 and V/57), that permit
// (Annex IV), that another lifts (II/395) or rules for traces (II/1370); the slot and the
// portions bring in or leave out what belongs to the same rows.
func TestVariantsTogetherAsAlone(t *testing.T) {
	scent := func(id string, pairs ...string) *ingredients.Sheet {
		return formulatest.Declared(t, formulatest.ScentSheet(id), ingredients.List2023, pairs...)
	}
	sheets := map[string]*ingredients.Sheet{}
	lines := []string{"water", "q.s.", ":one", "1"}
	add := func(s *ingredients.Sheet, pct string) {
		sheets[s.ID] = s
		if pct != "" {
			lines = append(lines, s.ID, pct)
		}
	}
	add(formulatest.Material(t, "water", "solvent", "Aqua", "100"), "")
	add(scent("octynoate", "Methyl 2-Octynoate", "0.5"), "0.5")
	add(formulatest.Pure(t, "skin conditioning", "Retinol"), "0.03")
	add(formulatest.Material(t, "mi", "preservative", "Aqua", "99", "Methylisothiazolinone", "1"), "0.01")
	add(formulatest.Pure(t, "colour", "CI 45396"), "0.1")
	add(formulatest.Pure(t, "colour", "CI 10020"), "0.1")
	add(formulatest.Material(t, "oxy", "peroxide stabiliser", "Oxyquinoline Sulfate", "100"), "0.4")
	add(formulatest.Impure(t, formulatest.Pure(t, "humectant", "Glycerin"), "Diethylene Glycol", "0.5"), "5")
	add(formulatest.Pure(t, "buffering", "Triethanolamine"), "1")
	add(scent("octine", "Methyl octine carbonate", "0.9", "Linalool", "10"), "")
	add(scent("plain", "Linalool", "10"), "")
	add(formulatest.Material(t, "palmitate", "skin conditioning", "Retinyl Palmitate", "4", "Squalane", "96"), "")
	add(formulatest.Material(t, "mix", "preservative", "Aqua", "98.5", "Methylchloroisothiazolinone", "1.125",
		"Methylisothiazolinone", "0.375"), "")
	add(formulatest.Material(t, "keeper", "preservative", "Phenoxyethanol", "50", "Glycerin", "50"), "")
	add(formulatest.Material(t, "strong", "preservative", "Phenoxyethanol", "90", "Glycerin", "10"), "")
	p := formulatest.WithFormula(t, formula.Percent, lines...)
	p.IntendedFor = formula.Adults
	variant := func(id string, portions ...string) *formula.Variant {
		v := &formula.Variant{ID: id, Fill: []formula.Fill{formulatest.Fill("one", id)}}
		for i, fill := range portions {
			v.Portions = append(v.Portions, formula.Portion{Name: fmt.Sprint("p", i), SharePct: formulatest.Num(t, "10"),
				Fill: []formula.Fill{formulatest.Fill("one", fill)}})
		}
		if n := len(v.Portions); n > 0 {
			v.Portions[n-1].SharePct = formulatest.Num(t, fmt.Sprint(100-10*(n-1)))
		}
		return v
	}
	named := variant("plain", "mix", "plain")
	named.Portions[0].Name, named.Portions[1].Name = "left", "right"
	variants := []*formula.Variant{variant("keeper"), variant("strong"), named, named, variant("plain"), variant("octine"), variant("palmitate"), variant("mix"),
		variant("plain"), variant("plain", "mix", "plain"), variant("plain", "plain", "mix"),
		variant("plain", "octine", "palmitate", "mix"), variant("plain", "octine", "palmitate", "mix", "plain")}
	tables := table.Builtin()
	kind, ok := law.ProductType(tables, "hair-mask")
	require.True(t, ok)
	in := formula.Input{Product: p, Type: kind, Sheets: sheets, Date: today,
		Materials: formula.PrepareAll(sheets, tables.Dictionary()), Session: formulatest.Session(tables)}
	shared := &formula.Shared{}
	for i, v := range variants {
		together := in
		together.Variant, together.Shared = v, shared
		for _, r := range calc.AssessMarkets(&together, []rows.Market{rows.EU, rows.GB}) {
			alone := in
			alone.Variant, alone.Market = v, r.Input.Market
			want, got := told(t, calc.Assess(&alone)), told(t, r)
			require.Len(t, got, len(want))
			for k := range want {
				require.Equal(t, want[k], got[k], "variant %d, %s", i, r.Input.Market)
			}
		}
	}
}

// What one product asks of a material is not what another asks of it: of 3 % cocamide DEA the
// amine that the limit counts (III/60), of 0.5 % not, since all of it is within the limit.
func TestCriteriaOfTwoProducts(t *testing.T) {
	r := calctest.Case{Product: "shower-gel"}.Of(t, formulatest.Material(t, "dea", "foam boosting", "Cocamide DEA",
		"100"), "3")
	asked := func(r *calc.Result) int { return len(calctest.Finding(t, r, "criterion").Things) }
	less := *r.Input
	less.Product = formulatest.WithFormula(t, formula.Percent, "water", "q.s.", "dea", "0.5")
	less.Product.IntendedFor, less.Product.Professional = r.Input.Product.IntendedFor, r.Input.Product.Professional
	assert.Equal(t, asked(r)-1, asked(calc.Assess(&less)))
}

// With rules of the maker's own beside the tables, suppliers are asked the same as without.
func TestCriteriaBesideOwnRules(t *testing.T) {
	r := calctest.Case{Product: "body-lotion"}.Of(t, formulatest.Pure(t, "buffering", "Triethanolamine"), "1")
	want := calctest.Finding(t, r, "criterion")
	in := *r.Input
	in.Session = formula.NewSession(in.Law.WithLimits(ownRules(t, "house-1,own,house,EU+GB,Squalane,,,leave-on,5")))
	_, fs := limits.Limits(&in, r.Compositions)
	got := calctest.Finding(t, &calc.Result{Findings: fs}, "criterion")
	assert.Equal(t, []any{want.Severity, want.Subject, want.Things}, []any{got.Severity, got.Subject, got.Things})
}
