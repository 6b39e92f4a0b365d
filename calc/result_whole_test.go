package calc_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"gallipot/calc"
	"gallipot/calc/calctest"
	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law/rows"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// The highest content in the whole or a portion; the whole where none has more. And
// findings: the gravest first, then by place, code and words, none twice.
func TestResults(t *testing.T) {
	fo := formulatest.Declared(t, formulatest.ScentSheet("fo"), ingredients.List2003, "Linalool", "1")
	v := &formula.Variant{Portions: []formula.Portion{{Name: "one", SharePct: formulatest.Num(t, "30"),
		Fill: []formula.Fill{formulatest.Fill("scent", "fo")}},
		{Name: "two", SharePct: formulatest.Num(t, "70"), Fill: []formula.Fill{formulatest.Fill("scent", "fo")}}}}
	p := formulatest.WithFormula(t, formula.Percent, "base", "q.s.", ":scent", "1")
	r := calctest.Assess(t, p, v, "body-butter", rows.GB, 20261125, formulatest.Squalane(t), fo)
	_, where := r.Worst(r.Whole().Find("Linalool"))
	assert.Equal(t, "", where)
	v.Portions[1].Fill = nil
	r = calctest.Assess(t, p, v, "body-butter", rows.GB, 20261125, formulatest.Squalane(t), fo)
	worst, where := r.Worst(r.Whole().Find("Linalool"))
	assert.Equal(t, "one 0.01", where+" "+worst.Max.Exact())

	at := func(s finding.Severity, line int, code, message string) finding.Finding {
		return finding.Finding{Severity: s, Pos: exact.Pos{File: "f", Line: line}, Code: code,
			Values: formula.With().Name("m", message)}
	}
	in := []finding.Finding{at(finding.Note, 1, "a", "m"), at(finding.Stop, 9, "b", "m"),
		at(finding.Stop, 9, "a", "n"), at(finding.Ask, 3, "a", "m"),
		at(finding.Stop, 9, "a", "m"), at(finding.Stop, 2, "z", "m"), at(finding.Stop, 9, "a", "m"),
		at(finding.Stop, 9, "b", "m")}
	var got []string
	for _, f := range calc.Unique(in) {
		got = append(got, f.Severity.String()+" "+formula.Itoa(f.Pos.Line)+f.Code+f.Values[0].Text)
	}
	assert.Equal(t, []string{"stop 2zm", "stop 9am", "stop 9an", "stop 9bm", "ask 3am", "note 1am"}, got)
	assert.Equal(t, "note", in[0].Severity.String(), "the list given stays in its order")
}
