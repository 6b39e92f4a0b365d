package annex

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestFaultyTables feeds each kind of fault to the reader and wants it named
// with its line.
func TestFaultyTables(t *testing.T) {
	head := strings.Join(append(slices.Clone(earlierColumns), laterColumns...), ",") + "\n"
	good := "k1,III,1,EU,Exemplum,,,all,1,,,,,,,,some act,seen," + strings.Repeat(",", len(laterColumns)) + "\n"
	for _, c := range []struct{ name, table, want string }{
		{"unknown column", strings.Replace(head, "max_pct", "max_pctt", 1) + good,
			`t.csv:1: unknown column "max_pctt": did you mean max_pct?`},
		{"missing column", strings.Replace(head, ",note", "", 1), `t.csv:1: column "note" is missing`},
		{"column twice", strings.Replace(head, "cas,ec", "cas,cas", 1), `t.csv:1: column "cas" stands twice`},
		{"empty", "", "t.csv:1: the table is empty"},
		{"check digit", head + strings.Replace(good, "Exemplum,,", "Exemplum,7732-18-4,", 1),
			"t.csv:2: cas: CAS number 7732-18-4 has check digit 4"},
		{"EC check digit", head + strings.Replace(good, "Exemplum,,", "Exemplum,,231-791-3", 1),
			"t.csv:2: ec: EC number 231-791-3 has check digit 3"},
		{"market", head + strings.Replace(good, ",EU,", ",US,", 1), `t.csv:2: market: "US" is none of EU, GB, EU+GB`},
		{"figure", head + strings.Replace(good, ",1,,,", ",1e1,,,", 1), `t.csv:2: max_pct: "1e1" is not a number`},
		{"above 100", head + strings.Replace(good, ",1,,,", ",101,,,", 1), "t.csv:2: max_pct: 101 is above 100 %"},
		{"condition", head + strings.Replace(good, ",all,", ",rinsed,", 1), `t.csv:2: condition: unknown condition "rinsed"`},
		{"date order", head + strings.Replace(good, ",,,some", ",2026-02-01,2026-01-01,some", 1),
			"t.csv:2: applies_until 2026-01-01 lies before applies_from 2026-02-01"},
		{"date", head + strings.Replace(good, ",,,some", ",2026-02-30,,some", 1),
			`t.csv:2: applies_from: "2026-02-30" is not a date`},
		{"no source", head + strings.Replace(good, "some act", "", 1), "t.csv:2: source is empty"},
		{"seen", head + strings.Replace(good, "seen", "yes", 1), `t.csv:2: seen: "yes" is none of`},
		{"cells", head + "k1,III\n", fmt.Sprintf("t.csv:2: 2 cells, the header has %d", len(LimitColumns.All()))},
		{"quotes", head + "k1,\"III\n", "t.csv:"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := ReadLimits("t.csv", c.table)
			require.ErrorContains(t, err, c.want)
		})
	}
}
