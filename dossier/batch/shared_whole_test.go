package batch_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law/table"
	"gallipot/dossier/assess"
	"gallipot/dossier/batch"
	"gallipot/dossier/weigh"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/source"
	"gallipot/testdata/testrun"
)

func TestMain(m *testing.M) { testrun.Main(m) }

// batchOptions are those of a run on the day of the tests.
func batchOptions() assess.Options { return assess.Options{Date: 20261125, Law: table.Builtin()} }

// demoSheet plans a batch of the demo.
func demoSheet(t testing.TB, product, variant string, opt weigh.WeighOptions) *weigh.WeighSheet {
	t.Helper()
	w, _ := workshop.Load("../../testdata/demo", table.Builtin())
	require.NotNil(t, w)
	p := w.Product(product)
	require.NotNil(t, p)
	s, err := weigh.Weigh(w, assess.Run(w, p, batchOptions()), variant, opt)
	require.NoError(t, err)
	return s
}

func grams(t testing.TB, text string) *exact.Num {
	t.Helper()
	n, err := weigh.ParseMass(text)
	require.NoError(t, err)
	return &n
}

// filledIn fills in the record of a sheet; change gets each line of text.
func filledIn(t testing.TB, s *weigh.WeighSheet, change func(line string) string) *workshop.Batch {
	t.Helper()
	var out []string
	lot := 0
	for line := range strings.SplitSeq(string(batch.RecordText(s)), "\n") {
		if strings.Contains(line, "weighed_g: ") {
			_, rest, _ := strings.Cut(line, "planned_g: ")
			g, _, _ := strings.Cut(rest, ",")
			lot++
			line = strings.Replace(line, "weighed_g: , lot: ", fmt.Sprintf("weighed_g: %s, lot: RM-%04d", g, lot), 1)
		}
		if strings.Contains(line, "planned_base_g: ") {
			_, rest, _ := strings.Cut(line, "planned_base_g: ")
			g, _, _ := strings.Cut(rest, ",")
			line = strings.Replace(line, "base_g: }", "base_g: "+g+"}", 1)
		}
		line = strings.Replace(line, `wanted: "4.8-5.2", found: , ok: `, `wanted: "4.8-5.2", found: 5.0, ok: true`, 1)
		line = strings.Replace(line, "found: , ok: ", "found: as wanted, ok: true", 1)
		switch {
		case strings.HasPrefix(line, "made_by:"):
			line = "made_by: I. Nobody"
		case strings.HasPrefix(line, "start_checked_by:"):
			line = "start_checked_by: I. Nobody"
		case strings.HasPrefix(line, "yield:"):
			line = "yield: {filled_units: 23, filled_g: 2775}"
		case strings.HasPrefix(line, "retained:"):
			line = "retained: {units: 1, where: shelf}"
		}
		if change != nil {
			line = change(line)
		}
		out = append(out, line)
	}
	b, fs := workshop.ReadBatch(source.NewSource("batches/"+s.Code+".yaml", []byte(strings.Join(out, "\n"))))
	require.Empty(t, fs, "%s", strings.Join(out, "\n"))
	return b
}

// sheetFile is a sheet that reads without a finding.
func sheetFile(id, more string) string {
	return "id: " + id + "\nname: N\ncomposition: {complete: true, constituents: [{inci: Aqua, pct: 100}]}\n" + more
}

// product is a file that reads without a finding; tests change one thing in it.
const product = `id: x
name: X
revision: 1
product_type: shower-gel
intended_for: adults
formula:
  basis: percent
  phases:
    - id: A
      lines:
        - {ingredient: water, amount: q.s.}
        - {slot: scent, amount: 0.8}
`
