package stability

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"gallipot/calc/law/table"
	"gallipot/dossier/words/wordstest"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/source"
	"gallipot/testdata/testrun"
)

func TestMain(m *testing.M) { testrun.Main(m) }

func TestReadLogMistakes(t *testing.T) {
	for _, c := range []struct{ records, want string }{
		{"microbiology: [{test: challenge, verdict: A, counts: [{organism: E. coli, day0: 1000000}]}]\n",
			"too high for a logarithm"},
		{"microbiology: [{test: challenge, verdict: A, counts_in: cfu, counts: [{organism: E. coli, day0: 0}]}]\n",
			"below a limit of detection"},
		{"microbiology: [{test: challenge, verdict: A, counts: [{organism: E. coli}]}]\n", "missing in this line of counts"},
		{"sold: [{variant: none, units: 3, until: 2026-01-01}]\n", "not one of the words allowed"},
		{"complaints: [{dated: 2026-01-01, text: x, serious: false, causality: perhaps}]\n", "not one of the words allowed"},
	} {
		_, fs := workshop.ReadProduct(source.NewSource("products/x.yaml", []byte(product+c.records)), nil, table.Builtin())
		var got []string
		for _, f := range fs {
			got = append(got, wordstest.Said(f).Message)
		}
		assert.Contains(t, strings.Join(got, "\n"), c.want, c.records)
	}
}

// TestPlannedWeeks: the weeks of row S6 (0, 1, 2, 4, 8, 12), then every 13 weeks
// from the last of them. The end replaces a week that is closer to it than half of
// the time before that week: 51 before 52, where 51 − 38 = 13; 12 before 13, where
// 12 − 8 = 4; not 12 before 24, nor 8 before 10, where (8 − 4) ÷ 2 = 2.
func TestPlannedWeeks(t *testing.T) {
	for until, want := range map[int64][]int64{
		10: {0, 1, 2, 4, 8, 10}, 12: {0, 1, 2, 4, 8, 12}, 13: {0, 1, 2, 4, 8, 13}, 24: {0, 1, 2, 4, 8, 12, 24},
		26: {0, 1, 2, 4, 8, 12, 26},
		52: {0, 1, 2, 4, 8, 12, 25, 38, 52}, 104: {0, 1, 2, 4, 8, 12, 25, 38, 51, 64, 77, 90, 104},
	} {
		var weeks []exact.Num
		for _, w := range want {
			weeks = append(weeks, exact.Int(w))
		}
		assert.Equal(t, weeks, usualChecks(table.Builtin(), exact.Int(until)), until)
	}
}

// TestMissedReadings: of 0, 1, 2, 4, 8, 12, 25, 38 and 52, readings in weeks 0, 12
// and 39 leave 1, 2, 4, 8 and 25; 39 is nearest to 38, and 52 is still to come.
func TestMissedReadings(t *testing.T) {
	year := exact.Int(52)
	test := &workshop.StabilityTest{Weeks: &year}
	for _, w := range []int64{0, 12, 39} {
		n := exact.Int(w)
		test.Readings = append(test.Readings, workshop.Reading{Week: &n})
	}
	whole := func(ns ...int64) (out []exact.Num) {
		for _, n := range ns {
			out = append(out, exact.Int(n))
		}
		return out
	}
	assert.Equal(t, whole(1, 2, 4, 8, 25), missed(test, table.Builtin()))
	test.Checks = whole(0, 10, 30)
	assert.Equal(t, whole(), missed(test, table.Builtin()), "12 stands for 10, 39 for 30")
	test.Readings = test.Readings[2:]
	assert.Equal(t, whole(0, 10), missed(test, table.Builtin()))
	assert.Empty(t, missed((&workshop.StabilityTest{Weeks: &year}), table.Builtin()),
		"nothing is missed of a test without readings")
}
