package limits

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law/table"
)

// Names, numbers and preparations.
func TestMatching(t *testing.T) {
	m := matcherOf(formulatest.Session(table.Builtin()))
	rows := func(inci, cas string) map[string]string {
		out := map[string]string{}
		for _, f := range m.known(&formula.Substance{INCI: inci, CAS: cas}).matches {
			by := f.by
			if f.doubt != "" {
				by += " in doubt"
			}
			if old, ok := out[formula.EntryOf(f.Row)]; !ok || old != by {
				out[formula.EntryOf(f.Row)] = by
			}
		}
		return out
	}
	assert.Equal(t, "name", rows("Phenoxyethanol", "")["V/29"])
	assert.Equal(t, "cas", rows("2-Phenoxy-1-ethanol", "122-99-6")["V/29"])
	assert.Equal(t, "name", rows("PHENOXYETHANOL", "")["V/29"])
	// Common names in brackets, as US labels have them.
	assert.Equal(t, "name", rows("Arachis Hypogaea (Peanut) Oil", "")["III/306"])
	// "and its preparations" covers every part of the plant.
	assert.Equal(t, "plant", rows("Atropa Belladonna Leaf Extract", "")["II/44"])
	assert.Equal(t, "name", rows("Aristolochia Clematitis Extract", "")["II/365"], "a customary name of the entry")
	assert.Empty(t, rows("Achillea Millefolium Extract", ""))
	// One number, two preparations: the name decides where an entry knows it …
	assert.Equal(t, map[string]string{"III/154": "name"}, rows("Myroxylon Pereirae Oil", "8007-00-9"))
	// … and leaves both in doubt where none does.
	assert.Equal(t, "cas in doubt", rows("Peru Balsam Something Extract", "8007-00-9")["II/1136"])
	assert.Equal(t, "cas in doubt", rows("Peru Balsam Something Extract", "8007-00-9")["III/154"])
	// A number that contradicts a known name.
	assert.Equal(t, "cas in doubt", rows("Glycerin", "111-46-6")["III/186"])
}
