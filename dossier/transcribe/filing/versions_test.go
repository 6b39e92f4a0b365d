package filing

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestOlder(t *testing.T) {
	read, w := reader(t), shop(t, map[string]string{"fell-mint": stub})
	of := func(text string) *Filing { return Of(w, read("a.csv", text), "a.csv", []byte(text), "") }
	a, b := of(declaration("2025-01-10", "1.5", "0.4")), of(declaration("2026-03-02", "1.8", "0.4"))

	t.Run("the dates tell, whichever comes first", func(t *testing.T) {
		for _, pair := range [][2]*Filing{{a, b}, {b, a}} {
			older, newer, ok := Older(pair[0], pair[1])
			require.True(t, ok)
			require.Same(t, a, older)
			require.Same(t, b, newer)
		}
	})
	t.Run("one day tells nothing", func(t *testing.T) {
		_, _, ok := Older(a, of(declaration("2025-01-10", "1.9", "0.4")))
		require.False(t, ok)
	})
	t.Run("a month against a day of it tells nothing", func(t *testing.T) {
		c := of(declaration("2025-01", "1.9", "0.4"))
		require.Equal(t, "2025-01", c.Reading.Document.Issued.Value)
		_, _, ok := Older(a, c)
		require.False(t, ok)
	})
	t.Run("what differs is listed with both readings and its place", func(t *testing.T) {
		list := Differences(a.Reading, b.Reading)
		require.Len(t, list, 1)
		require.Equal(t, "allergens.linalool", list[0].Field)
		require.Equal(t, "1.5", list[0].Old)
		require.Equal(t, "1.8", list[0].New)
		require.Equal(t, 7, list[0].Place.Line)
	})
	t.Run("a row that is gone or new is listed", func(t *testing.T) {
		c := of(declaration("2026-03-02", "1.5", "0.4") + "Citral;5392-40-5;0.2\n")
		list := Differences(a.Reading, c.Reading)
		require.Len(t, list, 1)
		require.Equal(t, Difference{"allergens.citral", "", "0.2", list[0].Place}, list[0])
		list = Differences(c.Reading, a.Reading)
		require.Len(t, list, 1)
		require.Equal(t, "", list[0].New)
	})
}

func TestPrevious(t *testing.T) {
	text := declaration("2026-03-02", "1.5", "0.4")
	read := reader(t)
	have := stub + "documents:\n  - {kind: allergens, file: evidence/one.csv, dated: 2022-01-01}\n" +
		"  - {kind: allergens, file: evidence/two.csv, dated: 2024-01-01}\n  - {kind: sds, file: evidence/three.pdf, dated: 2025-01-01}\n"
	f := Of(shop(t, map[string]string{"fell-mint": have}), read("a.csv", text), "a.csv", []byte(text), "")
	w := shop(t, map[string]string{"fell-mint": have})
	require.Equal(t, "evidence/two.csv", f.Previous(w))
}

func TestContradictions(t *testing.T) {
	read := reader(t)
	a, b := read("a.csv", declaration("2026-03-02", "1.5", "0.4")), read("b.csv", declaration("2026-03-02", "2-3", "<1"))
	list := Contradictions(a, b)
	require.Len(t, list, 1, "bounds that meet are no contradiction")
	require.Equal(t, "Linalool: 1.5 in a.csv and 2-3 in b.csv: ask the supplier which holds", list[0].Text)
	require.Equal(t, 7, list[0].Place.Line)
}
