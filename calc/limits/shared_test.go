package limits

import (
	"encoding/csv"
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/dossier/words"
	"gallipot/ingredients/finding"
)

// publishedRows reads a table of outside check values and refuses a row without
// source and seen.
func publishedRows(t *testing.T, name string) []map[string]string {
	t.Helper()
	f, err := os.Open("../../testdata/published/" + name)
	require.NoError(t, err)
	defer f.Close()
	records, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	var out []map[string]string
	for i, r := range records[1:] {
		row := map[string]string{}
		for j, c := range records[0] {
			row[c] = r[j]
		}
		require.NotEmpty(t, row["source"], "%s line %d has no source", name, i+2)
		require.Contains(t, []string{"seen", "memory"}, row["seen"], "%s line %d", name, i+2)
		out = append(out, row)
	}
	return out
}

// rowText puts what a finding rests on into words.
func rowText(source finding.Values) string {
	return words.Term(source[0].Text, source[0].List, words.Terminal)
}
