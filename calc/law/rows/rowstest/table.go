// Package rowstest prints small tables for tests of their readers.
package rowstest

import (
	"encoding/csv"
	"maps"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/rows"
)

// Cells are those of a row by their columns; the others are empty.
type Cells map[string]string

// With returns the cells with one of them changed.
func (c Cells) With(col, text string) Cells {
	c = maps.Clone(c)
	c[col] = text
	return c
}

// Table prints rows under all columns of a table. A cell whose column the table lacks is not
// printed.
func Table(cols rows.Columns, all ...Cells) string {
	lines := [][]string{cols.All()}
	for _, cells := range all {
		var line []string
		for _, col := range cols.All() {
			line = append(line, cells[col])
		}
		lines = append(lines, line)
	}
	var out strings.Builder
	if err := csv.NewWriter(&out).WriteAll(lines); err != nil {
		panic(err) // a strings.Builder takes all
	}
	return out.String()
}

// Refuses wants a reader to take a row, and to refuse it with one cell changed: each fault is
// a column, what is written there, and what the reader says then, which may go on. Of two
// things said, each has its line.
func Refuses[T any](t *testing.T, read func(file, text string) ([]T, error), cols rows.Columns, row Cells,
	faults [][3]string) {
	t.Helper()
	_, err := read("t.csv", Table(cols, row))
	require.NoError(t, err)
	for _, f := range faults {
		kept, err := read("t.csv", Table(cols, row.With(f[0], f[1])))
		require.Error(t, err, "%s %q", f[0], f[1])
		assert.Empty(t, kept, "a faulty row is left out")
		said, want := strings.Split(err.Error(), "\n"), strings.Split(f[2], "\n")
		require.Len(t, said, len(want), "%s %q: %v", f[0], f[1], err)
		for i := range want {
			assert.Contains(t, said[i], "t.csv:2: "+want[i], "%s %q", f[0], f[1])
		}
	}
}
