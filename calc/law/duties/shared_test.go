package duties_test

import (
	"encoding/csv"
	"os"
	"regexp"
	"testing"

	"github.com/stretchr/testify/require"
)

// ownSource matches a source that is one of our own tables or notes.
var ownSource = regexp.MustCompile(`^[a-z-]+\.(csv|md)|as in [a-z-]+\.csv|^rows? [A-Z]\d`)

// published reads a table of outside check values by column name and refuses a
// row without source and seen.
func published(t *testing.T, name string) []map[string]string {
	t.Helper()
	f, err := os.Open("../../../testdata/published/" + name)
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
		require.NotRegexp(t, ownSource, row["source"], "%s line %d: our own tables are no outside source", name, i+2)
		require.Contains(t, []string{"seen", "memory"}, row["seen"], "%s line %d", name, i+2)
		out = append(out, row)
	}
	return out
}
