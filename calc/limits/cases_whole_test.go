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
	"gallipot/calc/law"
	"gallipot/calc/law/annex"
	"gallipot/calc/law/rows"
	"gallipot/calc/limits"
	"gallipot/dossier/words/wordstest"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
)

// MCI with MI and MI alone in one shampoo (V/39, V/57): each row counts its own
// share, keeps its figure and is exceeded for standing beside the other.
//
//	V/39: 0.05 × 1.5 % = 0.00075; V/57: 0.005 × 10 % = 0.0005
func TestIsothiazolinonesTogetherByHand(t *testing.T) {
	c := calctest.Case{Product: "shampoo"}
	mix := formulatest.Material(t, "mix", "preservative", "Aqua", "98.5", "Methylchloroisothiazolinone", "1.125",
		"Methylisothiazolinone", "0.375")
	mi := formulatest.Material(t, "mi", "preservative", "Aqua", "90", "Methylisothiazolinone", "10")
	r := c.Of(t, mix, "0.05", mi, "0.005")
	both, alone := checkOf(t, r, "V-39-eugb-01"), checkOf(t, r, "V-57-eugb-01")
	assert.Equal(t, "0.00075", both.Content.Max.Exact())
	assert.Equal(t, "0.0005", alone.Content.Max.Exact())
	for _, x := range []limits.LimitCheck{both, alone} {
		assert.Equal(t, limits.LimitExceeded, x.Verdict)
		assert.Equal(t, limits.CheckTogether, x.Shape.Kind)
		assert.Nil(t, x.HighestPct, "less of it does not mend it")
		assert.Empty(t, x.Room())
	}
	assert.Equal(t, "may not be used together with Methylisothiazolinone of entry V/57: MCI/MI mixture and MI alone exclude each other", both.Reason)
	assert.Equal(t, []string{"Methylisothiazolinone"}, both.Shape.Others)
	assert.Contains(t, alone.Reason, " of entry V/39: ")

	// the mixture alone, and the substance alone
	r = c.Of(t, mix, "0.1")
	assert.Equal(t, "not more than 0.0015 % as the 3:1 mixture of MCI and MI", checkOf(t, r, "V-39-eugb-01").Reason)
	assert.Equal(t, "it comes in together with Methylchloroisothiazolinone and counts there",
		checkOf(t, r, "V-57-eugb-01").Reason)
	r = c.Of(t, mi, "0.01")
	assert.Equal(t, "alone it counts under entry V/57", checkOf(t, r, "V-39-eugb-01").Reason)
	assert.Equal(t, "not more than 0.0015 %", checkOf(t, r, "V-57-eugb-01").Reason)

	assert.Equal(t, "0.001", checkOf(t, r, "V-57-eugb-02").Content.Max.Exact(), "shown where a row does not apply, too")

	// over the figure: that comes first. 0.2 × 1.5 % = 0.003; of the mixture 0.1 would pass
	r = c.Of(t, mix, "0.2", mi, "0.001")
	x := checkOf(t, r, "V-39-eugb-01")
	assert.Equal(t, "more than 0.0015 % as the 3:1 mixture of MCI and MI in the product", x.Reason)
	assert.Equal(t, limits.CheckFigure, x.Shape.Kind)
	require.Len(t, x.Room(), 1)
	assert.Equal(t, []string{"mix", "0.1"}, []string{x.Room()[0].Ingredient, x.Room()[0].AtMostPct.Exact()})

	// both rows are for rinse-off products; what is in is shown, with nothing that passes
	r = calctest.Case{Product: "face-cream"}.Of(t, mix, "0.1")
	x = checkOf(t, r, "V-39-eugb-01")
	assert.Equal(t, limits.LimitNotApplicable, x.Verdict)
	assert.Equal(t, "the row is for rinse-off products", x.Reason)
	assert.Equal(t, "0.0015", x.Content.Max.Exact())
	assert.Equal(t, limits.CheckNone, x.Shape.Kind)
	assert.Nil(t, x.HighestPct)

	// listed as preservatives, though each with the other's exclusion
	assert.Empty(t, calctest.Findings(c.Of(t, mix, "0.1"), "not-listed-preservative"))
}

// Allyl heptine carbonate stands beside no other 2-alkynoic ester (III/152, every
// product), also where the other's own limit is not for the product: III/173 is for
// all but oral products.
func TestAllylHeptineCarbonateInOralProducts(t *testing.T) {
	aroma := formulatest.Declared(t, formulatest.ScentSheet("aroma"), ingredients.List2023,
		"Allyl Heptine Carbonate", "0.1", "Methyl octine carbonate", "0.1", "Methyl 2-Octynoate", "0.1")
	for _, product := range []string{"mouthwash", "body-lotion"} {
		r := calctest.Case{Product: product}.Of(t, aroma, "0.5")
		assert.Contains(t, limitCodes(r), "stop not-together", product)
		assert.Contains(t, checkOf(t, r, "III-152-eugb-01").Reason, "of entry III/173, III/89: ", product)
	}
}

// Colourants in the words of their rows. CI 45396 has one row for lip products, at
// most 1 %, and one for all others (IV/77).
func TestColourantsByHand(t *testing.T) {
	green := func(product string) limits.LimitCheck {
		return checkOf(t, calctest.Case{Product: product}.Of(t,
			formulatest.Material(t, "green", "colour", "CI 10020", "100"), "0.1"), "IV-2-eugb-01")
	}
	const use = "listed as a colourant for use in products other than those for mucous membranes"
	assert.Equal(t, use, green("face-cream").Reason)
	x := green("lipstick")
	assert.Equal(t, use+": it may not be used as a colourant here", x.Reason)
	assert.Equal(t, limits.CheckProhibited, x.Shape.Kind)
	assert.True(t, x.Shape.Certain)
	x = checkOf(t, calctest.Case{Product: "lipstick"}.Of(t,
		formulatest.Material(t, "green", "colour", "CI 10020", "0-5", "Kaolin", "95-100"), "1"), "IV-2-eugb-01")
	assert.Equal(t, limits.LimitExceeded, x.Verdict)
	assert.False(t, x.Shape.Certain, "it may not be in it")

	one := 0
	for _, c := range (calctest.Case{Product: "lipstick"}).Of(t,
		formulatest.Material(t, "green", "colour", "CI 10020", "100"), "0.1").Limits {
		if c.Row.Key == "IV-2-eugb-01" {
			one++
		}
	}
	assert.Equal(t, 1, one)

	orange := func(product, pct string) *calc.Result {
		return calctest.Case{Product: product}.Of(t, formulatest.Material(t, "orange", "colour", "CI 45396", "100"), pct)
	}
	r := orange("lipstick", "1")
	assert.Equal(t, "row IV-77-eugb-02 permits it here", checkOf(t, r, "IV-77-eugb-01").Reason)
	assert.Equal(t, limits.LimitNotApplicable, checkOf(t, r, "IV-77-eugb-01").Verdict)
	assert.Equal(t, limits.LimitKept, checkOf(t, r, "IV-77-eugb-02").Verdict)
	assert.Equal(t, limits.LimitExceeded, checkOf(t, orange("lipstick", "1.01"), "IV-77-eugb-02").Verdict)
	r = orange("body-lotion", "2")
	assert.Equal(t, limits.LimitKept, checkOf(t, r, "IV-77-eugb-01").Verdict)
	assert.Equal(t, "row IV-77-eugb-01 permits it here", checkOf(t, r, "IV-77-eugb-02").Reason)

	// nobody says whether it colours: bromocresol green is listed for rinse-off products (IV/152)
	r = calctest.Case{Product: "body-lotion"}.Of(t,
		formulatest.Material(t, "green", "", "Bromocresol Green", "50", "Kaolin", "50"), "1")
	x = checkOf(t, r, "IV-152-eugb-01")
	assert.Equal(t, limits.LimitUndecided, x.Verdict)
	assert.Equal(t, []string{"what it is in the product for"}, x.Missing)
	assert.Equal(t, "listed as a colourant for use in rinse-off products; whether it colours the product depends on what it is in the product for", x.Reason)
	assert.False(t, x.Shape.Certain)
	assert.Equal(t, "colourant-maybe", calctest.Finding(t, r, "limit-undecided").Form)

	r = calctest.Case{Product: "lipstick"}.Of(t, formulatest.Material(t, "kaolin", "absorbent", "Kaolin", "100"), "5")
	x = checkOf(t, r, "IV-119-eugb-01")
	assert.Equal(t, "it is not used as a colourant", x.Reason)
	assert.Equal(t, limits.LimitNotApplicable, x.Verdict)
	assert.Equal(t, limits.CheckNone, x.Shape.Kind)
	assert.Equal(t, "5", x.Content.Max.Exact())

	// silver that does not colour, zinc oxide that does nothing else
	r = calctest.Case{Product: "body-lotion"}.Of(t, formulatest.Pure(t, "skin conditioning", "Silver"), "0.1")
	assert.Equal(t, "it is not used as a colourant", checkOf(t, r, "IV-142-eu-02").Reason)
	r = calctest.Case{Product: "face-powder"}.Of(t, formulatest.Pure(t, "colour", "Zinc Oxide"), "5")
	assert.Equal(t, "it is used as a colourant only", checkOf(t, r, "VI-30-eugb-02").Reason)
	r = calctest.Case{Product: "face-powder"}.Of(t,
		formulatest.Material(t, "zno", "absorbent;UV filter", "Zinc Oxide", "100"), "5")
	assert.Equal(t, limits.MissingWords([]string{law.MissingFunction}), checkOf(t, r, "VI-30-eugb-02").Missing)

	// a row for one form that is not for this product does not apply; nothing is open
	r = calctest.Case{Product: "face-cream"}.Of(t,
		formulatest.Material(t, "ti", "opacifying", "Titanium Dioxide", "100"), "5")
	for _, c := range r.Limits {
		if c.Row.Entry == "321" {
			assert.Equal(t, limits.LimitNotApplicable, c.Verdict, c.Row.Key)
		}
	}
}

// Rows whose sum has a higher figure than their own part. III/173: 0.002 of its
// own, 0.01 with III/89.
func TestPartAndWholeOfASum(t *testing.T) {
	check := func(octynoate, octine string) limits.LimitCheck {
		fo := formulatest.Declared(t, formulatest.ScentSheet("fo"), ingredients.List2023, "Methyl 2-Octynoate",
			octynoate, "Methyl octine carbonate", octine)
		return checkOf(t, calctest.Case{Product: "body-lotion"}.Of(t, fo, "1"), "III-173-eugb-01")
	}
	text := func(c limits.LimitCheck) []string {
		return []string{string(c.Verdict), c.Content.Max.Exact(), c.LimitPct.Exact()}
	}
	assert.Equal(t, []string{"kept", "0.002", "0.002"}, text(check("0.8", "0.2")))
	assert.Equal(t, []string{"exceeded", "0.003", "0.002"}, text(check("0.9", "0.3")), "its own figure comes first")
	assert.Equal(t, []string{"exceeded", "0.0101", "0.01"}, text(check("0.81", "0.2")))

	// each substance once, though several rows name it
	c := calctest.Case{Product: "body-lotion"}
	r := c.Of(t, formulatest.Pure(t, "preservative", "Methylparaben"), "0.2",
		formulatest.Pure(t, "preservative", "Ethylparaben"), "0.2",
		formulatest.Pure(t, "preservative", "Propylparaben"), "0.1")
	assert.Len(t, checkOf(t, r, "V-12-eugb-02").Shape.Uses, 3)
	r = calctest.Case{Product: "hair-mask"}.Of(t, formulatest.Pure(t, "skin conditioning", "Cetrimonium Chloride"), "0.1")
	assert.Equal(t, limits.CheckNone, checkOf(t, r, "III-286-eugb-02").Shape.Kind)

	// a number that contradicts the name leaves a sum open as well
	r = c.Of(t, formulatest.Coded(formulatest.Material(t, "x", "humectant", "Glycerin", "100"), "99-76-3"), "2")
	x := checkOf(t, r, "V-12-eugb-02")
	assert.Equal(t, limits.LimitUndecided, x.Verdict)
	assert.Contains(t, x.Shape.Doubt, "CAS 99-76-3 stands for Methylparaben")
	assert.Equal(t, "number", calctest.Finding(t, r, "limit-entry").Form)
}

// What counts when part of it is sure: 1.2 of a limit of 1 is over it, whatever the
// other 0.5 is. Remarks stand behind every verdict; equal portions are the whole.
func TestCompareMoreByHand(t *testing.T) {
	run := handRun(t, "a", "2", "b", "1")
	limit := formulatest.Num(t, "1")
	row := &annex.Limit{Annex: "III", Entry: "1", MaxPct: &limit, Class: annex.ClassExamples}
	a, b := brought(t, "A", "a", "1.2"), brought(t, "B", "b", "0.5")
	terms := []limits.Term{{U: a, Factor: exact.Int(1), Sure: true, Own: true}, {U: b, Factor: exact.Int(1)}}
	c := run.Compare(limits.LimitCheck{Row: row}, terms, nil, &limit, false)
	assert.Equal(t, limits.LimitExceeded, c.Verdict)
	assert.Equal(t, "1.2", c.Content.Max.Exact())
	assert.Len(t, c.Contributions, 1)
	const class = "; the entry is a class and wider than the names listed"
	assert.Equal(t, "more than 1 % in the product"+class, c.Reason)
	assert.Equal(t, "it applies and sets no figure"+class,
		run.Compare(limits.LimitCheck{Row: row}, terms[:1], nil, nil, false).Reason)
	residue := &annex.Limit{Annex: "III", Entry: "1",
		Basis: annex.Basis{Text: "residual monomer", Kind: annex.BasisResidue}, Class: annex.ClassExamples}
	assert.Contains(t, run.Compare(limits.LimitCheck{Row: residue}, terms[:1], nil, &limit, false).Reason, class)
	two := formulatest.Num(t, "2")
	assert.Contains(t, run.Compare(limits.LimitCheck{Row: residue}, terms[:1], nil, &two, false).Reason,
		"is not either"+class)

	// the others alone are just at the limit: nothing is left, not even 0 % is advised
	full := []limits.Term{{U: brought(t, "A", "a", "1"), Factor: exact.Int(1), Sure: true, Own: true},
		{U: b, Factor: exact.Int(1), Sure: true, Own: true}}
	c = run.Compare(limits.LimitCheck{Row: row}, full, nil, &limit, false)
	require.Len(t, c.Room(), 2)
	assert.Equal(t, "1", c.Room()[0].AtMostPct.Exact()) // 2 × (1 − 0.5) / 1
	assert.Nil(t, c.Room()[1].AtMostPct)

	// four digits in the arithmetic, the nano form by its name
	s := brought(t, "Zinc Oxide", "a", "1.23456").S
	s.Nano = true
	based := &annex.Limit{Basis: annex.Basis{Text: "as zinc"}}
	assert.Equal(t, "1.235 % Zinc Oxide (nano) × 0.8034 = 0.9918 % as zinc",
		wordstest.Term(limits.BasisTerm(based, limits.Term{Factor: formulatest.Num(t, "0.8034")}, s))) // 0.99185

	p := formulatest.WithFormula(t, formula.Percent, "water", "q.s.", "p", "1.2")
	p.IntendedFor = formula.Adults
	v := &formula.Variant{Portions: []formula.Portion{{Name: "a", SharePct: formulatest.Num(t, "50")},
		{Name: "b", SharePct: formulatest.Num(t, "50")}}}
	r := calctest.Assess(t, p, v, "face-cream", rows.EU, today, formulatest.Sheet(t, "water", "Aqua", "100"),
		formulatest.Material(t, "p", "preservative", "Phenoxyethanol", "100"))
	assert.Equal(t, "", checkOf(t, r, "V-29-eugb-01").WorstIn)
	assert.Equal(t, limits.LimitExceeded, checkOf(t, r, "V-29-eugb-01").Verdict)

	// nothing of a prohibited substance passes
	r = calctest.Case{Product: "body-lotion"}.Of(t, formulatest.Pure(t, "solvent", "Diethylene Glycol"), "0.05")
	assert.Nil(t, checkOf(t, r, "II-1370-eugb-01").HighestPct)
	assert.Empty(t, checkOf(t, r, "II-1370-eugb-01").Room())
}

// A prohibition leaves traces to an entry only where that entry is in force for the
// substance: II/1370 and III/186, diethylene glycol.
func TestTraceEntries(t *testing.T) {
	glycerin := formulatest.Impure(t, formulatest.Pure(t, "humectant", "Glycerin"), "Diethylene Glycol", "0.5")
	c := checkOf(t, calctest.Case{Product: "body-lotion"}.Of(t, glycerin, "20"), "II-1370-eugb-01")
	assert.Equal(t, "a trace, which entry III/186 rules", c.Reason)
	assert.Equal(t, "0.1", c.Content.Max.Exact())

	run := handRun(t)
	run.In.Market, run.In.Date = rows.EU, today
	zero := exact.Num{}
	ban := &annex.Limit{Annex: "II", Entry: "1", MaxPct: &zero, Markets: []rows.Market{rows.EU}, Traces: "III/2"}
	later := &annex.Limit{Annex: "III", Entry: "2", Markets: []rows.Market{rows.EU}, From: 20270101}
	u := &limits.LimitUse{S: &formula.Substance{INCI: "A",
		Contributions: []formula.Contribution{{Route: formula.ByImpurity}}},
		Matches: []limits.RowMatch{{Row: ban}, {Row: later}}}
	assert.Equal(t, "", run.TraceEntry(ban, u, today), "not in force yet")
	assert.Equal(t, "III/2", run.TraceEntry(ban, u, 20270101))
	u.Matches = u.Matches[:1]
	assert.Equal(t, "", run.TraceEntry(ban, u, 20270101), "it does not name the substance")
}

// A ban is open where the entry that it excepts is: oxyquinoline sulfate (II/395) that
// may stabilise peroxide (III/51).
func TestBanIsOpenWithItsException(t *testing.T) {
	r := calctest.Case{Product: "hair-mask"}.Of(t,
		formulatest.Material(t, "oxy", "", "Oxyquinoline Sulfate", "100"), "0.4")
	c := checkOf(t, r, "II-395-eugb-01")
	assert.Equal(t, limits.LimitUndecided, c.Verdict)
	assert.Equal(t, []string{"what it is in the product for"}, c.Missing)
	assert.NotContains(t, limitCodes(r), "stop prohibited")
}

// What a fix says, by hand: digits of the amount as it is, and the exact content asked for
// only where it could help. Sodium benzoate in leave-on, 0.5 / 0.8475.
func TestFixWords(t *testing.T) {
	c := calctest.Case{Product: "body-lotion"}
	keeper := func(id string) *ingredients.Sheet {
		return formulatest.Material(t, id, "preservative", "Phenoxyethanol", "100")
	}
	assert.Equal(t, "reduce a to 0.7 % or less (now 1.2 %)", strings.TrimSuffix(wordstest.Said(calctest.Finding(t,
		c.Of(t, keeper("a"), "1.2", keeper("b"), "0.3"), "over-limit")).Fix, ", leaving the others as they are"),
		"of b nothing would do: 1.2 are above 1")
	r := c.Of(t, formulatest.Material(t, "salt", "preservative", "Sodium Benzoate", "100"), "0.61234")
	assert.Equal(t, "reduce salt to 0.5899 % or less (now 0.6123 %)",
		wordstest.Said(calctest.Finding(t, r, "over-limit")).Fix)
	r = c.Of(t, formulatest.Material(t, "p", "preservative", "Phenoxyethanol", "55-60", "Aqua", "40-45"),
		"2") // 1.1 to 1.2 of 1
	assert.Equal(t, "reduce p to 1.666 % or less (now 2 %)",
		wordstest.Said(calctest.Finding(t, r, "over-limit")).Fix, "the lowest is too much already")
}

// Rows of a sum leave a substance that is there with 0 % out of everything.
func TestNothingOfASubstanceIsNotChecked(t *testing.T) {
	r := calctest.Case{Product: "face-cream"}.Of(t,
		formulatest.Material(t, "m", "preservative", "Glycerin", "100", "Phenoxyethanol", "0"), "5")
	for _, c := range r.Limits {
		assert.NotContains(t, c.Substances, "Phenoxyethanol")
	}
}

// Butane is banned from 0.1 % of butadiene in it on (II/464, II/465).
func TestButadieneOfAProduct(t *testing.T) {
	r := calctest.Case{Product: "body-lotion"}.Of(t,
		formulatest.Traced(t, formulatest.Pure(t, "propellant", "Butane"), "1,3-Butadiene", "0.2"), "5")
	assert.Contains(t, limitCodes(r), "stop prohibited")
	r = calctest.Case{Product: "body-lotion"}.Of(t,
		formulatest.Traced(t, formulatest.Pure(t, "propellant", "Butane"), "1,3-Butadiene", "0.05"), "5")
	assert.NotContains(t, limitCodes(r), "stop prohibited")
}
