package exposure_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/calctest"
	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law/rows"
	"gallipot/dossier/words/wordstest"
	"gallipot/ingredients/finding"
)

// What is asked about margins, figures by hand as in TestMarginByHand:
//
//	betaine 3 % in body lotion: SED = 123.2 × 3 % × 50 % = 1.848; MoS = 125 / 1.848 = 67.6
//	at most 3 × 67.64 / 100 = 2.029 %, printed downward
func TestMarginsInWords(t *testing.T) {
	m := formulatest.Sheet(t, "betaine", "Cocamidopropyl Betaine", "100")
	r := calctest.Job(t, "body-lotion", "3", m, nil)
	f := calctest.Finding(t, r, "mos-below-target")
	assert.Equal(t, finding.Ask, f.Severity)
	assert.Equal(t, "in the product the margin of safety is 67.6, below the target of 100", wordstest.Said(f).Message)
	assert.Equal(t, "let the assessor judge; at most 2.02 % of it reaches the target", wordstest.Said(f).Fix)
	assert.Contains(t, wordstest.Said(f).Why,
		"SED = 123.2 × 3 % × 50 % = 1.848 mg/kg bw/d; MoS = 250 × 50 % / 1.848 = 67.6")
	assert.Contains(t, wordstest.Said(f).Why, "; NOAEL of 250 mg/kg bw/d from ")
	require.Len(t, f.Sum, 1)
	assert.Equal(t, "3 % of betaine × 100 % in it = 3 %", wordstest.Term(f.Sum[0]))
	assert.Equal(t, 11, f.Pos.Line)
	assert.NotContains(t, wordstest.Said(f).Why, "the value is from people")

	// a value of the maker's own sheet, its words, and where it may not stand
	own := formulatest.Sheet(t, "own", "Exemplum Acid", "100")
	formulatest.Tox(t, own, "ADI", "5", "", "")
	r = calctest.Job(t, "body-lotion", "1", own, nil)
	f = calctest.Finding(t, r, "not-a-pod")
	assert.Equal(t, finding.Ask, f.Severity)
	assert.Equal(t, "ADI is not a point of departure that a margin of safety can start from", wordstest.Said(f).Message)
	for word, refused := range map[string]bool{"NOAEL": false, "NOEL": false, "BMDL10": false, "LOAEL": false,
		"TDI": true, "T25": true, "guess": true} {
		own.Toxicology[0].PoDType = word
		assert.Equal(t, refused, len(calctest.Findings(calctest.Job(t, "body-lotion", "1", own, nil),
			"not-a-pod")) == 1, word)
	}
	own.Toxicology[0].INCI = "Exemplum Acdi"
	f = calctest.Finding(t, calctest.Job(t, "body-lotion", "1", own, nil), "toxicology-unmatched")
	assert.Equal(t, "it is in no composition here, so the toxicological value on the sheet of own is not used",
		wordstest.Said(f).Message)
	assert.Equal(t, "did you mean Exemplum Acid? write the name as in the composition", wordstest.Said(f).Fix)
	assert.Equal(t, finding.Ask, f.Severity)

	// a sheet that replaces the NOAEL of 250 by 300, by 250 and by 200
	for pod, asked := range map[string]bool{"300": true, "250": false, "200": false} {
		m = formulatest.Sheet(t, "betaine", "Cocamidopropyl Betaine", "100")
		formulatest.Tox(t, m, "NOAEL", pod, "", "").Replaces = true
		fs := calctest.Findings(calctest.Job(t, "body-lotion", "0.9", m, nil), "toxicology-replaced")
		assert.Equal(t, asked, len(fs) > 0, pod)
		if asked {
			assert.Equal(t, finding.Ask, fs[0].Severity)
			assert.Contains(t, wordstest.Said(fs[0]).Message, "of 250 mg/kg bw/d by a higher one, 300")
			assert.Contains(t, wordstest.Said(fs[0]).Why, "(tox-values.csv, row ")
		}
	}

	// per area, by hand: 5 µg/cm² × 0.001 × 15670 cm² × 2.28 / 60 kg = 2.9773 mg/kg bw/d
	own = formulatest.Sheet(t, "own", "Exemplum Acid", "100")
	formulatest.Tox(t, own, "NOAEL", "100", "", "").DermalUgCm2 = formulatest.Ptr(formulatest.Num(t, "5"))
	r = calctest.Job(t, "body-lotion", "1", own, nil)
	x := calctest.Margin(t, r, "Exemplum Acid")
	assert.True(t, x.SED.ByArea)
	assert.InDelta(t, 2.9773, x.SED.Max, 1e-4)
	assert.InDelta(t, 2.9773, x.SED.Typical, 1e-4)
	assert.Equal(t, "5 µg/cm² × 0.001 × 15670 cm² × 2.28 / 60 kg", x.SED.Text())
	f = calctest.Finding(t, r, "mos-below-target") // 50 / 2.977 = 16.8
	assert.Equal(t, "let the assessor judge; the absorption in µg/cm² does not change with the content",
		wordstest.Said(f).Fix)
	assert.Contains(t, wordstest.Said(f).Message, "the margin of safety is 16.8, below the target of 100")
	// the higher of two sheets' figures counts
	second := formulatest.Sheet(t, "second", "Exemplum Acid", "100")
	formulatest.Tox(t, second, "NOAEL", "100", "", "").DermalUgCm2 = formulatest.Ptr(formulatest.Num(t, "4"))
	p := formulatest.WithFormula(t, formula.Percent, "water", "q.s.", "own", "0.5", "second", "0.5")
	p.IntendedFor = formula.Adults
	r = calctest.Assess(t, p, &formula.Variant{}, "body-lotion", rows.EU, 20261125, own, second,
		formulatest.Sheet(t, "water", "Aqua", "100"))
	assert.InDelta(t, 2.9773, calctest.Margin(t, r, "Exemplum Acid").SED.Max, 1e-4)
	// children from three years: × 1.6 = 4.7637
	p = formulatest.WithFormula(t, formula.Percent, "water", "q.s.", "own", "1")
	p.IntendedFor = formula.ChildrenThree
	r = calctest.Assess(t, p, &formula.Variant{}, "body-lotion", rows.EU, 20261125, own,
		formulatest.Sheet(t, "water", "Aqua", "100"))
	x = calctest.Margin(t, r, "Exemplum Acid")
	assert.InDelta(t, 4.7637, x.SED.Max, 1e-4)
	assert.Equal(t, "5 µg/cm² × 0.001 × 15670 cm² × 2.28 / 60 kg × 1.6", x.SED.Text())
}
