package annex

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// How the contents behind a rule are added, by the cells of the row.
func TestSums(t *testing.T) {
	summed := rule.With("sum_group", "g")
	assert.Equal(t, Sum{}, readRule(t, summed).Sum, "a group without a rule")
	for word, kind := range map[string]SumKind{"all": SumAll, "below": SumAll, "each": SumEach, "label": SumLabel,
		"exclusive": SumExclusive} {
		s := readRule(t, summed.With("sum", word)).Sum
		assert.Equal(t, kind, s.Kind, word)
		assert.Equal(t, word == "below", s.Strict, word)
		require.NotNil(t, s.LimitPct, word)
		assert.Equal(t, "1", s.LimitPct.Exact(), "the sum may be no more than one alone")
		assert.Equal(t, []string{"g"}, s.Groups)
		assert.False(t, s.AnyCondition)
	}
	s := readRule(t, summed.With("sum", "all").With("sum_pct", "1").With("sum_groups", "g;h").With("sum_conditions", "any")).Sum
	assert.Equal(t, "1", s.LimitPct.Exact())
	assert.Equal(t, []string{"g", "h"}, s.Groups)
	assert.True(t, s.AnyCondition)
	assert.Equal(t, "2", readRule(t, rule.With("sum", "all").With("sum_pct", "2")).Sum.LimitPct.Exact())
	assert.Nil(t, readRule(t, rule.With("sum", "all")).Sum.Groups)
	bare := rule.With("max_pct", "").With("sum", "label")
	assert.Nil(t, readRule(t, bare).Sum.LimitPct)
	assert.Equal(t, "0.05", readRule(t, bare.With("sum_pct", "0.05")).Sum.LimitPct.Exact())
}

// Which rows are added: those of the entries named, or those of the groups under the same
// condition, or under any.
func TestRowsOfSums(t *testing.T) {
	row := rule.With("sum", "all").With("sum_group", "g")
	same, elsewhere, other := row, row.With("sum_group", "h"), row.With("condition", "leave-on")
	second, none := row.With("entry", "2"), rule
	for _, c := range []struct {
		name                                   string
		of                                     [][2]string
		same, elsewhere, other, second, noneIn bool
	}{
		{"the group", nil, true, false, false, true, false},
		{"groups", [][2]string{{"sum_groups", "g;h"}}, true, true, false, true, false},
		{"any condition", [][2]string{{"sum_conditions", "any"}}, true, false, true, true, false},
		{"one entry", [][2]string{{"sum_entries", "III/2"}}, false, false, false, true, false},
		{"entries", [][2]string{{"sum_entries", "III/2;III/3"}}, false, false, false, true, false},
	} {
		cells := row
		for _, w := range c.of {
			cells = cells.With(w[0], w[1])
		}
		l := readRule(t, cells)
		assert.Equal(t, []bool{c.same, c.elsewhere, c.other, c.second, c.noneIn}, []bool{readRule(t, same).Adds(l),
			readRule(t, elsewhere).Adds(l), readRule(t, other).Adds(l), readRule(t, second).Adds(l), readRule(t, none).Adds(l)}, c.name)
	}
}
