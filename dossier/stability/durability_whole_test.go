package stability_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/dossier/evidence"
	"gallipot/dossier/stability"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop/workshoptest"
	"gallipot/ingredients/finding"
)

// creamWith replaces the stability tests of the full workshop.
func creamWith(t *testing.T, tests string) *evidence.Filing {
	t.Helper()
	files := workshoptest.FullFiles()
	require.Contains(t, files["products/cream.yaml"], stabilityOf)
	files["products/cream.yaml"] = strings.Replace(files["products/cream.yaml"], stabilityOf, "stability:\n"+tests, 1)
	return evidence.New(assessFiles(t, files))
}

// TestAgeing checks the rule of thumb on the cases that the notes to
// stability-micro.csv work out, section 4: 3 months at 40 °C are 8.5 months in a
// shop of 25 °C at Q10 2. The others are computed by hand with row Q5:
// 2^((45−25)/10) = 4, and 8 weeks × 4 × 12/52 = 7.38 months; 2^((30−25)/10) =
// 1.414, and 26 weeks × 1.414 × 12/52 = 8.49 months.
func TestAgeing(t *testing.T) {
	for _, c := range []struct {
		temp, weeks string
		months      float64
	}{{"40", "13", 8.5}, {"45", "8", 7.38}, {"30", "26", 8.49}} {
		d := stability.DurabilityOf(creamWith(t,
			fmt.Sprintf("  - {test: heat, temp_c: %s, pack: jar, readings: [{week: 0}, {week: %s}]}\n", c.temp, c.weeks)))
		assert.InDelta(t, c.months, d.AgedMonths, 0.02, "%s °C", c.temp)
		assert.Zero(t, d.RealMonths)
		said := words.InFull([]words.Remark{{Code: "storage-supports", Values: finding.With().Those("tests", d.Support())}})
		assert.Contains(t, said, c.weeks+" weeks at "+c.temp+" °C")
	}
}

// TestDurabilityWithoutReadings counts what has been read, not what is planned.
func TestDurabilityWithoutReadings(t *testing.T) {
	for name, c := range map[string]struct {
		test string
		real float64
	}{
		"planned alone":       {"{test: room, temp_c: 20, weeks: 52}", 0},
		"begun":               {"{test: room, temp_c: 20, weeks: 52, readings: [{week: 0, ph: 5.5}]}", 0},
		"passed, with report": {"{test: room, temp_c: 20, weeks: 52, verdict: pass, file: evidence/report.txt}", 12},
		"passed, no report":   {"{test: room, temp_c: 20, weeks: 52, verdict: pass}", 0},
		"passed, report gone": {"{test: room, temp_c: 20, weeks: 52, verdict: pass, file: evidence/gone.txt}", 0},
		"cycles say no time":  {"{test: cycles, temp_c: 20, cycles: 5, readings: [{week: 52}]}", 0},
		"half a year":         {"{test: room, temp_c: 25, readings: [{week: 26}]}", 6},
		"cold says no time":   {"{test: cold, temp_c: 4, readings: [{week: 52}]}", 0},
		"up to the last good": {"{test: room, temp_c: 20, readings: [{week: 26, ph: 5.5}, {week: 52, ph: 7}]}", 6},
	} {
		d := stability.DurabilityOf(creamWith(t, "  - "+c.test+"\n"))
		assert.InDelta(t, c.real, d.RealMonths, 1e-9, name)
		assert.Equal(t, c.real >= 6, d.Enough(d.RealMonths), name)
	}
}

// TestStabilityFindings looks at what check says.
func TestStabilityFindings(t *testing.T) {
	for name, c := range map[string]struct {
		tests string
		want  []string
	}{
		"none":      {"  []\n", []string{"no-stability"}},
		"enough":    {"  - {test: room, temp_c: 20, pack: jar, readings: [{week: 26, ph: 5.5}]}\n", nil},
		"too short": {"  - {test: heat, temp_c: 40, readings: [{week: 4, ph: 5.5}]}\n", []string{"short-stability"}},
		"outside": {"  - {test: room, temp_c: 20, readings: [{week: 26, ph: 5}, {week: 30, ph: 6.2}]}\n",
			[]string{"stability-outside"}},
		"failed": {"  - {test: room, temp_c: 20, verdict: fail, readings: [{week: 26, ph: 5.5}]}\n",
			[]string{"stability-failed", "short-stability"}},
		"failed, passed": {"  - {test: room, temp_c: 20, verdict: fail, readings: [{week: 26}]}\n  - {test: room, temp_c: 20, verdict: pass, readings: [{week: 26}]}\n", nil},
	} {
		f := creamWith(t, c.tests)
		assert.Equal(t, c.want, codesOf(stability.StabilityFindings(f)), name)
	}
}
