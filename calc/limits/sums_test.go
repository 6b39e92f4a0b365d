package limits

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"gallipot/calc/law"
	"gallipot/calc/law/annex"
	"gallipot/calc/law/table"
)

// A trigger for wording is no limit, and a limit on what a substance is worth of
// another says of which.
func TestEveryBasisIsKnown(t *testing.T) {
	for _, l := range law.Limits(table.Builtin()) {
		if l.MaxPct != nil {
			assert.NotEqual(t, annex.BasisTrigger, l.Basis.Kind, "%s: %q", l.Key, l.Basis.Text)
		}
		assert.Equal(t, l.Basis.Text != "" && l.Basis.Kind == annex.BasisSubstance, len(l.Basis.As) > 0, "%s: %q",
			l.Key, l.Basis.Text)
	}
}
