package table_test

import (
	"encoding/csv"
	"os"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law/condition"
	"gallipot/calc/law/rows"
	"gallipot/ingredients/exact"
)

// annexRow is a row of annex_figures.csv: one figure of one entry, taken from the
// exports of spring 2024 and the acts after them and not from limits.csv.
type annexRow struct {
	id, annex, entry, basis, figure, field, from, until string
	markets                                             []rows.Market
	condition                                           condition.Condition
	numbers                                             []string
}

func annexRows(t *testing.T) []annexRow {
	var out []annexRow
	for _, r := range published(t, "annex_figures.csv") {
		c, err := condition.Parse(r["condition"])
		require.NoError(t, err, r["id"])
		a := annexRow{id: r["id"], annex: r["annex"], entry: r["entry"], basis: r["basis"], figure: r["figure_pct"], field: r["colour_field"],
			from: r["applies_from"], until: r["applies_until"], condition: c, numbers: append(rows.SplitList(r["cas"]), rows.SplitList(r["ec"])...)}
		for m := range strings.SplitSeq(r["market"], "+") {
			a.markets = append(a.markets, rows.Market(m))
		}
		out = append(out, a)
	}
	return out
}

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

func day(t *testing.T, text string) exact.Date {
	t.Helper()
	d, err := exact.ParseDate(text)
	require.NoError(t, err)
	return d
}
