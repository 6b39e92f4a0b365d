package document

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestCheckRefusesABrokenTree(t *testing.T) {
	d := &Document{Title: "x"}
	s := d.AddSection("a", "A")
	d.AddSection("a", "again")
	d.AddSection("", "no name")
	tab := &Table{ID: "t", Columns: []Column{{Head: "x"}}}
	tab.Add(TextCell("1").To("nowhere").Marked("what"), TextCell("2"))
	s.Add(tab, &Table{Title: "bare"})
	wrong := strings.Join(d.Check(), "\n")
	for _, want := range []string{`anchor "a" is there twice`, `link to "nowhere"`,
		`section "no name" has no ID`, "2 cells for 1 columns", `mark "what"`, "has no columns"} {
		require.Contains(t, wrong, want)
	}
	require.Error(t, d.Mistakes())
}

// A table has one number on pages and in the spreadsheet; those of the spreadsheet
// alone come after all others, and a table without a title has none.
func TestTablesHaveOneNumber(t *testing.T) {
	first, long, bare, last := &Table{Title: "first"}, &Table{Title: "long", InWorkbook: true}, &Table{},
		&Table{Title: "last"}
	d := &Document{Title: "x"}
	d.AddSection("a", "A").Add(first, long, bare)
	d.AddSection("b", "B").Add(last)
	require.Equal(t, map[*Table]int{first: 1, last: 2, long: 3}, d.TableNumbers())
	require.Equal(t, map[*Table]int{first: 1, last: 2}, d.ForPages().TableNumbers())
}
