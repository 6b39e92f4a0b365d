package labelling

import (
	"encoding/csv"
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc"
	"gallipot/calc/exposure"
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

// of assesses the product with pairs of sheet and amount.
func traceOf(t testing.TB, r *calc.Result, name string) *exposure.Trace {
	t.Helper()
	for i := range r.Traces {
		if r.Traces[i].Name == name {
			return &r.Traces[i]
		}
	}
	t.Fatalf("no trace %s", name)
	return nil
}

func checkFor(t testing.TB, tr *exposure.Trace, key string) exposure.TraceCheck {
	t.Helper()
	for _, c := range tr.Checks {
		if c.Guide.Key == key {
			return c
		}
	}
	t.Fatalf("%s is not compared with %s", tr.Name, key)
	return exposure.TraceCheck{}
}
