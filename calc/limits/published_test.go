package limits_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc"
	"gallipot/calc/calctest"
	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law/rows"
	"gallipot/calc/limits"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
	"gallipot/testdata/published"
)

// TestLimitsPublishedCases puts each published limit through the whole engine,
// just at the limit and just above it. Expected values: limits_cases.csv, source
// per row; where the law counts another substance the contents follow from molar
// masses (IUPAC standard atomic weights), not from the factors of our table.
func TestLimitsPublishedCases(t *testing.T) {
	cases := published.Rows(t, "limits_cases.csv")
	require.GreaterOrEqual(t, len(cases), 60)
	for _, c := range cases {
		t.Run(c["id"]+" "+c["substance"]+" "+c["product_type"], func(t *testing.T) {
			if c["kept_pct"] != "" {
				kept := publishedCase(t, c, c["kept_pct"])
				assert.True(t, hasCheck(t, kept, c, limits.LimitKept),
					"no row of the entry with that figure is kept at %s %%: %s", c["kept_pct"], checkList(kept))
				assert.False(t, hasCheck(t, kept, c, limits.LimitExceeded), "exceeded at %s %%: %s", c["kept_pct"], checkList(kept))
			}
			over := publishedCase(t, c, c["exceeded_pct"])
			assert.True(t, hasCheck(t, over, c, limits.LimitExceeded), "not exceeded at %s %%: %s", c["exceeded_pct"],
				checkList(over))
			assert.NotEmpty(t, stopsOn(over, c["substance"]), "no stop: %v", formulatest.Codes(over.Findings))
		})
	}
}

// publishedCase assesses a product of water with the case's substance.
func publishedCase(t *testing.T, c map[string]string, pct string) *calc.Result {
	t.Helper()
	day, err := exact.ParseDate(c["date"])
	require.NoError(t, err)
	sheets := []*ingredients.Sheet{formulatest.Material(t, "water", "solvent", "Aqua", "100"),
		formulatest.Material(t, "case", c["function"], c["substance"], "100")}
	sheets[1].Composition.Constituents[0].CAS = c["cas"]
	lines := []string{"water", "q.s.", "case", pct}
	for with := range strings.SplitSeq(c["with"], ";") {
		if name, more, ok := strings.Cut(with, "="); ok {
			id := strings.ToLower(strings.ReplaceAll(name, " ", "-"))
			sheets = append(sheets, formulatest.Material(t, id, c["function"], name, "100"))
			lines = append(lines, id, more)
		}
	}
	p := formulatest.WithFormula(t, formula.Percent, lines...)
	p.IntendedFor = formula.Audience(c["intended_for"])
	professional := c["professional"] == "yes"
	p.Professional = &professional
	return calctest.Assess(t, p, &formula.Variant{}, c["product_type"], rows.Market(c["market"]), int(day), sheets...)
}

// hasCheck says whether a row of the case's entry with its figure has a verdict.
func hasCheck(t *testing.T, r *calc.Result, c map[string]string, verdict limits.LimitVerdict) bool {
	t.Helper()
	figure := formulatest.Num(t, c["figure_pct"])
	for _, l := range r.Limits {
		if l.Row.Annex != c["annex"] || c["entry"] != "" && l.Row.Entry != c["entry"] || l.Verdict != verdict {
			continue
		}
		if l.LimitPct != nil && l.LimitPct.Equal(figure) || l.Row.Annex == "IV" && figure.IsZero() {
			return true
		}
	}
	return false
}

func checkList(r *calc.Result) string {
	var out []string
	for _, l := range r.Limits {
		limit := "-"
		if l.LimitPct != nil {
			limit = l.LimitPct.Exact()
		}
		out = append(out, "\n  "+l.Row.Key+" "+limit+" "+string(l.Verdict)+": "+l.Content.Max.Sig(6)+" "+l.Reason)
	}
	return strings.Join(out, "")
}

// stopsOn returns the stop findings that name a substance.
func stopsOn(r *calc.Result, substance string) []finding.Finding {
	var out []finding.Finding
	canonical := r.Input.Dict.Canonical(substance)
	for _, f := range r.Findings {
		if f.Severity == finding.Stop && strings.Contains(f.Subject, canonical) {
			out = append(out, f)
		}
	}
	return out
}
