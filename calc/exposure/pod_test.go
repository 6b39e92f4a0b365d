package exposure

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"gallipot/calc/law/table"
)

// The types of values by their first letters; what is not known is no dose without
// effect.
func TestKindsOfValues(t *testing.T) {
	for kind, types := range map[podKind][]string{podEffect: {"NOAEL", "noel", "BMDL10", "No effect level"},
		podLowest: {"LOAEL", "LOEL"},
		podIntake: {"ADI", "TDI", "TWI", "PTWI", "UL", "ARfD", "RfD", "DNEL", "tolerable intake",
			"acceptable intake"}, podTumour: {"T25", "TD50"}, podUnknown: {"LD50", ""}} {
		for _, name := range types {
			assert.Equal(t, kind, kindOf(table.Builtin(), name), name)
		}
	}
}

// Studies of a sheet, their length and route, in words.
func TestStudiesOfASheet(t *testing.T) {
	for _, c := range []struct {
		study string
		days  float64
		ok    bool
	}{
		{"28 days", 28, true}, {"28-day", 28, true}, {"4 weeks", 28, true}, {"13 week", 91, true},
		{"14 days, then 90 days", 90, true}, {"90 days after 14 days", 90, true},
		{"two generations", 0, false}, {"reproduction, 28 days", 0, false}, {"gestation, 14 days", 0, false},
		{"teratology 10 days", 0, false}, {"development 10 days", 0, false}, {"", 0, false},
		{"99999999999999999999 days", 0, false},
	} {
		days, ok := studyDays(table.Builtin(), c.study)
		assert.Equal(t, c.days, days, c.study)
		assert.Equal(t, c.ok, ok, c.study)
	}
	for word, want := range map[string]podKind{"NOAEL": podEffect, " noel": podEffect, "BMDL10": podEffect,
		"LOAEL": podLowest, "LOEL": podLowest, "ADI": podIntake, "TDI": podIntake,
		"ARfD": podIntake, "T25": podTumour, "TD50": podTumour, "": podUnknown, "about 5": podUnknown} {
		assert.Equal(t, want, kindOf(table.Builtin(), word), word)
	}
	assert.Equal(t, []int{0, 1}, []int{boolRank(false), boolRank(true)})
}
