package limits

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"gallipot/calc/law"
	"gallipot/calc/law/table"
)

// Every kind of basis in the table is known, and those that the law marks as
// counting something else are not read as contents.
func TestEveryBasisIsKnown(t *testing.T) {
	for _, l := range law.Limits(table.Builtin()) {
		kind := basisKindOf(l.Basis)
		assert.NotEqual(t, basisUnknown, kind, "%s: %q", l.Key, l.Basis.Text)
		if l.Basis.Other {
			assert.NotEqual(t, basisSubstance, kind, "%s: %q", l.Key, l.Basis.Text)
		}
		if l.MaxPct != nil {
			assert.NotEqual(t, basisLabel, kind, "%s: %q", l.Key, l.Basis.Text)
		}
	}
}
