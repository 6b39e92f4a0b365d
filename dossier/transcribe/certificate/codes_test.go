package certificate

import (
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/dossier/transcribe/desk"
	"gallipot/dossier/transcribe/lexicon"
)

// The categories are those of the 49th amendment of the fragrance Standards and later.
func TestCodes(t *testing.T) {
	words, err := lexicon.Load()
	require.NoError(t, err)
	s := &Reader{Desk: &desk.Desk{Words: words}}
	for text, want := range map[string]codes{
		"5A":                        {list: []string{"5A"}},
		"IFRA Category 5A: 0.4 %":   {list: []string{"5A"}, rest: ": 0.4 %"},
		"Kategorie 7A/7B":           {list: []string{"7A", "7B"}},
		"5A-5D":                     {list: []string{"5A", "5B", "5C", "5D"}},
		"5A bis D":                  {list: []string{"5A", "5B", "5C", "5D"}},
		"5A und 5B":                 {list: []string{"5A", "5B"}},
		"11":                        {list: []string{"11A", "11B"}},
		"5":                         {list: []string{"5"}, bare: true},
		"Class 3.A":                 {list: []string{"3A"}, old: true},
		"7.A":                       {list: []string{"7A"}, old: true},
		"12 (not skin contact) 100": {list: []string{"12"}, rest: "(not skin contact) 100"},
	} {
		t.Run(text, func(t *testing.T) {
			s := &Reader{Desk: &desk.Desk{Words: words}}
			got, ok := s.codesIn(text, false)
			require.True(t, ok)
			require.Equal(t, want, got)
		})
	}
	t.Run("a dot is no old class beside a letter of 5, which the old ones do not have", func(t *testing.T) {
		s := &Reader{Desk: &desk.Desk{Words: words}}
		for _, text := range []string{"Category 5.A", "Category 7.A"} {
			got, ok := s.codesIn(text, true)
			require.True(t, ok)
			require.False(t, got.old, text)
		}
		got, _ := s.codesIn("Category 3.A", true)
		require.True(t, got.old)
	})
	_, ok := s.codesIn("5A", true)
	require.False(t, ok, "the word is asked for")
	for _, no := range []string{"Linalool", "01.10.2026", "1.10.2026", "12/10/2026", "05"} {
		_, ok = s.codesIn(no, false)
		require.False(t, ok, no)
	}
	slashed, ok := s.codesIn("9/10/12", false)
	require.True(t, ok)
	require.Equal(t, []string{"9", "10", "12"}, slashed.list)
}
