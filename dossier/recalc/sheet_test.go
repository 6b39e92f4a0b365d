package recalc

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/dossier/document"
)

// TestCellNames: names are what spreadsheets accept, each once.
func TestCellNames(t *testing.T) {
	n := newCellNames()
	require.Equal(t, "PoD_Glycerin", n.of("PoD", "Glycerin"))
	require.Equal(t, "PoD_glycerin_2", n.of("PoD", "glycerin"), "letter case does not tell names apart")
	require.Equal(t, "PoD_CI_77891", n.of("PoD", "CI 77891"))
	require.Equal(t, "PoD_1_2_Hexanediol", n.of("PoD", "1,2-Hexanediol"))
	require.Equal(t, "PoD_x", n.of("PoD", "=§"))
	long := n.of("PoD", strings.Repeat("Long ", 100))
	require.LessOrEqual(t, len(long), document.LongestName)
	require.NotEqual(t, long, n.of("PoD", strings.Repeat("Long ", 100)))
}

// TestTreeRefusesBadNames: a name that could be read as a cell, or is there twice,
// is a mistake of the tree.
func TestTreeRefusesBadNames(t *testing.T) {
	for _, names := range [][2]string{{"A1", "X_1"}, {"Two words", "X_1"}, {"Same_1", "same_1"}, {"R1C1", "X_1"}} {
		tab := &document.Table{ID: "t", SheetName: "T", Columns: []document.Column{{Head: "A"}, {Head: "B"}}}
		tab.Add(document.IntCell(1).Named(names[0]), document.IntCell(2).Named(names[1]))
		d := &document.Document{Title: "x",
			Workbook: []*document.Section{{ID: "s", Title: "S", Blocks: []document.Block{tab}}}}
		require.NotEmpty(t, d.Check(), "%v", names)
	}
}
