package table_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law/condition"
	"gallipot/calc/law/rows"
	"gallipot/ingredients/exact"
	"gallipot/testdata/published"
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
	for _, r := range published.Rows(t, "annex_figures.csv") {
		c, err := condition.Parse(r["condition"])
		require.NoError(t, err, r["id"])
		a := annexRow{id: r["id"], annex: r["annex"], entry: r["entry"], basis: r["basis"], figure: r["figure_pct"],
			field: r["colour_field"],
			from:  r["applies_from"], until: r["applies_until"], condition: c,
			numbers: append(rows.SplitList(r["cas"]), rows.SplitList(r["ec"])...)}
		for m := range strings.SplitSeq(r["market"], "+") {
			a.markets = append(a.markets, rows.Market(m))
		}
		out = append(out, a)
	}
	return out
}

func day(t *testing.T, text string) exact.Date {
	t.Helper()
	d, err := exact.ParseDate(text)
	require.NoError(t, err)
	return d
}
