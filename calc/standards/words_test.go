package standards

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"gallipot/calc/formula"
	"gallipot/calc/law/table"
	"gallipot/calc/limits"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// Standards that share a number are told apart by the words of the name.
func TestPreparationNamed(t *testing.T) {
	both := []string{"Exemplum oil (expressed)", "Exemplum absolute"}
	assert.Equal(t, both[:1], preparationNamed(both, "Exemplum Flower Oil"))
	assert.Equal(t, both[1:], preparationNamed(both, "Exemplum Absolute"))
	assert.Equal(t, both, preparationNamed(both, "Exemplum Flower"))
	assert.Equal(t, both[:1], preparationNamed(both[:1], "Exemplum Absolute"))
	assert.Equal(t, []string{"Exemplum oils"}, preparationNamed([]string{"Exemplum oils", "Exemplum absolute"}, "Exemplum Oil"))
	assert.Empty(t, preparationNamed(nil, "Exemplum"))
}

func TestStandardsInWords(t *testing.T) {
	run := &limits.Run{In: &formula.Input{Product: &formula.Product{ID: "test", Pos: finding.Pos{Line: 1}}}}
	row := &table.FragranceStandard{Row: table.Row{Key: "k", File: "ifra-standards.csv", Source: "Standard", Seen: "seen"}}
	k := formula.Contribution{Ingredient: "fo", UsePct: num(t, "2"), Given: "50", Pct: rangeOf(t, "1"), LinePos: finding.Pos{Line: 7}}
	base := StandardCheck{Standard: "X", Substances: []string{"A", "B"}, Content: rangeOf(t, "1"), Row: row, Reason: "more than 0.3 % in category 5A", Verdict: StandardExceeded, Contributions: []formula.Contribution{k},
		LimitPct: ptr(num(t, "0.3")), Ratio: ptr(num(t, "1").Quo(num(t, "0.3")))}
	f := standardFinding(run, base)
	assert.Equal(t, []string{"stop standard-over"}, codes([]finding.Finding{f}))
	assert.Equal(t, "not in line with the Standard on X: 1 % of the product is disclosed; more than 0.3 % in category 5A", f.Message)
	assert.Equal(t, "lower what brings it in to 30 % of its amount, or show the assessor a certificate that covers it", f.Fix) // 0.3 / 1
	assert.Equal(t, "A + B", f.Subject)
	assert.Equal(t, 7, f.Pos.Line)
	assert.Equal(t, "", f.Ask)
	assert.Equal(t, "fragrance Standards are self-regulation that the assessor relies on; the law's own limits stand beside them; Standard (ifra-standards.csv, row k)", f.Why)
	assert.Len(t, f.Sum, 1)

	open := base
	open.Verdict = StandardOpen
	f = standardFinding(run, open)
	assert.Equal(t, []string{"ask standard-over"}, codes([]finding.Finding{f}))
	assert.Equal(t, "may not be in line with the Standard on X: 1 % of the product is disclosed; more than 0.3 % in category 5A", f.Message)
	assert.Equal(t, "the assessor", f.Ask)
	soft := base
	soft.Soft, soft.Contributions = true, nil
	f = standardFinding(run, soft)
	assert.Equal(t, finding.Ask, f.Severity)
	assert.Equal(t, 1, f.Pos.Line)

	ban := base
	ban.Verdict, ban.LimitPct, ban.Ratio = StandardProhibited, nil, nil
	ban.Row = &table.FragranceStandard{Row: table.Row{Key: "k", File: "ifra-standards.csv", Source: "Standard", Seen: "memory"}}
	f = standardFinding(run, ban)
	assert.Equal(t, []string{"stop standard-prohibited"}, codes([]finding.Finding{f}))
	assert.Equal(t, "take a fragrance without it, or show the assessor a certificate that covers it", f.Fix)
	assert.Contains(t, f.Why, "; not read in the source")

	sum := base
	sum.Row, sum.LimitPct, sum.Ratio, sum.Reason, sum.WorstIn = nil, nil, ptr(num(t, "1.6")), "use ÷ limit adds up to 1.6, more than 1", "moss"
	f = standardFinding(run, sum)
	assert.Equal(t, []string{"stop phototoxic-sum"}, codes([]finding.Finding{f}))
	assert.Equal(t, "not in line with the Standard on X: use ÷ limit adds up to 1.6, more than 1 in portion moss", f.Message)
	assert.Equal(t, "lower them together to 62.5 % of their amounts, or show the assessor a certificate that covers them", f.Fix) // 100 / 1.6

	none := base
	none.Content, none.Ratio, none.LimitPct = exact.Range{}, nil, nil
	assert.Equal(t, "lower it, or show the assessor a certificate that covers it", standardFinding(run, none).Fix)

	run.In.Type = &table.ProductType{FragranceCategory: "5A"}
	blank := base
	blank.Verdict = StandardNoFigure
	kept := base
	kept.Verdict = StandardKept
	fs := standardFindings(run, []StandardCheck{blank, kept, base})
	assert.Equal(t, []string{"stop standard-over", "note standard-no-figure"}, codes(fs))
	assert.Equal(t, []string{"X"}, fs[1].Items)
	assert.Equal(t, []string{"stop standard-over"}, codes(standardFindings(run, []StandardCheck{kept, base})))
}
