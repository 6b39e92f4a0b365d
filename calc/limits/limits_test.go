package limits_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc"
	"gallipot/calc/formula"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/calc/limits"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

const today = 20261125

// material is a sheet of named contents with its functions.
func material(t testing.TB, id, functions string, parts ...string) *ingredients.Sheet {
	t.Helper()
	s := sheet(t, id, parts...)
	for f := range strings.SplitSeq(functions, ";") {
		if f != "" {
			s.Functions = append(s.Functions, f)
		}
	}
	return s
}

// coded gives the constituents of a sheet their CAS numbers, in order.
func coded(s *ingredients.Sheet, cas ...string) *ingredients.Sheet {
	for i, c := range cas {
		s.Composition.Constituents[i].CAS = c
	}
	return s
}

// impure gives a sheet an impurity.
func impure(t testing.TB, s *ingredients.Sheet, name, amount string) *ingredients.Sheet {
	t.Helper()
	a, err := exact.ParseAmount(amount)
	require.NoError(t, err)
	s.Impurities = append(s.Impurities, ingredients.Impurity{Name: name, Amount: a})
	return s
}

// limitCase is a product of water and a few materials.
type limitCase struct {
	product  string
	market   rows.Market
	day      int
	audience formula.Audience
	change   func(*formula.Product)
}

// of assesses the product with pairs of sheet and amount.
func (c limitCase) of(t testing.TB, parts ...any) *calc.Result {
	t.Helper()
	lines := []string{"water", "q.s."}
	sheets := []*ingredients.Sheet{material(t, "water", "solvent", "Aqua", "100")}
	for i := 0; i < len(parts); i += 2 {
		s := parts[i].(*ingredients.Sheet)
		sheets = append(sheets, s)
		lines = append(lines, s.ID, parts[i+1].(string))
	}
	p := withFormula(t, formula.Percent, lines...)
	no := false
	p.Professional = &no
	p.IntendedFor = formula.Adults
	if c.audience != "" {
		p.IntendedFor = c.audience
	}
	if c.change != nil {
		c.change(p)
	}
	if c.day == 0 {
		c.day = today
	}
	if c.market == "" {
		c.market = rows.EU
	}
	return assessed(t, p, &formula.Variant{}, c.product, c.market, c.day, sheets...)
}

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

// findingsOf returns the findings with a code.
func findingsOf(r *calc.Result, code string) []finding.Finding {
	var out []finding.Finding
	for _, f := range r.Findings {
		if f.Code == code {
			out = append(out, f)
		}
	}
	return out
}

// findingOf returns the one finding with a code, which must be there.
func findingOf(t testing.TB, r *calc.Result, code string) finding.Finding {
	t.Helper()
	fs := findingsOf(r, code)
	require.Len(t, fs, 1, "%s in %v", code, codes(r.Findings))
	return fs[0]
}

// limitCodes are the findings of the limit engine alone.
func limitCodes(r *calc.Result) []string {
	_, fs := limits.Limits(r.Input, r.Compositions)
	return codes(fs)
}

// Sodium benzoate 0.6 %: 0.6 × 0.8475 = 0.5085 as benzoic acid, allowed 0.5 in
// leave-on products (V/1). Highest: 0.5 / 0.8475 = 200/339 = 0.58997 %.
func TestLimitStopExplainsItself(t *testing.T) {
	r := limitCase{product: "body-lotion"}.of(t, material(t, "na-benzoate", "preservative", "Sodium Benzoate", "100"), "0.6")
	c := checkOf(t, r, "V-1-eugb-03")
	assert.Equal(t, limits.LimitExceeded, c.Verdict)
	assert.Equal(t, "0.5085", c.Content.Max.Exact())
	assert.Equal(t, "0.5", c.LimitPct.Exact())
	assert.Equal(t, "200/339", c.HighestPct.Exact())
	require.Len(t, c.Room, 1)
	assert.Equal(t, "200/339", c.Room[0].AtMostPct.Exact())
	assert.Equal(t, limits.LimitNotApplicable, checkOf(t, r, "V-1-eugb-01").Verdict)
	assert.Equal(t, "the row is for rinse-off products", checkOf(t, r, "V-1-eugb-01").Reason)
	assert.Equal(t, "0.5085", checkOf(t, r, "V-1-eugb-01").Content.Max.Exact())

	f := findingOf(t, r, "over-limit")
	assert.Equal(t, finding.Stop, f.Severity)
	assert.Equal(t, "0.6 % of the product, which counts as 0.5085 % as benzoic acid; the limit is 0.5 % as benzoic acid in leave-on products, except oral products", said(f).Message)
	assert.Equal(t, "reduce na-benzoate to 0.5899 % or less (now 0.6 %)", said(f).Fix) // rounded down
	assert.Equal(t, "Reg (EC) 1223/2009 consolidated 2026-05-01 Annex V/1, EU and GB (limits.csv, row V-1-eugb-03)", said(f).Why)
	assert.Equal(t, []string{"0.6 % of na-benzoate × 100 % in it = 0.6 %", "0.6 % Sodium Benzoate × 0.8475 = 0.5085 % as benzoic acid"}, terms(f))
	assert.Equal(t, 11, f.Pos.Line)
}

func terms(f finding.Finding) []string {
	var out []string
	for _, s := range f.Sum {
		out = append(out, termText(s))
	}
	return out
}

// What the fix of a stop allows must pass, and a little more must not.
func TestLimitFixPasses(t *testing.T) {
	blend := material(t, "blend", "preservative", "Phenoxyethanol", "90", "Ethylhexylglycerin", "10")
	pure := material(t, "pure", "preservative", "Phenoxyethanol", "100")
	c := limitCase{product: "face-cream"}
	r := c.of(t, blend, "0.8", pure, "0.4") // 0.72 + 0.4 = 1.12, allowed 1
	check := checkOf(t, r, "V-29-eugb-01")
	require.Equal(t, limits.LimitExceeded, check.Verdict)
	require.Len(t, check.Room, 2)
	assert.Equal(t, "2/3", check.Room[0].AtMostPct.Exact())  // (1 − 0.4) / 0.9
	assert.Equal(t, "0.28", check.Room[1].AtMostPct.Exact()) // 1 − 0.72
	assert.Equal(t, "reduce blend to 0.6666 % or less (now 0.8 %) or reduce pure to 0.28 % or less (now 0.4 %), leaving the others as they are", said(findingOf(t, r, "over-limit")).Fix)
	assert.NotContains(t, limitCodes(c.of(t, blend, "0.6666", pure, "0.4")), "stop over-limit")
	assert.NotContains(t, limitCodes(c.of(t, blend, "0.8", pure, "0.28")), "stop over-limit")
	assert.Contains(t, limitCodes(c.of(t, blend, "0.8", pure, "0.2801")), "stop over-limit")
}

// The highest content counts, and the stop says that the exact one may help.
func TestLimitCountsTheHighestContent(t *testing.T) {
	r := limitCase{product: "face-cream"}.of(t, material(t, "blend", "preservative;skin conditioning", "Phenoxyethanol", "70-95", "Ethylhexylglycerin", "5-30"), "1.1")
	c := checkOf(t, r, "V-29-eugb-01") // 0.77 … 1.045
	assert.Equal(t, limits.LimitExceeded, c.Verdict)
	assert.Equal(t, "0.77", c.Content.Min.Exact())
	assert.Contains(t, said(findingOf(t, r, "over-limit")).Fix, "or ask the supplier of blend for the exact content")
}

// Exactly at the limit is kept; "below" is not kept at it (II/358, furocoumarins
// in sun products: below 1 mg/kg = 0.0001 %).
func TestLimitAtTheFigure(t *testing.T) {
	assert.Equal(t, limits.LimitKept, checkOf(t, limitCase{product: "face-cream"}.of(t, material(t, "p", "preservative", "Phenoxyethanol", "100"), "1"), "V-29-eugb-01").Verdict)
	sun := func(pct string) limits.LimitVerdict {
		oil := impure(t, material(t, "oil", "fragrance", "Citrus Aurantium Bergamia Peel Oil", "100"), "Bergapten", pct)
		return checkOf(t, limitCase{product: "sunscreen"}.of(t, oil, "1"), "II-358-eugb-02").Verdict
	}
	assert.Equal(t, limits.LimitExceeded, sun("0.01")) // 1 × 0.01 / 100 = 0.0001
	assert.Equal(t, limits.LimitKept, sun("0.0099"))
}

// One portion with all of it: 60 % of the pack with 1.2 % is 0.72 % of the whole,
// and 1.2 % where a user takes that portion alone.
func TestLimitOnEachPortion(t *testing.T) {
	p := withFormula(t, formula.Percent, "water", "q.s.", ":keep", "1.2")
	p.IntendedFor = formula.Adults
	v := &formula.Variant{Portions: []formula.Portion{{Name: "top", SharePct: num(t, "60"), Fill: []formula.Fill{fill("keep", "p")}}, {Name: "rest", SharePct: num(t, "40")}}}
	r := assessed(t, p, v, "face-cream", rows.EU, today, material(t, "water", "solvent", "Aqua", "100"), material(t, "p", "preservative", "Phenoxyethanol", "100"))
	c := checkOf(t, r, "V-29-eugb-01")
	assert.Equal(t, limits.LimitExceeded, c.Verdict)
	assert.Equal(t, "top", c.WorstIn)
	assert.Equal(t, "1.2", c.Content.Max.Exact())
	assert.Equal(t, "reduce p to 1 % or less (now 1.2 %)", said(findingOf(t, r, "over-limit")).Fix)
}

// A prohibited substance: certain, possible, and a trace (Article 17).
func TestProhibited(t *testing.T) {
	c := limitCase{product: "shower-gel"}
	fo := func(amount string) *ingredients.Sheet {
		return declared(t, scentSheet("fo"), ingredients.List2023, "Butylphenyl Methylpropional", amount)
	}
	assert.Contains(t, limitCodes(c.of(t, fo("0.2"), "1")), "stop prohibited")
	assert.Contains(t, limitCodes(c.of(t, fo("<0.01"), "1")), "ask maybe-prohibited")
	trace := impure(t, scentSheet("fo"), "Butylphenyl Methylpropional", "0.001")
	r := c.of(t, trace, "1")
	f := findingOf(t, r, "prohibited-trace")
	assert.Equal(t, finding.Ask, f.Severity)
	assert.Contains(t, said(f).Why, "Article 17")
	assert.NotContains(t, limitCodes(r), "stop prohibited")
	for _, x := range r.Limits {
		assert.NotEqual(t, limits.LimitKept, x.Verdict)
	}
}

// A prohibition gives way to the entry it excepts: oxyquinoline sulfate is
// prohibited (II/395) save to stabilise peroxide in hair products (III/51).
func TestProhibitionWithException(t *testing.T) {
	s := material(t, "oxy", "peroxide stabiliser", "Oxyquinoline Sulfate", "100")
	r := limitCase{product: "hair-mask"}.of(t, s, "0.4") // 0.4 × 0.7475 = 0.299, allowed 0.3
	assert.Equal(t, "entry III/51 excepts this use", checkOf(t, r, "II-395-eugb-01").Reason)
	assert.Equal(t, limits.LimitKept, checkOf(t, r, "III-51-eugb-01").Verdict)
	assert.NotContains(t, limitCodes(r), "stop prohibited")
	assert.Contains(t, limitCodes(limitCase{product: "face-cream"}.of(t, s, "0.4")), "stop prohibited")
}

// Safrole from natural oils: 0.01 % in the product (II/360); added as such: none.
func TestNaturalContent(t *testing.T) {
	nutmeg := func(pct string) *ingredients.Sheet {
		return declared(t, material(t, "nutmeg", "fragrance", "Myristica Fragrans Kernel Oil", "100"), ingredients.List2023, "Safrole", pct)
	}
	c := limitCase{product: "body-lotion"}
	assert.Equal(t, limits.LimitKept, checkOf(t, c.of(t, nutmeg("2"), "0.5"), "II-360-eugb-01").Verdict) // 0.5 × 2 / 100 = 0.01
	assert.Equal(t, limits.LimitExceeded, checkOf(t, c.of(t, nutmeg("2.01"), "0.5"), "II-360-eugb-01").Verdict)
	assert.Equal(t, limits.LimitNotApplicable, checkOf(t, c.of(t, nutmeg("2"), "0.5"), "II-360-eugb-04").Verdict)
	added := material(t, "safrole", "fragrance", "Safrole", "100")
	assert.Equal(t, limits.LimitExceeded, checkOf(t, c.of(t, added, "0.001"), "II-360-eugb-04").Verdict)
	perfume := declared(t, scentSheet("fo"), ingredients.List2023, "Safrole", "0.1") // its supplier may have added it
	assert.Equal(t, limits.LimitUndecided, checkOf(t, c.of(t, perfume, "0.5"), "II-360-eugb-04").Verdict)
}

// A row that the file cannot decide is asked about only where it matters.
func TestUndecidedIsAskedWhereItMatters(t *testing.T) {
	c := limitCase{product: "face-cream"}
	silent := func(pct string) *calc.Result { return c.of(t, material(t, "ba", "", "Benzyl Alcohol", "100"), pct) }
	r := silent("0.9") // V/34: 1 % where it preserves
	check := checkOf(t, r, "V-34-eugb-01")
	assert.Equal(t, limits.LimitKept, check.Verdict)
	assert.Equal(t, "kept either way: at most 1 % even if it applies", check.Reason)
	assert.Empty(t, findingsOf(r, "limit-undecided"))

	r = silent("1.5")
	check = checkOf(t, r, "V-34-eugb-01")
	assert.Equal(t, limits.LimitUndecided, check.Verdict)
	assert.Equal(t, []string{"what it is in the product for"}, check.Missing)
	f := findingOf(t, r, "limit-undecided")
	assert.Equal(t, finding.Ask, f.Severity)
	assert.Equal(t, "enter its function on the sheet of ba, the main one first", said(f).Fix)

	stated := c.of(t, material(t, "ba", "solvent", "Benzyl Alcohol", "100"), "1.5")
	assert.Equal(t, limits.LimitNotApplicable, checkOf(t, stated, "V-34-eugb-01").Verdict)
	assert.Empty(t, findingsOf(stated, "limit-undecided"))
}

// The first function of a sheet is certain, the others are what the material can
// do: a conditioner that also preserves is asked about at 1 % (V/44: 0.1 % as a
// preservative; III/286: 1 % in leave-on hair products).
func TestFurtherFunctionsArePossible(t *testing.T) {
	c := limitCase{product: "leave-in-conditioner"}
	r := c.of(t, material(t, "ctac", "HAIR CONDITIONING;ANTISTATIC;PRESERVATIVE", "Cetrimonium Chloride", "100"), "1")
	assert.Equal(t, limits.LimitKept, checkOf(t, r, "III-286-eugb-02").Verdict)
	assert.Equal(t, limits.LimitUndecided, checkOf(t, r, "V-44-eugb-01").Verdict)
	r = c.of(t, material(t, "ctac", "preservative;hair conditioning", "Cetrimonium Chloride", "100"), "1")
	assert.Equal(t, limits.LimitExceeded, checkOf(t, r, "V-44-eugb-01").Verdict)
}

// The list of UV filters is about filtering: zinc oxide in a loose powder is
// stopped as a filter (VI/30), and asked about where no sheet calls it one. A
// preservative holds wherever it comes from, but not as a fragrance alone.
func TestPurposeOfTheAnnex(t *testing.T) {
	powder := limitCase{product: "face-powder"}
	assert.Equal(t, limits.LimitExceeded, verdictOfRow(t, powder.of(t, material(t, "zno", "UV filter", "Zinc Oxide", "100"), "5"), "VI-30-eugb-02"))
	r := powder.of(t, material(t, "zno", "absorbent", "Zinc Oxide", "100"), "5")
	assert.Equal(t, limits.LimitUndecided, verdictOfRow(t, r, "VI-30-eugb-02"))
	assert.NotContains(t, limitCodes(r), "stop prohibited")

	cream := limitCase{product: "face-cream"}
	ylang := declared(t, material(t, "ylang", "fragrance", "Cananga Odorata Flower Oil", "100"), ingredients.List2023, "Methyl Benzoate", "9")
	assert.Equal(t, limits.LimitUndecided, verdictOfRow(t, cream.of(t, ylang, "8"), "V-1a-eugb-01")) // 0.72 × 0.8970 > 0.5
	extract := material(t, "extract", "skin conditioning", "Aqua", "98", "Phenoxyethanol", "2")
	assert.Equal(t, limits.LimitExceeded, verdictOfRow(t, cream.of(t, extract, "60"), "V-29-eugb-01"))
}

// A row for one form of a material leaves open whether it applies (III/321:
// titanium dioxide powder with fine particles).
func TestRowForOneForm(t *testing.T) {
	r := limitCase{product: "eyeshadow-loose"}.of(t, material(t, "ti", "colour", "CI 77891", "100"), "10")
	c := checkOf(t, r, "III-321-eu-04")
	assert.Equal(t, limits.LimitUndecided, c.Verdict)
	assert.Contains(t, c.Reason, "the row is for nothing but titanium dioxide in powder form with >= 1 % particles of aerodynamic diameter <= 10 um")
	assert.NotContains(t, limitCodes(r), "stop prohibited")
}

// A limit that counts a residue is not compared with the substance: cocamide DEA
// 3 % does not hold 0.5 % secondary amine by that (III/60).
func TestResidueIsNotTheSubstance(t *testing.T) {
	c := limitCase{product: "shower-gel"}
	r := c.of(t, material(t, "dea", "foam boosting", "Cocamide DEA", "100"), "3")
	assert.Equal(t, limits.LimitUndecided, checkOf(t, r, "III-60-eugb-01").Verdict)
	f := findingOf(t, r, "criterion")
	assert.Contains(t, said(f).Message, "secondary amine in the raw material at most 5 %")
	assert.Contains(t, said(f).Message, "nitrosamine content at most 50 µg/kg")
	r = c.of(t, material(t, "dea", "foam boosting", "Cocamide DEA", "100"), "0.5") // all of it is within the figure
	assert.Equal(t, limits.LimitKept, checkOf(t, r, "III-60-eugb-01").Verdict)
}

// The maker's own rules are marked as theirs and checked like the law's.
func TestOwnRules(t *testing.T) {
	rows, faults := table.ReadLimits("limits/house.csv", []byte(strings.Join([]string{
		"key,annex,entry,market,inci_names,cas,ec,condition,max_pct,basis,sum_group,sum_rule,required_label_text,colorant_field,applies_from,applies_until,source,seen,note",
		"house-1,own,house,EU+GB,Phenoxyethanol,122-99-6,,leave-on,0.8,,,,,,,,our own rule,seen,",
	}, "\n")))
	require.Empty(t, faults)
	r := limitCase{product: "face-cream"}.of(t, material(t, "p", "preservative", "Phenoxyethanol", "100"), "0.9")
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
	require.Contains(t, codes(fs), "stop over-limit")
	for _, f := range fs {
		if f.Code == "over-limit" {
			assert.True(t, strings.HasPrefix(said(f).Why, "your own rule house-1, our own rule"), said(f).Why)
		}
	}
	assert.NotContains(t, limitCodes(r), "stop over-limit") // the law allows 1 %
}
