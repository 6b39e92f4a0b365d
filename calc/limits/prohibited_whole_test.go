package limits_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc"
	"gallipot/calc/calctest"
	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law/rows"
	"gallipot/calc/limits"
	"gallipot/ingredients/finding"
)

// annexIIOf assesses 1 % of a substance in a product of water.
func annexIIOf(t testing.TB, name, cas, function, productType string, market rows.Market, day int) *calc.Result {
	t.Helper()
	s := formulatest.Material(t, "case", function, name, "100")
	s.Composition.Constituents[0].CAS = cas
	p := formulatest.WithFormula(t, formula.Percent, "water", "q.s.", "case", "1")
	p.IntendedFor = "adults"
	return calctest.Assess(t, p, &formula.Variant{}, productType, market, day,
		formulatest.Material(t, "water", "solvent", "Aqua", "100"), s)
}

// saysOf are the findings of Annex II about a substance: code and severity.
func saysOf(r *calc.Result) (stops, asks []string) {
	for _, f := range r.Findings {
		switch f.Code {
		case "prohibited", "maybe-prohibited", "prohibited-trace", "limit-entry", "limit-undecided":
			if f.Severity == finding.Stop {
				stops = append(stops, f.Code)
			} else {
				asks = append(asks, f.Code)
			}
		}
	}
	return stops, asks
}

// prohibitedHere says whether a row of Annex II makes a stop.
func prohibitedHere(checks []limits.LimitCheck) string {
	for _, c := range checks {
		if c.Row.Annex == "II" && c.Verdict == limits.LimitExceeded && c.Row.Prohibited() {
			return c.Row.Key
		}
	}
	return ""
}

// TestSharedNumbers: a permitted colour, a citrus oil, bay leaf and neem leaf are
// not stopped by a number that they share with an entry of Annex II; what the
// entry names is.
func TestSharedNumbers(t *testing.T) {
	for _, c := range []struct{ name, cas, function, kind string }{
		{"CI 42090", "3844-45-9", "colorant",
			"permitted"}, // IV/63; II/1332 bars its salts as a hair dye
		{"CI 45370", "596-03-2", "colorant", "permitted"},                              // IV/75
		{"Citrus Limon Peel Oil", "84929-31-7", "fragrance", "permitted"},              // linked to II/358 as a carrier
		{"Citrus Aurantium Bergamia Peel Oil", "89957-91-5", "fragrance", "permitted"}, // likewise
		{"Laurus Nobilis Leaf Extract", "84603-73-6", "", "permitted"},                 // II/359 bars the oil of the seeds
		{"Azadirachta Indica Leaf Extract", "84696-25-3", "",
			"asked"}, // II/1716 bars the extract of the seed kernels
		{"Laurus Nobilis Seed Oil", "84603-73-6", "", "prohibited"},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := annexIIOf(t, c.name, c.cas, c.function, "body-lotion", rows.EU, 20261129)
			stop := prohibitedHere(r.Limits)
			if c.kind == "prohibited" {
				require.NotEmpty(t, stop, checkList(r))
				return
			}
			require.Empty(t, stop, checkList(r))
			_, asks := saysOf(r)
			if c.kind == "asked" {
				require.NotEmpty(t, asks)
			}
		})
	}
}

// Annex II/450 bars verbena oil and its derivatives other than the absolute, which
// III/196 allows up to 0.2 %; both are sold under one CAS number.
func TestVerbenaAbsolute(t *testing.T) {
	of := func(name, pct string) []string {
		m := formulatest.Material(t, "x", "perfuming", name, "100")
		m.Composition.Constituents[0].CAS = "8024-12-2"
		return limitCodes(calctest.Case{Product: "body-lotion"}.Of(t, m, pct))
	}
	for _, name := range []string{"Lippia Citriodora Absolute", "Verbena Absolute",
		"Verbena absolute (Lippia citriodora)"} {
		assert.NotContains(t, of(name, "0.2"), "stop prohibited", name)
		assert.NotContains(t, of(name, "0.2"), "stop over-limit", name)
		assert.NotContains(t, of(name, "0.21"), "stop prohibited", name)
		assert.Contains(t, of(name, "0.21"), "stop over-limit", name)
	}
	for _, name := range []string{"Lippia Citriodora Leaf Oil", "Verbena oil"} {
		assert.Contains(t, of(name, "0.1"), "stop prohibited", name)
	}
}

// An oil that is banned as a fragrance ingredient (Annex II/423, 436, 450, 1133) is
// stopped where it scents, and asked about where the sheet gives it another purpose:
// it scents all the same. A substance that is no plant is taken at its sheet's word.
func TestBannedScentUnderAnotherPurpose(t *testing.T) {
	for _, name := range []string{"Saussurea Lappa Root Oil", "Costus root oil", "Fig leaf absolute",
		"Verbena oil", "Inula Helenium Root Oil"} {
		of := func(function string) []string {
			return limitCodes(calctest.Case{Product: "body-lotion"}.Of(t,
				formulatest.Material(t, "x", function, name, "100"), "1"))
		}
		assert.Contains(t, of("perfuming"), "stop prohibited", name)
		assert.Contains(t, of("emollient"), "ask limit-undecided", name)
	}
	r := calctest.Case{Product: "body-lotion"}.Of(t,
		formulatest.Material(t, "x", "emollient", "Hydroabietyl Alcohol", "100"), "1")
	assert.NotContains(t, limitCodes(r), "ask limit-undecided")
}
