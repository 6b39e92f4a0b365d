package table_test

import (
	"encoding/csv"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/dossier/words"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// annexRow is a row of annex_figures.csv: one figure of one entry, taken from the
// exports of spring 2024 and the acts after them and not from limits.csv.
type annexRow struct {
	id, annex, entry, basis, figure, field, from, until string
	markets                                             []rows.Market
	condition                                           table.Condition
	numbers                                             []string
}

func annexRows(t *testing.T) []annexRow {
	var out []annexRow
	for _, r := range published(t, "annex_figures.csv") {
		c, err := table.Parse(r["condition"])
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

// evened writes a condition with its clauses and terms in order.
func evened(c table.Condition) string {
	var clauses []string
	for _, cl := range c.Clauses {
		terms := []string{}
		for _, t := range cl.Terms {
			terms = append(terms, t.String())
		}
		slices.Sort(terms)
		text := strings.Join(terms, "|")
		if cl.Except {
			text = "except " + text
		}
		clauses = append(clauses, text)
	}
	slices.Sort(clauses)
	return strings.Join(clauses, " & ")
}

// agrees says whether a figure of the second table is what a limit says.
func (a *annexRow) agrees(l *table.Limit) bool {
	if a.annex != l.Annex || a.entry != l.Entry || evened(a.condition) != evened(l.Condition) {
		return false
	}
	for _, m := range l.Markets {
		if !slices.Contains(a.markets, m) {
			return false
		}
	}
	day := func(text string, zero bool, got string) bool { return text == "" && zero || text != "" && text == got }
	if !day(a.from, l.From.IsZero(), l.From.String()) || !day(a.until, l.Until.IsZero(), l.Until.String()) {
		return false
	}
	if (a.figure == "") != (l.MaxPct == nil) || l.MaxPct != nil && !sameFigure(a.figure, l) {
		return false
	}
	return strings.Contains(strings.ToLower(l.Basis.Text), strings.ToLower(a.basis)) && a.field == fieldText(l.ColourantField)
}

func sameFigure(text string, l *table.Limit) bool {
	f, ok := rows.ParseFigure(text)
	return ok && f.Value == l.MaxPct.Float()
}

func fieldText(n int) string { return [...]string{"", "1", "2", "3", "4"}[n] }

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

// said puts a finding into the words of the table, for tests of what is said.
func said(f finding.Finding) *words.Said {
	s := words.Say(&f, words.Terminal)
	return &s
}
