package assess_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/annex"
	"gallipot/calc/law/table"
	"gallipot/dossier/assess"
	"gallipot/dossier/workshop"
)

// tablesWith returns the program's tables with further rows.
func tablesWith(t *testing.T, tab string) *table.Tables {
	t.Helper()
	rows, findings := annex.ReadOwn("more.csv", []byte(tab))
	require.Empty(t, findings)
	return table.Builtin().WithLimits(rows)
}

// A second assessment with other tables in one process uses them, and the first
// ones are used again after it.
func TestOtherTablesAreUsed(t *testing.T) {
	w, findings := workshop.Load("../../testdata/demo", table.Builtin())
	require.False(t, findings == nil || w == nil)
	p := w.Product("heath-wash")
	more := tablesWith(t, limitColumns+"house-1,own,1,EU+GB,Glycerin,,,all,0.0001,,,,,,,,house rule (invented),seen,\n")
	over := func(opt assess.Options) (rules int) {
		for _, r := range assess.Run(w, p, opt).Results {
			for _, l := range r.Limits {
				if l.Row.Key == "house-1" {
					rules++
				}
			}
		}
		return rules
	}
	plain, other := assess.Options{Date: testDay, Law: table.Builtin()}, assess.Options{Date: testDay, Law: more}
	assert.Zero(t, over(plain))
	assert.Positive(t, over(other))
	assert.Zero(t, over(plain))
	before, after := assess.Run(w, p, plain), assess.Run(w, p, other)
	assert.NotEqual(t, before.Fingerprint, after.Fingerprint)

	// a session of other tables, or of another workshop, is not used
	other.Session = assess.Session(w, table.Builtin())
	assert.Positive(t, over(other))
	again, _ := workshop.Load("../../testdata/demo", table.Builtin())
	plain.Session = assess.Session(again, more)
	assert.Zero(t, over(plain))

	// without tables those count that the workshop was read against
	elsewhere, _ := workshop.Load("../../testdata/demo", more)
	a := assess.Run(elsewhere, elsewhere.Product("heath-wash"), assess.Options{Date: testDay})
	assert.Equal(t, after.Fingerprint, a.Fingerprint)
	assert.Same(t, a.Options.Session, a.Options.Within(elsewhere).Session, "a run on the same tables keeps its session")
}
