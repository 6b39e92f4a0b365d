package safety_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law"
	"gallipot/calc/law/safety"
	"gallipot/calc/law/table"
)

// What a row prints and what is computed from it are the same figures.
func TestStabilityFiguresAsPrinted(t *testing.T) {
	tables := table.Builtin()
	for _, s := range law.Stability(tables) {
		for _, n := range []fmt.Stringer{bound(s, true), bound(s, false)} {
			if n.String() != "" {
				assert.Contains(t, strings.ReplaceAll(s.Value, ".0", ""), n.String(), s.Key)
			}
		}
		if s.BoundOpen {
			assert.NotContains(t, s.Value, "=", s.Key)
		}
		if strings.HasPrefix(s.Topic, "challenge ") {
			require.Len(t, s.Organisms, 1, s.Key)
			assert.Equal(t, fmt.Sprintf("%s, day %d", s.Organisms[0], s.Day), s.Item, s.Key)
			assert.Equal(t, s.NoRise != 0, strings.Contains(s.Value, fmt.Sprintf("no increase from day %d", s.NoRise)), s.Key)
		}
		assert.Equal(t, s.Topic == "low risk", s.LowRisk != safety.NoLowRisk, s.Key)
		assert.Equal(t, s.LowRisk == safety.LowRiskFigure, s.Topic == "low risk" && (s.Low != nil || s.High != nil), s.Key)
	}
	assert.Equal(t, "E. coli, P. aeruginosa, S. aureus, C. albicans, A. brasiliensis",
		strings.Join(law.StabilityRow(tables, "C17").Organisms, ", "))
	var weeks []string
	for _, n := range law.StabilityRow(tables, "S6").Weeks {
		weeks = append(weeks, n.Exact())
	}
	assert.Contains(t, law.StabilityRow(tables, "S6").Condition, "check at "+strings.Join(weeks, ", "))
	assert.Contains(t, law.DossierItem(tables, "X9").Needs,
		fmt.Sprintf("%d calendar days", law.DossierItem(tables, "X9").Days))
}

type text string

func (t text) String() string { return string(t) }

func bound(s *safety.StabilityItem, low bool) fmt.Stringer {
	n := s.High
	if low {
		n = s.Low
	}
	if n == nil {
		return text("")
	}
	return text(n.Exact())
}
