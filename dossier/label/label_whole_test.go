package label_test

import (
	"bytes"
	"encoding/csv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/table"
	"gallipot/dossier/assess"
	"gallipot/dossier/document/plain"
	"gallipot/dossier/label"
	"gallipot/dossier/words/wordstest"
)

// TestLabelFindingsSayWhere: what concerns some variants or markets only says
// so.
func TestLabelFindingsSayWhere(t *testing.T) {
	c := labelCase{product: "heath-wash", size: rectangle("50", "34")}
	a := assess.Run(labelWorkshop(t), c.changed(t), assess.Options{Date: testDay, Law: table.Builtin()})
	small := 0
	for _, f := range label.Findings(a) {
		assert.NotEmpty(t, wordstest.Said(f).Fix, f.Code)
		assert.NotEmpty(t, wordstest.Said(f).Why, f.Code)
		if f.Code == "label-too-small" {
			small++
		}
	}
	require.Positive(t, small)
	only := a.Only([]string{"plain"})
	for _, f := range only.Findings {
		if strings.HasPrefix(f.Code, "label-") {
			assert.NotContains(t, strings.Join(f.Variants, " "), "gorse", f.Code)
		}
	}
}

// TestLabelCSV: a row for each label, the words of the label in it, nothing that
// a spreadsheet would run, and the proof in the last column.
func TestLabelCSV(t *testing.T) {
	c := labelCase{product: "heath-wash", variant: "gorse", size: rectangle("120", "45"),
		opt: label.LabelOptions{Batch: "=HYPERLINK(1)"}}
	labels := c.labels(t)
	labels[0].A.Product.Function.Text = "@body\twash"
	labels = label.Labels(labels[0].A, "gorse", c.opt)
	var b bytes.Buffer
	require.NoError(t, label.WriteCSV(&b, labels))
	rows, err := csv.NewReader(&b).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 1+len(labels))
	col := map[string]int{}
	for i, name := range rows[0] {
		col[name] = i
	}
	for i, row := range rows[1:] {
		require.Equal(t, "'=HYPERLINK(1)", row[col["batch"]])
		require.Equal(t, "'@body wash", row[col["function"]])
		require.Equal(t, labels[i].Results[0].List.Line(), row[col["ingredients"]])
		require.Equal(t, label.LabelProof, row[len(row)-1])
		require.Equal(t, "3", row[col["figures_mm"]])
		require.Equal(t, "6M", row[col["period_after_opening"]])
		for _, cell := range row {
			require.False(t, cell != "" && strings.ContainsRune("=+-@\t\r", rune(cell[0])), "%q", cell)
		}
	}
}

// TestLabelTextSaysProof: whatever shows a label says that it is a proof.
func TestLabelTextSaysProof(t *testing.T) {
	c := labelCases[0]
	a := assess.Run(labelWorkshop(t), c.changed(t), assess.Options{Date: testDay, Law: table.Builtin()})
	d := label.Text(a, c.variant, c.opt)
	require.Empty(t, d.Check())
	var b strings.Builder
	require.NoError(t, plain.Write(&b, d))
	require.Contains(t, strings.Join(strings.Fields(b.String()), " "), label.LabelProof)
}
