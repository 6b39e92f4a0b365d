package dossier

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law"
)

// tablesWith returns the program's tables with further rows.
func tablesWith(t *testing.T, table string) *law.Tables {
	t.Helper()
	rows, findings := law.ReadLimits("more.csv", []byte(table))
	require.Empty(t, findings)
	return law.Builtin().WithLimits(rows)
}

// A second assessment with other tables in one process uses them, and the first
// ones are used again after it.
func TestOtherTablesAreUsed(t *testing.T) {
	w, findings := Load("../testdata/demo", law.Builtin())
	require.False(t, findings == nil || w == nil)
	p := w.Product("heath-wash")
	more := tablesWith(t, limitColumns+"house-1,own,1,EU+GB,Glycerin,,,all,0.0001,,,,,,,,house rule (invented),seen,\n")
	over := func(opt Options) (rules int) {
		for _, r := range w.Assess(p, opt).Results {
			for _, l := range r.Limits {
				if l.Row.Key == "house-1" {
					rules++
				}
			}
		}
		return rules
	}
	plain, other := Options{Date: testDay, Law: law.Builtin()}, Options{Date: testDay, Law: more}
	assert.Zero(t, over(plain))
	assert.Positive(t, over(other))
	assert.Zero(t, over(plain))
	before, after := w.Assess(p, plain), w.Assess(p, other)
	assert.NotEqual(t, before.Fingerprint, after.Fingerprint)

	// a session of other tables, or of another workshop, is not used
	other.Session = w.Session(law.Builtin())
	assert.Positive(t, over(other))
	again, _ := Load("../testdata/demo", law.Builtin())
	plain.Session = again.Session(more)
	assert.Zero(t, over(plain))

	// without tables those count that the workshop was read against
	elsewhere, _ := Load("../testdata/demo", more)
	a := elsewhere.Assess(elsewhere.Product("heath-wash"), Options{Date: testDay})
	assert.Equal(t, after.Fingerprint, a.Fingerprint)
	assert.Same(t, a.Options.Session, a.Options.within(elsewhere).Session, "a run on the same tables keeps its session")
}
