package listing_test

import (
	"slices"
	"strings"
	"testing"

	"gallipot/calc"
	"gallipot/calc/calctest"
	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law/rows"
	"gallipot/ingredients/exact"
)

var tolerance = exact.Frac(1, 100)

const today = 20261125

// withName assesses a leave-on or rinse-off product that holds one printed name.
func withName(t testing.TB, productType, printed, cas, pct string) *calc.Result {
	t.Helper()
	m := formulatest.Sheet(t, "m", printed, "100")
	m.Composition.Constituents[0].CAS = cas
	if strings.Contains(printed, "isothiazolinone") || strings.Contains(printed, "Ethylhexylglycerin") {
		m.Functions = []string{"preservative"}
	}
	return calctest.Assess(t, formulatest.WithFormula(t, formula.Percent, "base", "q.s.", "m", pct),
		&formula.Variant{}, productType, rows.EU, 20261125, formulatest.Squalane(t), m)
}

// hardCodes are the codes of kind stop and ask, once each, sorted.
func hardCodes(r *calc.Result) []string {
	var out []string
	for _, c := range formulatest.Codes(r.Findings) {
		if !strings.HasPrefix(c, "note ") && !slices.Contains(out, c) {
			out = append(out, c)
		}
	}
	slices.Sort(out)
	return out
}
