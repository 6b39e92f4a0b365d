package raw

import (
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/dossier/transcribe/paper"
)

func read(t *testing.T, name, text string) []Row {
	f, err := paper.NewReader().Read(name, []byte(text))
	require.NoError(t, err)
	all, whole := Sheets(f)
	require.True(t, whole)
	require.Len(t, all, 1)
	return all[0].Rows
}

func TestSheets(t *testing.T) {
	t.Run("bars part a line into cells, the rule under the head is no row", func(t *testing.T) {
		rows := read(t, "a.md", "| Material | % |\n|---|---|\n| Water | 70 |\n")
		require.Len(t, rows, 2)
		require.Equal(t, "Water", rows[1].At(0).Text)
		require.Equal(t, "70", rows[1].At(1).Text)
		require.Equal(t, rows[0].Grid, rows[1].Grid)
		require.False(t, rows[1].Gap)
		require.Equal(t, "line 3", rows[1].Place(0))
	})
	t.Run("an empty line is a gap", func(t *testing.T) {
		rows := read(t, "a.txt", "Balm\n\nwax 10 g\n")
		require.True(t, rows[1].Gap)
		require.Equal(t, "wax 10 g", rows[1].Text())
	})
	t.Run("what a page crosses out in a line outside a table has the marks of plain text", func(t *testing.T) {
		rows := read(t, "a.html", "<html><body><p>wax <s>20 g</s> 10 g</p><p><del>tea tree 2 g</del></p></body></html>")
		require.Equal(t, "wax 10 g ~~20 g~~", rows[0].Text())
		require.Equal(t, "~~tea tree 2 g~~", rows[1].Text())
	})
	t.Run("what is crossed out by the marks of plain text stands apart", func(t *testing.T) {
		text, struck := Unstrike("wax ~~20~~ 10 g")
		require.Equal(t, "wax  10 g", text)
		require.Equal(t, "20", struck)
	})
}
