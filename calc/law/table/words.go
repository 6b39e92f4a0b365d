package table

import (
	"cmp"
	"slices"

	"gallipot/calc/law/claims"
	"gallipot/calc/law/rows"
)

func (t *Tables) absenceWords() claims.AbsenceWords {
	a := claims.AbsenceWords{Ends: t.Words(rows.WordsAbsenceEnd)}
	for _, w := range t.Words(rows.WordsAbsence).Words {
		var words []string
		for _, token := range claims.ClaimTokens(w.Word) {
			words = append(words, token.Word)
		}
		a.Said = append(a.Said, words)
	}
	slices.SortStableFunc(a.Said, func(x, y []string) int { return len(y) - len(x) })
	return a
}

// Words returns a list of words. It panics on an unknown list, as [Tables.Fact]
// does.
func (t *Tables) Words(list string) *rows.WordList {
	if l := t.words[list]; l != nil {
		return l
	}
	panic("law: no list of words " + list)
}

// IndexWords puts the words into their lists, by rank.
func (t *Tables) IndexWords() {
	t.words = map[string]*rows.WordList{}
	for _, name := range rows.WordLists {
		t.words[name] = &rows.WordList{}
	}
	for _, w := range t.WordRows {
		l := t.words[w.List]
		l.Words = append(l.Words, w)
		l.Tokens = l.Tokens || w.Match == rows.MatchWord || w.Match == rows.MatchFirst
		l.Phrases = l.Phrases || w.Match == rows.MatchPhrase || w.Match == rows.MatchWhole
	}
	for _, l := range t.words {
		slices.SortStableFunc(l.Words,
			func(a, b *rows.Word) int { return cmp.Or(cmp.Compare(a.Rank, b.Rank), cmp.Compare(a.Key, b.Key)) })
	}
}
