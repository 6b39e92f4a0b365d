package calc_test

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
	"gallipot/dossier/words/wordstest"
	"gallipot/ingredients/finding"
)

// TestOtherLaw puts rules outside the annexes through the engine at the figure and
// beside it. Expected figures and days are those of the acts and opinions named.
func TestOtherLaw(t *testing.T) {
	for _, c := range []struct {
		name, inci, product string
		market              rows.Market
		day                 int
		pct                 string
		code, form          string // "": nothing is said
		severity            finding.Severity
	}{
		// Reg (EU) 2024/1328: wash-off products below 0.1 % of each from 6 June 2026
		{"D6 below", "Cyclohexasiloxane", "shampoo", rows.EU, 20261129, "0.0999", "", "", 0},
		{"D6 at the figure", "Cyclohexasiloxane", "shampoo", rows.EU, 20261129, "0.1", "other-law", "", finding.Stop},
		{"D6 a day early", "Cyclohexasiloxane", "shampoo", rows.EU, 20260605, "1", "other-law", "coming", finding.Ask},
		{"D6 left on, a year to go", "Cyclohexasiloxane", "body-lotion", rows.EU, 20261129, "1", "other-law",
			"coming", finding.Ask},
		{"D6 left on, in force", "Cyclohexasiloxane", "body-lotion", rows.EU, 20270606, "1", "other-law", "", finding.Stop},
		{"D6 in GB", "Cyclohexasiloxane", "shampoo", rows.GB, 20261129, "1", "", "", 0},
		{"D5 in GB washed off", "Cyclopentasiloxane", "shampoo", rows.GB, 20261129, "1", "other-law", "", finding.Stop},
		{"Cyclomethicone", "Cyclomethicone", "body-lotion", rows.EU, 20261129, "1", "other-law-open", "mixture", finding.Ask},
		// SCCS/1681/25: shampoo 2.0, shower gel 1.0, face cream 0.1 %; other products not judged
		{"tea tree in shampoo", "Melaleuca Alternifolia Leaf Oil", "shampoo", rows.EU, 20261129, "2", "proposal",
			"", finding.Ask},
		{"tea tree in shampoo above", "Melaleuca Alternifolia Leaf Oil", "shampoo", rows.EU, 20261129, "2.01",
			"opinion", "above", finding.Ask},
		{"tea tree in face cream", "Melaleuca Alternifolia Leaf Oil", "face-cream", rows.EU, 20261129, "0.11",
			"opinion", "above", finding.Ask},
		{"tea tree in a balm", "Melaleuca Alternifolia Leaf Oil", "lip-balm", rows.EU, 20261129, "0.01", "opinion",
			"not-judged", finding.Ask},
		// SCCS/1671/24: to 10 %
		{"EHMC at 10", "Ethylhexyl Methoxycinnamate", "sunscreen", rows.EU, 20261129, "10", "", "", 0},
		// SCCS/1679/25: safety of benzophenone-2 could not be shown
		{"benzophenone-2", "Benzophenone-2", "shampoo", rows.EU, 20261129, "0.1", "opinion", "no-level", finding.Ask},
		// the talc opinion of 20 September 2024 is not law
		// Reg (EU) 2024/197 replaced the entry of benzyl alcohol, no CMR: law NAME says so, no finding
		{"benzyl alcohol", "Benzyl Alcohol", "body-lotion", rows.EU, 20261129, "0.5", "", "", 0},
		{"talc", "Talc", "body-lotion", rows.EU, 20261129, "1", "proposal", "", finding.Ask},
		// Reg (EU) 2023/2055: beads at once, other rinse-off products four years on
		{"beads", "Polyethylene", "shower-gel", rows.EU, 20261129, "1", "microplastics", "beads", finding.Ask},
		{"beads in GB", "Polyethylene", "shower-gel", rows.GB, 20261129, "1", "microplastics", "particles", finding.Ask},
		{"powder left on", "Nylon-12", "body-lotion", rows.EU, 20261129, "1", "microplastics", "particles-coming",
			finding.Ask},
		{"powder left on in GB", "Nylon-12", "body-lotion", rows.GB, 20261129, "1", "", "", 0},
		{"glitter", "Polyethylene Terephthalate", "body-lotion", rows.EU, 20261129, "1", "microplastics", "glitter",
			finding.Ask},
		{"statement", "Nylon-12", "lipstick", rows.EU, 20261129, "1", "microplastics", "label-coming", finding.Ask},
		{"statement due", "Nylon-12", "lipstick", rows.EU, 20311017, "1", "microplastics", "label", finding.Ask},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := calctest.Case{Product: c.product, Market: c.market, Day: c.day}.Of(t,
				formulatest.Pure(t, "skin conditioning", c.inci), c.pct)
			var said []string
			for _, f := range r.Findings {
				switch f.Code {
				case "other-law", "other-law-open", "opinion", "proposal", "microplastics":
					said = append(said, f.Code+"/"+f.Form)
					if f.Code == c.code && f.Form == c.form {
						assert.Equal(t, c.severity, f.Severity)
						rule, ok := f.Values.Get("rule")
						require.True(t, ok)
						require.NotEmpty(t, rule.List, "it names what it rests on")
					}
				}
			}
			if c.code == "" {
				require.Empty(t, said)
				return
			}
			require.Contains(t, said, c.code+"/"+c.form)
		})
	}
}

// TestScrubIsStopped: plastic particles that a sheet calls an abrasive may not be
// in a wash-off product of either market.
func TestScrubIsStopped(t *testing.T) {
	for _, m := range []rows.Market{rows.EU, rows.GB} {
		r := calctest.Case{Product: "body-scrub-rinse-off", Market: m, Day: 20261129}.Of(t,
			formulatest.Pure(t, "abrasive", "Polyethylene"), "3")
		f := calctest.Finding(t, r, "microplastics")
		require.Equal(t, finding.Stop, f.Severity, m)
		require.Equal(t, "scrub", f.Form)
	}
	r := calctest.Case{Product: "body-scrub-rinse-off", Market: rows.EU, Day: 20261129}.Of(t,
		formulatest.Pure(t, "abrasive", "Prunus Amygdalus Dulcis Shell Powder"), "3")
	require.Empty(t, calctest.Findings(r, "microplastics"))
}

// TestPlasticGlitterOfWashOff: solid plastic particles may be in no wash-off product of
// Great Britain, scrubbing or not (Environmental Protection (Microbeads) (England)
// Regulations 2017, from 19 June 2018); in the EU they may until 17 October 2027.
func TestPlasticGlitterOfWashOff(t *testing.T) {
	said := func(m rows.Market, product string) (forms []string) {
		r := calctest.Case{Product: product, Market: m, Day: 20261129}.Of(t,
			formulatest.Pure(t, "opacifying", "Polyethylene Terephthalate"), "1")
		for _, f := range calctest.Findings(r, "microplastics") {
			require.Equal(t, finding.Ask, f.Severity)
			forms = append(forms, f.Form)
			require.NotContains(t, wordstest.Said(f).Why, " 0 %")
		}
		return forms
	}
	require.Equal(t, []string{"particles"}, said(rows.GB, "shower-gel"))
	require.Equal(t, []string{"glitter", "particles-coming"}, said(rows.EU, "shower-gel"))
	require.Empty(t, said(rows.GB, "body-lotion"))
}

// TestBelowIsSaid: cyclopentasiloxane must be below 0.1 % in wash-off products (REACH
// Annex XVII/70: 0.1 % or more is barred).
func TestBelowIsSaid(t *testing.T) {
	r := calctest.Case{Product: "shower-gel", Market: rows.EU, Day: 20261129}.Of(t,
		formulatest.Pure(t, "emollient", "Cyclopentasiloxane"), "0.1")
	f := calctest.Finding(t, r, "other-law")
	require.Equal(t, finding.Stop, f.Severity)
	require.Contains(t, wordstest.Said(f).Message, "must stay strictly below 0.1 %")
}

// TestOpinionNeverStops: an opinion's figure is never a limit, and a higher one
// never lifts a limit. SCCS/1677/25 accepts hydroxyapatite (nano) to 29.5 % in
// toothpaste; III/372 allows 10 %.
func TestOpinionNeverStops(t *testing.T) {
	s := formulatest.Pure(t, "abrasive", "Hydroxyapatite")
	s.Composition.Constituents[0].Nano = true
	r := calctest.Case{Product: "toothpaste", Market: rows.EU, Day: 20261129}.Of(t, s, "15")
	require.NotEmpty(t, calctest.Findings(r, "over-limit"), codesOfLimits(r))
	for _, f := range calctest.Findings(r, "opinion") {
		require.NotEqual(t, finding.Stop, f.Severity)
	}
}

// TestSalicylicAcidForChildren: SCCS/1675/25, ages 3 to 10: 0.5 % washed off,
// 0.15 % left on.
func TestSalicylicAcidForChildren(t *testing.T) {
	for _, c := range []struct {
		product, pct string
		said         bool
	}{{"shower-gel", "0.5", false}, {"shower-gel", "0.51", true}, {"body-lotion", "0.15", false},
		{"body-lotion", "0.16", true}} {
		r := calctest.Case{Product: c.product, Market: rows.EU, Day: 20261129,
			Audience: formula.ChildrenThree}.Of(t, formulatest.Pure(t, "skin conditioning", "Salicylic Acid"), c.pct)
		require.Equal(t, c.said, len(calctest.Findings(r, "opinion")) > 0, "%s %s: %v", c.product, c.pct,
			formulatest.Codes(r.Findings))
	}
}

// codesOfLimits are the findings of the annexes alone.
func codesOfLimits(r *calc.Result) []string {
	_, fs := limits.Limits(r.Input, r.Compositions)
	return formulatest.Codes(fs)
}
