package standards_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/calctest"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law"
	"gallipot/calc/law/table"
	"gallipot/calc/standards"
	"gallipot/ingredients"
	"gallipot/ingredients/finding"
)

// A certificate dated after the day is none yet: its figure binds all the same, and a use
// that it keeps has no paper. One of an Amendment that the tables do not know is asked about.
func TestCertificateOfALaterDay(t *testing.T) {
	later := func(s *ingredients.Sheet) { s.FragranceLimits.Dated = 20261126 }
	r := scented(t, "body-butter", "2", later)
	assert.Equal(t, standards.FragranceNoPaper, r.Fragrances[0].Status)
	f := calctest.Finding(t, r, "no-certificate")
	assert.Equal(t, []any{"later", finding.Ask}, []any{f.Form, f.Severity})
	dated, _ := f.Values.Get("dated")
	assert.Equal(t, "2026-11-26", dated.Date().String())
	assert.Equal(t, standards.FragranceExceeded, scented(t, "body-butter", "2.4", later).Fragrances[0].Status)
	assert.Equal(t, standards.FragranceKept, scented(t, "body-butter", "2",
		func(s *ingredients.Sheet) { s.FragranceLimits.Dated = 20261125 }).Fragrances[0].Status, "of the day itself")
	r = scented(t, "body-butter", "2", func(s *ingredients.Sheet) {
		later(s)
		s.FragranceLimits.Limits[0].NoLimit = true
	})
	assert.Equal(t, standards.FragranceNoPaper, r.Fragrances[0].Status)
	r = scented(t, "body-butter", "2", func(s *ingredients.Sheet) { s.FragranceLimits = nil })
	assert.Equal(t, "", calctest.Finding(t, r, "no-certificate").Form)

	newest := law.NewestAmendment(table.Builtin())
	for amendment, want := range map[int][2]int{newest - 1: {1, 0}, newest: {0, 0}, newest + 1: {0, 1}, 0: {0, 0}} {
		r = scented(t, "body-butter", "2", func(s *ingredients.Sheet) { s.FragranceLimits.Amendment = amendment })
		assert.Equal(t, want, [2]int{len(calctest.Findings(r, "old-amendment")), len(calctest.Findings(r,
			"newer-amendment"))},
			amendment)
		for _, f := range calctest.Findings(r, "newer-amendment") {
			assert.Equal(t, finding.Ask, f.Severity)
			assert.Equal(t, []finding.Party{finding.TheMaker}, f.Who)
		}
	}
}

// Uses are told with four digits, limits as the paper has them; the line is where to mend it.
func TestFiguresOfCertificates(t *testing.T) {
	r := scented(t, "body-butter", "2.4123456", nil)
	f := calctest.Finding(t, r, "fragrance-over")
	assert.Equal(t, []string{"2.412", "2.35"}, []string{calctest.Shown(t, f, "use"), calctest.Shown(t, f, "limit")})
	require.NotNil(t, f.Settle)
	assert.Equal(t, "amount", f.Settle.Key)
	assert.Equal(t, "2.4123456", f.Grade.Exact())

	// two scents, each of 2 % with a limit of 3 %: 2/3 and 2/3 make 4/3
	a, b := formulatest.Certified(t, formulatest.ScentSheet("a"), "5A", "3"),
		formulatest.Certified(t, formulatest.ScentSheet("b"), "5A", "3")
	r = calctest.Case{Product: "body-butter"}.Of(t, a, "2", b, "2")
	f = calctest.Finding(t, r, "fragrance-sum")
	assert.Equal(t, "4/3", f.Grade.Exact())
	assert.Equal(t, "75", calctest.Shown(t, f, "share"))
}

// Citral in category 5A: 0.15 %. By hand: 80 % of 0.2034567 % is 0.16276536; 0.15 ÷ that is
// 92.157 %, cut to 92.1.
func TestFiguresOfStandards(t *testing.T) {
	oil := formulatest.Declared(t, formulatest.Material(t, "lemongrass", "fragrance", "Cymbopogon Flexuosus Oil", "100"),
		ingredients.List2023, "Citral", "80")
	r := calctest.Case{Product: "body-lotion"}.Of(t, oil, "0.2034567")
	f := calctest.Finding(t, r, "standard-over")
	assert.Equal(t, []string{"0.1628", "0.15", "92.1"}, []string{calctest.Shown(t, f, "content"), calctest.Shown(t, f, "limit"),
		calctest.Shown(t, f, "share")})
	c := standardOf(t, r, "Citral")
	assert.Equal(t, c.Ratio.Exact(), f.Grade.Exact())
	assert.Len(t, c.Contributions, 1)
	// geranial and neral from two materials: what each brings stands in the sum
	fo := formulatest.Declared(t, formulatest.ScentSheet("fo"), ingredients.List2023, "Geranial", "10", "Neral", "6")
	r = calctest.Case{Product: "body-lotion"}.Of(t, fo, "1", oil, "0.1")
	c = standardOf(t, r, "Citral")
	assert.Len(t, c.Contributions, 3)
	assert.Equal(t, "0.24", c.Content.Max.Exact()) // 0.1 + 0.06 + 0.08

	// a ban: what a plant brings in is told as natural
	fo = formulatest.Declared(t, formulatest.ScentSheet("fo"), ingredients.List2023,
		"3-Acetyl-2,5-dimethylfuran", "0.123456")
	f = calctest.Finding(t, calctest.Case{Product: "body-lotion"}.Of(t, fo, "1"), "standard-prohibited")
	assert.Equal(t, "0.001235", calctest.Shown(t, f, "content"))
	_, natural := f.Values.Get("natural")
	assert.False(t, natural)
	_, limit := f.Values.Get("limit")
	assert.False(t, limit)
	assert.Equal(t, "0.00123456", f.Grade.Exact())
	basis, told := f.Values.Get("basis")
	row := standardOf(t, calctest.Case{Product: "body-lotion"}.Of(t, fo, "1"), "3-Acetyl-2,5-dimethylfuran").Row
	assert.Equal(t, row.Basis != "not to be used as a fragrance ingredient", told, "%s", row.Basis)
	if told {
		assert.Equal(t, row.Basis, basis.Text)
	}
}
