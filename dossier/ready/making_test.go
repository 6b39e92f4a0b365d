package ready_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/dossier/evidence"
	"gallipot/dossier/workshop/workshoptest"
)

const doneBatch = `code: C1
product: cream
date: 2026-05-02
lines:
  - {ingredient: water, phase: A, planned_g: 900, weighed_g: 900, lot: W1}
  - {ingredient: blend, phase: A, planned_g: 10, weighed_g: 10, lot: B1}
retained: {units: 1}
release: {decision: released, by: M, date: 2026-05-04}
sent: [{to: a shop, date: 2026-06-05, units: 3}]
`

// batchCases change a finished record.
var batchCases = []struct {
	name     string
	old, new string // in the record
	id       string
	state    evidence.ReadyState
	because  string
}{
	{"complete", "", "", "G2", evidence.ReadyPresent, "1 batch"},
	{"numbered", "", "", "G3", evidence.ReadyPresent, "1 batch"},
	{"sample kept", "", "", "G4", evidence.ReadyPresent, "1 batch"},
	{"traced", "", "", "G5", evidence.ReadyPresent, "1 batch"},
	// Article 11(1): ten years after the last batch was placed on the market
	{"kept ten years from the last sale", "", "", "P6", evidence.ReadyPresent,
		"last batch out on 2026-06-05: keep the file until 2036-06-05"},
	{"kept ten years from the release", "sent: [{to: a shop, date: 2026-06-05, units: 3}]\n", "", "P6",
		evidence.ReadyPresent, "2036-05-04"},
	{"a mass left out", "planned_g: 10, weighed_g: 10", "planned_g: 10", "G2", evidence.ReadyMissing, "not for C1"},
	{"no decision", "release: {decision: released, by: M, date: 2026-05-04}\n", "", "G2", evidence.ReadyMissing,
		"not for C1"},
	{"no sample", "retained: {units: 1}\n", "", "G4", evidence.ReadyMissing, "not for C1"},
	{"no lot", ", lot: B1", "", "G5", evidence.ReadyMissing, "not for C1"},
	{"nobody it went to", "sent: [{to: a shop, date: 2026-06-05, units: 3}]\n", "", "G5", evidence.ReadyMissing,
		"not for C1"},
	{"of another product", "product: cream", "product: other", "G2", evidence.ReadyNotStated, "no batch"},
}

// withBatch is the full workshop with a second product and the finished record, changed.
func withBatch(t *testing.T, old, text string) map[string]string {
	t.Helper()
	files := workshoptest.FullFiles()
	files["products/other.yaml"] = strings.Replace(files["products/cream.yaml"], "id: cream", "id: other", 1)
	require.Contains(t, doneBatch, old)
	files["batches/C1.yaml"] = strings.Replace(doneBatch, old, text, 1)
	return files
}

// TestBatchItems looks at what batch records say of the items that ask for
// them.
func TestBatchItems(t *testing.T) {
	for _, c := range batchCases {
		t.Run(c.name, func(t *testing.T) {
			x := itemOf(t, assessFiles(t, withBatch(t, c.old, c.new)), c.id)
			assert.Equal(t, c.state, x.State, x.Because())
			assert.Contains(t, x.Because(), c.because)
		})
	}
}

// TestPlannedBatchAsksForNothing: what is not made yet leaves nothing open.
func TestPlannedBatchAsksForNothing(t *testing.T) {
	files := workshoptest.FullFiles()
	files["batches/C1.yaml"] = "code: C1\nproduct: cream\ndate: 2026-05-02\nlines:\n  - {ingredient: water, phase: A, planned_g: 900}\n"
	a := assessFiles(t, files)
	for _, id := range []string{"P6", "G2", "G3", "G4", "G5"} {
		assert.Equal(t, evidence.ReadyNotNeeded, itemOf(t, a, id).State, id)
	}
}
