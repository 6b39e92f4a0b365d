package law

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Where in a text a word must stand, by hand.
func TestWordPlaces(t *testing.T) {
	for _, c := range []struct {
		match WordMatch
		word  string
		in    []string
		not   []string
	}{
		{MatchPart, "wax", []string{"Wax", "Beeswax", "waxy"}, []string{"wa x", ""}},
		{MatchStart, "ul", []string{"UL", "ultra"}, []string{"null", ""}},
		{MatchWord, "oil", []string{"Oil", "Seed Oil", "oil/x", "(oil)"}, []string{"Oils", "foil", "spearmint_oil", ""}},
		{MatchFirst, "peg", []string{"PEG-40 Castor Oil", "peg"}, []string{"Methoxy PEG-16", "pegs", ""}},
		{MatchLast, "water", []string{"Rosa Flower Water"}, []string{"Water", "Water Lily", "Rosa-Water"}},
		{MatchLater, "oil", []string{"Seed Oil", "Seed oils"}, []string{"Oil", "foil"}},
		{MatchEarlier, "cera", []string{"Cera Alba", "x cera y"}, []string{"Cera", "cerasum"}},
		{MatchPhrase, "self tan", []string{"self-tanning milk", "a Self Tan"}, []string{"myself tan", "self  tan"}},
		{MatchWhole, "cold pressed", []string{"Cold-pressed oil", "(cold pressed)"}, []string{"cold pressedly", "uncold pressed"}},
		{MatchWhole, "isn't", []string{"this isn't it"}, []string{"isn't1"}},
	} {
		tables := &Tables{wordRows: []*Word{{List: WordsWater, Word: c.word, Match: c.match, Means: "m"}}}
		tables.indexWords()
		l := tables.Words(WordsWater)
		for _, text := range c.in {
			means, ok := l.Means(text)
			assert.True(t, ok && means == "m", "%s %q in %q", c.match, c.word, text)
		}
		for _, text := range c.not {
			assert.False(t, l.In(text), "%s %q in %q", c.match, c.word, text)
		}
	}
}

// Of several words the lowest rank counts, whatever their order in the table.
func TestWordRanks(t *testing.T) {
	tables := &Tables{wordRows: []*Word{
		{Row: Row{Key: "b"}, List: WordsFunction, Word: "acid", Match: MatchPart, Means: "other", Rank: 2},
		{Row: Row{Key: "a"}, List: WordsFunction, Word: "acidity", Match: MatchPart, Means: "ph-adjuster", Rank: 1},
	}}
	tables.indexWords()
	means, _ := tables.Words(WordsFunction).Means("Acidity regulator")
	assert.Equal(t, "ph-adjuster", means)
	found := tables.Words(WordsFunction).All("an acidity")
	require.Len(t, found, 2)
	assert.Equal(t, Found{"ph-adjuster", "an "}, found[0])
	assert.False(t, tables.Words(WordsWater).In("Rosa Water"), "a list without words")
	assert.Panics(t, func() { tables.Words("watter") })
}

// Every list has words, and what they mean is known where they are read.
func TestWordLists(t *testing.T) {
	tables := Builtin()
	for _, list := range wordLists {
		assert.NotEmpty(t, tables.Words(list).words, list)
	}
	means := map[string][]string{
		WordsFunction:   append([]string{"colorant", "uv-filter", "other"}, functionWords...),
		WordsClaim:      claimWords,
		WordsStudyRoute: {"dermal", "inhalation"},
		WordsPoDType:    {"effect", "lowest", "intake", "tumour"},
	}
	ranks := map[string]map[int]bool{}
	for _, w := range tables.wordRows {
		if known, asked := means[w.List]; asked {
			assert.Contains(t, known, w.Means, w.Key)
		} else {
			assert.Empty(t, w.Means, w.Key)
		}
		if w.Rank > 0 {
			if ranks[w.List] == nil {
				ranks[w.List] = map[int]bool{}
			}
			assert.False(t, ranks[w.List][w.Rank], "%s: the rank stands twice", w.Key)
			ranks[w.List][w.Rank] = true
		}
	}
}
