package standards

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/calc/law/trade"
	"gallipot/calc/limits"
	"gallipot/dossier/words/wordstest"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// Standards that share a number are told apart by the words of the name.
func TestPreparationNamed(t *testing.T) {
	both := []string{"Exemplum oil (expressed)", "Exemplum absolute"}
	assert.Equal(t, both[:1], preparationNamed(table.Builtin(), both, "Exemplum Flower Oil"))
	assert.Equal(t, both[1:], preparationNamed(table.Builtin(), both, "Exemplum Absolute"))
	assert.Equal(t, both, preparationNamed(table.Builtin(), both, "Exemplum Flower"))
	assert.Equal(t, both[:1], preparationNamed(table.Builtin(), both[:1], "Exemplum Absolute"))
	assert.Equal(t, []string{"Exemplum oils"},
		preparationNamed(table.Builtin(), []string{"Exemplum oils", "Exemplum absolute"}, "Exemplum Oil"))
	assert.Empty(t, preparationNamed(table.Builtin(), nil, "Exemplum"))
}

func TestStandardsInWords(t *testing.T) {
	run := &limits.Run{In: &formula.Input{Session: formulatest.Session(table.Builtin()),
		Product: &formula.Product{ID: "test", Pos: exact.Pos{Line: 1}}}}
	row := &trade.FragranceStandard{Row: rows.Row{Key: "k", File: "ifra-standards.csv", Source: "Standard", Seen: "seen"}}
	k := formula.Contribution{Ingredient: "fo", UsePct: formulatest.Num(t, "2"), Given: "50",
		Pct: formulatest.Range(t, "1"), LinePos: exact.Pos{Line: 7}}
	base := StandardCheck{Standard: "X", Substances: []string{"A", "B"}, Content: formulatest.Range(t, "1"),
		Row: row, Reason: "more than 0.3 % in category 5A", Verdict: StandardExceeded,
		Contributions: []formula.Contribution{k},
		LimitPct:      formulatest.Ptr(formulatest.Num(t, "0.3")),
		Ratio:         formulatest.Ptr(formulatest.Num(t, "1").Quo(formulatest.Num(t, "0.3")))}
	f := standardFinding(run, base)
	assert.Equal(t, []string{"stop standard-over"}, formulatest.Codes([]finding.Finding{f}))
	assert.Equal(t, "it is not in line with the Standard on X: 1 % of the product is disclosed, above 0.3 % in category {category}", wordstest.Said(f).Message)
	assert.Equal(t, "reduce what brings it in to 30 % of its amount, or show the assessor a certificate that covers it", wordstest.Said(f).Fix) // 0.3 / 1
	assert.Equal(t, "A + B", f.Subject)
	assert.Equal(t, 7, f.Pos.Line)
	assert.Equal(t, "", wordstest.Said(f).Ask)
	assert.Equal(t, "fragrance Standards are self-regulation that the assessor relies on; limits set by law are checked separately; Standard (ifra-standards.csv, row k)", wordstest.Said(f).Why)
	assert.Len(t, f.Sum, 1)

	open := base
	open.Verdict = StandardOpen
	f = standardFinding(run, open)
	assert.Equal(t, []string{"ask standard-over"}, formulatest.Codes([]finding.Finding{f}))
	assert.Equal(t, "it may not be in line with the Standard on X: 1 % of the product is disclosed, and the range reaches above 0.3 % in category {category}", wordstest.Said(f).Message)
	assert.Equal(t, "the assessor", wordstest.Said(f).Ask)
	soft := base
	soft.Soft, soft.Contributions = true, nil
	f = standardFinding(run, soft)
	assert.Equal(t, finding.Ask, f.Severity)
	assert.Equal(t, 1, f.Pos.Line)

	ban := base
	ban.Verdict, ban.LimitPct, ban.Ratio = StandardProhibited, nil, nil
	ban.Row = &trade.FragranceStandard{Row: rows.Row{Key: "k", File: "ifra-standards.csv", Source: "Standard",
		Seen: "memory"}}
	f = standardFinding(run, ban)
	assert.Equal(t, []string{"stop standard-prohibited"}, formulatest.Codes([]finding.Finding{f}))
	assert.Equal(t, "choose a fragrance without it, or show the assessor a certificate that covers it",
		wordstest.Said(f).Fix)
	assert.Contains(t, wordstest.Said(f).Why, "; not yet checked against its source")

	sum := base
	sum.Row, sum.LimitPct, sum.Ratio, sum.Reason, sum.WorstIn = nil, nil,
		formulatest.Ptr(formulatest.Num(t, "1.6")), "use ÷ limit adds up to 1.6, more than 1", "moss"
	f = standardFinding(run, sum)
	assert.Equal(t, []string{"stop phototoxic-sum"}, formulatest.Codes([]finding.Finding{f}))
	assert.Equal(t, "together they are not in line with the Standards on phototoxic oils: use ÷ limit adds up to 1.6 in portion moss, which is more than 1", wordstest.Said(f).Message)
	assert.Equal(t, "reduce them together to 62.5 % of their amounts, or show the assessor a certificate that covers them", wordstest.Said(f).Fix) // 100 / 1.6

	none := base
	none.Content, none.Ratio, none.LimitPct = exact.Range{}, nil, nil
	assert.Equal(t, "reduce what brings it in to {share} of its amount, or show the assessor a certificate that covers it", wordstest.Said(standardFinding(run, none)).Fix)

	run.In.Type = &trade.ProductType{FragranceCategory: "5A"}
	blank := base
	blank.Verdict = StandardNoFigure
	kept := base
	kept.Verdict = StandardKept
	fs := standardFindings(run, []StandardCheck{blank, kept, base})
	assert.Equal(t, []string{"stop standard-over", "note standard-no-figure"}, formulatest.Codes(fs))
	assert.Equal(t, []string{"X"}, wordstest.Said(fs[1]).Items)
	assert.Equal(t, []string{"stop standard-over"}, formulatest.Codes(standardFindings(run, []StandardCheck{kept, base})))
}

// The Standards of a substance without a number: by the number that the dictionary ties to
// its name, and by that which the inventory gives an official name (estragole, 140-67-0).
func TestStandardsOfANameAlone(t *testing.T) {
	in := formulatest.OfType(t, "body-lotion", formula.Adults, nil)
	run := limits.GroundOf(in, []*formula.Composition{{}}).Run(in)
	for inci, want := range map[string][]string{"Citrus Aurantium Bergamia Extract": {"Bergamot oil, expressed"},
		"Allylanisole": {"Estragole"}, "Glycerin": nil} {
		assert.Equal(t, want, standardsOf(run, &limits.LimitUse{S: &formula.Substance{INCI: inci}}), inci)
	}
}

// What a finding of a Standard shows: a ban what brings it in and why, and no category; a sum
// its ratio with four digits; a figure that rests on the sheet's silence says so.
func TestFindingsOfStandardsByKind(t *testing.T) {
	run := &limits.Run{In: &formula.Input{Session: formulatest.Session(table.Builtin()),
		Product: &formula.Product{ID: "test"}}}
	has := func(f finding.Finding, name string) bool { _, ok := f.Values.Get(name); return ok }
	row := &trade.FragranceStandard{Basis: "sensitiser"}
	c := StandardCheck{Standard: "X", Row: row, Category: "5A", Content: formulatest.Range(t, "1"),
		Verdict: StandardProhibited, natural: true}
	f := standardFinding(run, c)
	basis, _ := f.Values.Get("basis")
	assert.Equal(t, []any{"standard-prohibited", "sensitiser", true, false},
		[]any{f.Code, basis.Text, has(f, "natural"), has(f, "category")})
	row.Basis = "not to be used as a fragrance ingredient"
	assert.False(t, has(standardFinding(run, c), "basis"))
	c.Verdict, c.expressed, c.natural = StandardExceeded, true, false
	f = standardFinding(run, c)
	assert.Equal(t, []any{"standard-over", true, true, false},
		[]any{f.Code, has(f, "category"), has(f, "expressed"), has(f, "basis")})
	f = standardFinding(run, StandardCheck{Ratio: formulatest.Ptr(formulatest.Num(t, "1.028085"))})
	ratio, _ := f.Values.Get("ratio")
	assert.Equal(t, []string{"phototoxic-sum", "1.028"}, []string{f.Code, ratio.Round.Of(ratio.Low)})
}

// A certificate is told with its Amendment from the first on, where the paper names one.
func TestAmendmentOfACertificate(t *testing.T) {
	s := formulatest.Certified(t, formulatest.ScentSheet("fo"), "5A", "1")
	for amendment, told := range map[int]bool{0: false, 1: true, 51: true} {
		s.FragranceLimits.Amendment = amendment
		v, ok := certificateSource(s, exact.Pos{File: "fo.yaml"})[0].List.Get("amendment")
		assert.Equal(t, told, ok)
		assert.Equal(t, amendment, v.Count())
	}
}
