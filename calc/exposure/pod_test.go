package exposure

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"gallipot/calc/law/table"
)

// The types of values by their first letters; what is not known is no dose without
// effect.
func TestKindsOfValues(t *testing.T) {
	for kind, types := range map[PodKind][]string{PodEffect: {"NOAEL", "noel", "BMDL10", "No effect level"}, PodLowest: {"LOAEL", "LOEL"},
		PodIntake: {"ADI", "TDI", "UL", "ARfD", "RfD", "DNEL", "tolerable intake"}, PodTumour: {"T25", "TD50"}, PodUnknown: {"LD50", ""}} {
		for _, name := range types {
			assert.Equal(t, kind, KindOf(table.Builtin(), name), name)
		}
	}
}
