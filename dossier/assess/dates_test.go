package assess

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"gallipot/calc/law/table"
	"gallipot/dossier/workshop"
	"gallipot/dossier/workshop/workshoptest"
	"gallipot/ingredients/exact"
)

// TestReadingsAhead: a test begun on 2026-01-12 comes to week 46 on 2026-11-30
// (46 × 7 = 322 days); half a week before that, on 2026-11-27, it can be read.
func TestReadingsAhead(t *testing.T) {
	week := exact.Int(46)
	test := &workshop.StabilityTest{Started: 20260112, Readings: []workshop.Reading{{Week: &week}}}
	assert.Equal(t, exact.Date(20261130), After(test, week))
	assert.Len(t, readingsAfter(test, 20261126), 1)
	assert.Empty(t, readingsAfter(test, 20261127))
	assert.Empty(t, readingsAfter((&workshop.StabilityTest{Readings: test.Readings}), 20200101),
		"without a start no day is known")
	for _, weeks := range []string{"500000", "1e30", "1000000000000000000000000"} {
		if n, err := exact.ParseNum(weeks); err == nil {
			assert.Equal(t, exact.Date(99991231), After(test, n), weeks)
		}
	}
}

// TestWhatIsThereOnADay: each record is dated 2027-01-02, so on 2027-01-01 it is
// not there yet, and a day later it is.
func TestWhatIsThereOnADay(t *testing.T) {
	w, _ := workshop.LoadFS("shop", workshoptest.Folder(map[string]string{
		"workshop.yaml":          "maker: {name: M, address: [A]}\nmarkets: [GB]\n",
		"ingredients/water.yaml": "id: water\nname: Water\ncomposition: {complete: true, constituents: [{inci: Aqua, pct: 100}]}\n",
		"products/tide.yaml": `id: tide
name: Tide
revision: 1
product_type: body-lotion
intended_for: adults
formula: {basis: percent, phases: [{id: A, lines: [{ingredient: water, amount: q.s.}]}]}
durability: {pao_months: 12}
stability:
  - {test: begun, temp_c: 25, weeks: 4, started: 2027-01-02, verdict: pass, file: evidence/x.pdf}
  - {test: bad, temp_c: 40, weeks: 4, started: 2027-01-02, verdict: fail, file: evidence/x.pdf}
  - {test: over, temp_c: 40, weeks: 1, started: 2026-12-26, verdict: pass, file: evidence/x.pdf}
microbiology:
  - {test: count, verdict: pass, dated: 2027-01-02}
  - {test: count, verdict: fail, dated: 2027-01-02}
  - {test: challenge, verdict: A, dated: 2027-01-02}
documents: [{kind: gmp, dated: 2027-01-02}]
notifications: [{market: GB, number: "1", dated: 2027-01-02}]
assessments: [{assessor: A, dated: 2027-01-02, fingerprint: 0123456789abcdef}]
complaints:
  - {dated: 2027-01-02, text: rash, serious: false}
  - {dated: 2026-12-01, text: burn, serious: true, reported: 2027-01-02}
sold: [{units: 5, until: 2027-01-02}]
`}), table.Builtin())
	p := w.Products[0]
	assert.Len(t, Dated(p, 20270101), 12)
	before := AsOf(p, 20270101)
	assert.Equal(t, []string{"open", "fail", "open"},
		[]string{before.Stability[0].Verdict, before.Stability[1].Verdict, before.Stability[2].Verdict})
	assert.Equal(t, []string{"", "evidence/x.pdf", "evidence/x.pdf"},
		[]string{before.Stability[0].File, before.Stability[1].File, before.Stability[2].File})
	assert.Len(t, before.Microbiology, 1, "the one that failed")
	assert.Empty(t, before.Evidence.ChallengeTests)
	assert.Empty(t, before.Documents)
	assert.Empty(t, before.Notifications)
	assert.Empty(t, before.Assessments)
	assert.Len(t, before.Complaints, 2)
	assert.True(t, before.Complaints[1].Reported.IsZero())

	assert.Len(t, p.Microbiology, 3, "the file itself is as it was")
	assert.Equal(t, exact.Date(20270102), p.Complaints[1].Reported)
	assert.Len(t, Dated(p, 20270102), 1, "the four weeks of the test begun on that day end on 2027-01-30")
	assert.Same(t, p, AsOf(p, 20270130))
}
