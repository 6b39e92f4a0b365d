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
	"gallipot/dossier/words/wordstest"
	"gallipot/ingredients"
	"gallipot/ingredients/finding"
	"gallipot/testdata/testrun"
)

func TestMain(m *testing.M) { testrun.Main(m) }

const today = 20261125

// of assesses the product with pairs of sheet and amount.
// checkOf returns the check of a row key.
func checkOf(t testing.TB, r *calc.Result, key string) limits.LimitCheck {
	t.Helper()
	for _, c := range r.Limits {
		if c.Row.Key == key {
			return c
		}
	}
	require.Fail(t, "no check of row "+key, checkList(r))
	return limits.LimitCheck{}
}

// limitCodes are the findings of the limit engine alone.
func limitCodes(r *calc.Result) []string {
	_, fs := limits.Limits(r.Input, r.Compositions)
	return formulatest.Codes(fs)
}

// Sodium benzoate 0.6 %: 0.6 × 0.8475 = 0.5085 as benzoic acid, allowed 0.5 in
// leave-on products (V/1). Highest: 0.5 / 0.8475 = 200/339 = 0.58997 %.
func TestLimitStopExplainsItself(t *testing.T) {
	r := calctest.Case{Product: "body-lotion"}.Of(t,
		formulatest.Material(t, "na-benzoate", "preservative", "Sodium Benzoate", "100"), "0.6")
	c := checkOf(t, r, "V-1-eugb-03")
	assert.Equal(t, limits.LimitExceeded, c.Verdict)
	assert.Equal(t, "0.5085", c.Content.Max.Exact())
	assert.Equal(t, "0.5", c.LimitPct.Exact())
	assert.Equal(t, "200/339", c.HighestPct.Exact())
	require.Len(t, c.Room(), 1)
	assert.Equal(t, "200/339", c.Room()[0].AtMostPct.Exact())
	assert.Equal(t, limits.LimitNotApplicable, checkOf(t, r, "V-1-eugb-01").Verdict)
	assert.Equal(t, "the row is for rinse-off products", checkOf(t, r, "V-1-eugb-01").Reason)
	assert.Equal(t, "0.5085", checkOf(t, r, "V-1-eugb-01").Content.Max.Exact())

	f := calctest.Finding(t, r, "over-limit")
	assert.Equal(t, finding.Stop, f.Severity)
	assert.Equal(t, "0.6 % of the product, which counts as 0.5085 % as benzoic acid; the limit is 0.5 % as benzoic acid in leave-on products, except oral products", wordstest.Said(f).Message)
	assert.Equal(t, "reduce na-benzoate to 0.5899 % or less (now 0.6 %)", wordstest.Said(f).Fix) // rounded down
	assert.Equal(t, "Reg (EC) 1223/2009 consolidated 2026-05-01 Annex V/1, EU (limits.csv, row V-1-eugb-03)",
		wordstest.Said(f).Why)
	assert.Equal(t, []string{"0.6 % of na-benzoate × 100 % in it = 0.6 %",
		"0.6 % Sodium Benzoate × 0.8475 = 0.5085 % as benzoic acid"}, formulatest.Terms(f))
	assert.Equal(t, 11, f.Pos.Line)
}

// What the fix of a stop allows must pass, and a little more must not.
func TestLimitFixPasses(t *testing.T) {
	blend := formulatest.Material(t, "blend", "preservative", "Phenoxyethanol", "90", "Ethylhexylglycerin", "10")
	pure := formulatest.Material(t, "pure", "preservative", "Phenoxyethanol", "100")
	c := calctest.Case{Product: "face-cream"}
	r := c.Of(t, blend, "0.8", pure, "0.4") // 0.72 + 0.4 = 1.12, allowed 1
	check := checkOf(t, r, "V-29-eugb-01")
	require.Equal(t, limits.LimitExceeded, check.Verdict)
	require.Len(t, check.Room(), 2)
	assert.Equal(t, "2/3", check.Room()[0].AtMostPct.Exact())  // (1 − 0.4) / 0.9
	assert.Equal(t, "0.28", check.Room()[1].AtMostPct.Exact()) // 1 − 0.72
	assert.Equal(t, "reduce blend to 0.6666 % or less (now 0.8 %) or reduce pure to 0.28 % or less (now 0.4 %), leaving the others as they are", wordstest.Said(calctest.Finding(t, r, "over-limit")).Fix)
	assert.NotContains(t, limitCodes(c.Of(t, blend, "0.6666", pure, "0.4")), "stop over-limit")
	assert.NotContains(t, limitCodes(c.Of(t, blend, "0.8", pure, "0.28")), "stop over-limit")
	assert.Contains(t, limitCodes(c.Of(t, blend, "0.8", pure, "0.2801")), "stop over-limit")
}

// The highest content counts, and the stop says that the exact one may help.
func TestLimitCountsTheHighestContent(t *testing.T) {
	r := calctest.Case{Product: "face-cream"}.Of(t,
		formulatest.Material(t, "blend", "preservative;skin conditioning", "Phenoxyethanol", "70-95",
			"Ethylhexylglycerin", "5-30"), "1.1")
	c := checkOf(t, r, "V-29-eugb-01") // 0.77 … 1.045
	assert.Equal(t, limits.LimitExceeded, c.Verdict)
	assert.Equal(t, "0.77", c.Content.Min.Exact())
	assert.Contains(t, wordstest.Said(calctest.Finding(t, r, "over-limit")).Fix,
		"or ask the supplier of blend for the exact content")
}

// Exactly at the limit is kept; "below" is not kept at it (II/358, furocoumarins
// in sun products: below 1 mg/kg = 0.0001 %).
func TestLimitAtTheFigure(t *testing.T) {
	assert.Equal(t, limits.LimitKept,
		checkOf(t, calctest.Case{Product: "face-cream"}.Of(t,
			formulatest.Material(t, "p", "preservative", "Phenoxyethanol", "100"), "1"), "V-29-eugb-01").Verdict)
	sun := func(pct string) limits.LimitVerdict {
		oil := formulatest.Impure(t, formulatest.Material(t, "oil", "fragrance",
			"Citrus Aurantium Bergamia Peel Oil", "100"), "Bergapten", pct)
		return checkOf(t, calctest.Case{Product: "sunscreen"}.Of(t, oil, "1"), "II-358-eugb-02").Verdict
	}
	assert.Equal(t, limits.LimitExceeded, sun("0.01")) // 1 × 0.01 / 100 = 0.0001
	assert.Equal(t, limits.LimitKept, sun("0.0099"))
}

// One portion with all of it: 60 % of the pack with 1.2 % is 0.72 % of the whole,
// and 1.2 % where a user takes that portion alone.
func TestLimitOnEachPortion(t *testing.T) {
	p := formulatest.WithFormula(t, formula.Percent, "water", "q.s.", ":keep", "1.2")
	p.IntendedFor = formula.Adults
	v := &formula.Variant{Portions: []formula.Portion{{Name: "top", SharePct: formulatest.Num(t, "60"),
		Fill: []formula.Fill{formulatest.Fill("keep", "p")}}, {Name: "rest", SharePct: formulatest.Num(t, "40")}}}
	r := calctest.Assess(t, p, v, "face-cream", rows.EU, today,
		formulatest.Material(t, "water", "solvent", "Aqua", "100"),
		formulatest.Material(t, "p", "preservative", "Phenoxyethanol", "100"))
	c := checkOf(t, r, "V-29-eugb-01")
	assert.Equal(t, limits.LimitExceeded, c.Verdict)
	assert.Equal(t, "top", c.WorstIn)
	assert.Equal(t, "1.2", c.Content.Max.Exact())
	assert.Equal(t, "reduce p to 1 % or less (now 1.2 %)", wordstest.Said(calctest.Finding(t, r, "over-limit")).Fix)
}

// A prohibited substance: certain, possible, and a trace (Article 17).
func TestProhibited(t *testing.T) {
	c := calctest.Case{Product: "shower-gel"}
	fo := func(amount string) *ingredients.Sheet {
		return formulatest.Declared(t, formulatest.ScentSheet("fo"), ingredients.List2023,
			"Butylphenyl Methylpropional", amount)
	}
	assert.Contains(t, limitCodes(c.Of(t, fo("0.2"), "1")), "stop prohibited")
	assert.Contains(t, limitCodes(c.Of(t, fo("<0.01"), "1")), "ask maybe-prohibited")
	trace := formulatest.Impure(t, formulatest.ScentSheet("fo"), "Butylphenyl Methylpropional", "0.001")
	r := c.Of(t, trace, "1")
	f := calctest.Finding(t, r, "prohibited-trace")
	assert.Equal(t, finding.Ask, f.Severity)
	assert.Contains(t, wordstest.Said(f).Why, "Article 17")
	assert.NotContains(t, limitCodes(r), "stop prohibited")
	for _, x := range r.Limits {
		assert.NotEqual(t, limits.LimitKept, x.Verdict)
	}
}

// A prohibition gives way to the entry it excepts: oxyquinoline sulfate is
// prohibited (II/395) save to stabilise peroxide in hair products (III/51).
func TestProhibitionWithException(t *testing.T) {
	s := formulatest.Material(t, "oxy", "peroxide stabiliser", "Oxyquinoline Sulfate", "100")
	r := calctest.Case{Product: "hair-mask"}.Of(t, s, "0.4") // 0.4 × 0.7475 = 0.299, allowed 0.3
	assert.Equal(t, "entry III/51 excepts this use", checkOf(t, r, "II-395-eugb-01").Reason)
	assert.Equal(t, limits.LimitKept, checkOf(t, r, "III-51-eugb-01").Verdict)
	assert.NotContains(t, limitCodes(r), "stop prohibited")
	assert.Contains(t, limitCodes(calctest.Case{Product: "face-cream"}.Of(t, s, "0.4")), "stop prohibited")
}

// Safrole from natural oils: 0.01 % in the product (II/360); added as such: none.
func TestNaturalContent(t *testing.T) {
	nutmeg := func(pct string) *ingredients.Sheet {
		return formulatest.Declared(t,
			formulatest.Material(t, "nutmeg", "fragrance", "Myristica Fragrans Kernel Oil", "100"),
			ingredients.List2023, "Safrole", pct)
	}
	c := calctest.Case{Product: "body-lotion"}
	assert.Equal(t, limits.LimitKept,
		checkOf(t, c.Of(t, nutmeg("2"), "0.5"), "II-360-eugb-01").Verdict) // 0.5 × 2 / 100 = 0.01
	assert.Equal(t, limits.LimitExceeded, checkOf(t, c.Of(t, nutmeg("2.01"), "0.5"), "II-360-eugb-01").Verdict)
	assert.Equal(t, limits.LimitNotApplicable, checkOf(t, c.Of(t, nutmeg("2"), "0.5"), "II-360-eugb-04").Verdict)
	added := formulatest.Material(t, "safrole", "fragrance", "Safrole", "100")
	assert.Equal(t, limits.LimitExceeded, checkOf(t, c.Of(t, added, "0.001"), "II-360-eugb-04").Verdict)
	perfume := formulatest.Declared(t, formulatest.ScentSheet("fo"), ingredients.List2023, "Safrole",
		"0.1") // its supplier may have added it
	assert.Equal(t, limits.LimitUndecided, checkOf(t, c.Of(t, perfume, "0.5"), "II-360-eugb-04").Verdict)
}

// A row that the file cannot decide is asked about only where it matters.
func TestUndecidedIsAskedWhereItMatters(t *testing.T) {
	c := calctest.Case{Product: "face-cream"}
	silent := func(pct string) *calc.Result {
		return c.Of(t, formulatest.Material(t, "ba", "", "Benzyl Alcohol", "100"), pct)
	}
	r := silent("0.9") // V/34: 1 % where it preserves
	check := checkOf(t, r, "V-34-eugb-01")
	assert.Equal(t, limits.LimitKept, check.Verdict)
	assert.Equal(t, "kept either way: at most 1 % even if it applies", check.Reason)
	assert.Empty(t, calctest.Findings(r, "limit-undecided"))

	r = silent("1.5")
	check = checkOf(t, r, "V-34-eugb-01")
	assert.Equal(t, limits.LimitUndecided, check.Verdict)
	assert.Equal(t, []string{"what it is in the product for"}, check.Missing)
	f := calctest.Finding(t, r, "limit-undecided")
	assert.Equal(t, finding.Ask, f.Severity)
	assert.Equal(t, "enter its function on the sheet of ba, the main one first", wordstest.Said(f).Fix)

	stated := c.Of(t, formulatest.Material(t, "ba", "solvent", "Benzyl Alcohol", "100"), "1.5")
	assert.Equal(t, limits.LimitNotApplicable, checkOf(t, stated, "V-34-eugb-01").Verdict)
	assert.Empty(t, calctest.Findings(stated, "limit-undecided"))
}

// The first function of a sheet is certain, the others are what the material can
// do: a conditioner that also preserves is asked about at 1 % (V/44: 0.1 % as a
// preservative; III/286: 1 % in leave-on hair products).
func TestFurtherFunctionsArePossible(t *testing.T) {
	c := calctest.Case{Product: "leave-in-conditioner"}
	r := c.Of(t, formulatest.Material(t, "ctac", "HAIR CONDITIONING;ANTISTATIC;PRESERVATIVE",
		"Cetrimonium Chloride", "100"), "1")
	assert.Equal(t, limits.LimitKept, checkOf(t, r, "III-286-eugb-02").Verdict)
	assert.Equal(t, limits.LimitUndecided, checkOf(t, r, "V-44-eugb-01").Verdict)
	r = c.Of(t, formulatest.Material(t, "ctac", "preservative;hair conditioning", "Cetrimonium Chloride", "100"), "1")
	assert.Equal(t, limits.LimitExceeded, checkOf(t, r, "V-44-eugb-01").Verdict)
}

// The list of UV filters is about filtering: zinc oxide in a loose powder is
// stopped as a filter (VI/30), and asked about where no sheet calls it one. A
// preservative holds wherever it comes from, but not as a fragrance alone.
func TestPurposeOfTheAnnex(t *testing.T) {
	powder := calctest.Case{Product: "face-powder"}
	assert.Equal(t, limits.LimitExceeded,
		verdictOfRow(t, powder.Of(t, formulatest.Material(t, "zno", "UV filter", "Zinc Oxide", "100"), "5"), "VI-30-eugb-02"))
	r := powder.Of(t, formulatest.Material(t, "zno", "absorbent", "Zinc Oxide", "100"), "5")
	assert.Equal(t, limits.LimitUndecided, verdictOfRow(t, r, "VI-30-eugb-02"))
	assert.NotContains(t, limitCodes(r), "stop prohibited")

	cream := calctest.Case{Product: "face-cream"}
	ylang := formulatest.Declared(t,
		formulatest.Material(t, "ylang", "fragrance", "Cananga Odorata Flower Oil", "100"), ingredients.List2023,
		"Methyl Benzoate", "9")
	assert.Equal(t, limits.LimitUndecided,
		verdictOfRow(t, cream.Of(t, ylang, "8"), "V-1a-eugb-01")) // 0.72 × 0.8970 > 0.5
	extract := formulatest.Material(t, "extract", "skin conditioning", "Aqua", "98", "Phenoxyethanol", "2")
	assert.Equal(t, limits.LimitExceeded, verdictOfRow(t, cream.Of(t, extract, "60"), "V-29-eugb-01"))
}

// A row for one form of a material leaves open whether it applies (III/321:
// titanium dioxide powder with fine particles).
func TestRowForOneForm(t *testing.T) {
	r := calctest.Case{Product: "eyeshadow-loose"}.Of(t, formulatest.Material(t, "ti", "colour", "CI 77891", "100"), "10")
	c := checkOf(t, r, "III-321-eu-04")
	assert.Equal(t, limits.LimitUndecided, c.Verdict)
	assert.Contains(t, c.Reason, "the row is for nothing but titanium dioxide in powder form with >= 1 % particles of aerodynamic diameter <= 10 um")
	assert.NotContains(t, limitCodes(r), "stop prohibited")
}

// A limit that counts a residue is not compared with the substance: cocamide DEA
// 3 % does not hold 0.5 % secondary amine by that (III/60).
func TestResidueIsNotTheSubstance(t *testing.T) {
	c := calctest.Case{Product: "shower-gel"}
	r := c.Of(t, formulatest.Material(t, "dea", "foam boosting", "Cocamide DEA", "100"), "3")
	assert.Equal(t, limits.LimitUndecided, checkOf(t, r, "III-60-eugb-01").Verdict)
	f := calctest.Finding(t, r, "criterion")
	assert.Contains(t, wordstest.Said(f).Text(), "secondary amine in the raw material at most 5 %")
	assert.Contains(t, wordstest.Said(f).Text(), "nitrosamine content at most 50 µg/kg")
	r = c.Of(t, formulatest.Material(t, "dea", "foam boosting", "Cocamide DEA", "100"),
		"0.5") // all of it is within the figure
	assert.Equal(t, limits.LimitKept, checkOf(t, r, "III-60-eugb-01").Verdict)
}

// The maker's own rules are marked as theirs and checked like the law's.
func TestOwnRules(t *testing.T) {
	rows := ownRules(t, "house-1,own,house,EU+GB,Phenoxyethanol,122-99-6,,leave-on,0.8")
	r := calctest.Case{Product: "face-cream"}.Of(t,
		formulatest.Material(t, "p", "preservative", "Phenoxyethanol", "100"), "0.9")
	in := *r.Input
	in.Session = formula.NewSession(in.Law.WithLimits(rows))
	checks, fs := limits.Limits(&in, r.Compositions)
	var own *limits.LimitCheck
	for i := range checks {
		if checks[i].Row.Own {
			own = &checks[i]
		}
	}
	require.NotNil(t, own)
	assert.Equal(t, limits.LimitExceeded, own.Verdict)
	assert.True(t, strings.HasPrefix(own.Reason, "your own rule; "), own.Reason)
	require.Contains(t, formulatest.Codes(fs), "stop over-limit")
	for _, f := range fs {
		if f.Code == "over-limit" {
			assert.True(t, strings.HasPrefix(wordstest.Said(f).Why, "your own rule house-1, our own rule"),
				wordstest.Said(f).Why)
		}
	}
	assert.NotContains(t, limitCodes(r), "stop over-limit") // the law allows 1 %
}
