// Package published reads the check values from outside that tests compare with: law,
// standards, opinions and handbooks, each row with its source.
package published

import (
	"embed"
	"encoding/csv"
	"regexp"
	"testing"

	"github.com/stretchr/testify/require"
)

//go:embed *.csv
var tables embed.FS

// ownSource matches a source that is one of our own tables or notes.
var ownSource = regexp.MustCompile(`^[a-z-]+\.(csv|md)|as in [a-z-]+\.csv|^rows? [A-Z]\d`)

// Rows returns the rows of a table by column name. It fails for a row without a source
// from outside and without a mark of how far it was read.
func Rows(t testing.TB, name string) []map[string]string {
	t.Helper()
	f, err := tables.Open(name)
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
		require.NotRegexp(t, ownSource, row["source"], "%s line %d: our own tables are no outside source",
			name, i+2)
		require.Contains(t, []string{"seen", "memory"}, row["seen"], "%s line %d", name, i+2)
		out = append(out, row)
	}
	return out
}
