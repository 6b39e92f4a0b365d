package safety_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law"
	"gallipot/calc/law/safety"
	"gallipot/calc/law/table"
	"gallipot/testdata/published"
)

// TestCramerMasses recomputes every molar mass of the table from its formula.
// Tolerance: 0.0055 g/mol, for the rounding of the table and of abridged weights.
func TestCramerMasses(t *testing.T) {
	n := 0
	for _, c := range table.Builtin().Cramer {
		if c.Formula == "" || c.MW == nil {
			continue
		}
		n++
		require.InDelta(t, published.MolarMass(t, c.Formula), c.MW.Value, 0.0055, "%s %s", c.Key, c.Formula)
	}
	require.Greater(t, n, 500)
}

func TestCramerSorted(t *testing.T) {
	last := ""
	for _, c := range table.Builtin().Cramer {
		require.LessOrEqual(t, last, c.INCI, c.Key)
		last = c.INCI
	}
	require.Len(t, table.Builtin().Cramer, 619)
}

func TestCramerOf(t *testing.T) {
	class := func(inci string, cas ...string) string {
		rows := law.CramerOf(table.Builtin(), inci, cas...)
		if len(rows) == 0 {
			return ""
		}
		return rows[0].Strictest()
	}
	require.Equal(t, "II", class("1-Hexen-3-ol"), "EFSA CEF 2017, output 2903")
	require.Equal(t, "II", class("a trade name", "4798-44-1"), "by number")
	require.Equal(t, "", class("Exemplum"))
}

// TestCramerTree compares the classes with the decision tree of 1978 applied to the
// structure that a name tells. Where the authority gives another class, the row says
// so. Expected values: cramer_tree.csv.
func TestCramerTree(t *testing.T) {
	cases := published.Rows(t, "cramer_tree.csv")
	require.Greater(t, len(cases), 500)
	of := map[string]*safety.CramerClass{}
	for _, c := range table.Builtin().Cramer {
		of[c.INCI] = c
	}
	for _, c := range cases {
		row := of[c["name"]]
		require.NotNil(t, row, c["name"])
		want := c["class"]
		if c["differs"] != "" {
			require.NotEqual(t, want, row.Class, "%s agrees now", c["name"])
			require.NotEmpty(t, c["note"], c["name"])
			want = c["differs"]
		}
		require.Equal(t, want, row.Class, "%s: %s, questions %s", c["name"], c["structure"], c["questions"])
	}
}

// TestCramerReadings compares the classes with another edition of the authority's
// reference values, read by its own names of substances. Expected values:
// cramer_readings.csv.
func TestCramerReadings(t *testing.T) {
	cases := published.Rows(t, "cramer_readings.csv")
	require.Greater(t, len(cases), 550)
	of := map[string]*safety.CramerClass{}
	for _, c := range table.Builtin().Cramer {
		of[c.INCI+" "+c.CAS] = c
	}
	for _, c := range cases {
		row := of[c["name"]+" "+c["cas"]]
		require.NotNil(t, row, "%s %s", c["name"], c["cas"])
		require.Equal(t, c["class"], row.Class, "%s, read as %s in %s", c["name"], c["read_as"], c["source"])
		if c["others"] != "" {
			require.Contains(t, row.Others, c["others"], c["name"])
		}
	}
}
