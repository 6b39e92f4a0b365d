package law_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/condition"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
)

// wordsFunction is a list that only its reader names.
const wordsFunction = "function"

// Where in a text a word must stand, by hand.
func TestWordPlaces(t *testing.T) {
	for _, c := range []struct {
		match rows.WordMatch
		word  string
		in    []string
		not   []string
	}{
		{rows.MatchPart, "wax", []string{"Wax", "Beeswax", "waxy"}, []string{"wa x", ""}},
		{rows.MatchStart, "ul", []string{"UL", "ultra"}, []string{"null", ""}},
		{rows.MatchWord, "oil", []string{"Oil", "Seed Oil", "oil/x", "(oil)"}, []string{"Oils", "foil", "spearmint_oil", ""}},
		{rows.MatchFirst, "peg", []string{"PEG-40 Castor Oil", "peg"}, []string{"Methoxy PEG-16", "pegs", ""}},
		{rows.MatchLast, "water", []string{"Rosa Flower Water"}, []string{"Water", "Water Lily", "Rosa-Water"}},
		{rows.MatchLater, "oil", []string{"Seed Oil", "Seed oils"}, []string{"Oil", "foil"}},
		{rows.MatchEarlier, "cera", []string{"Cera Alba", "x cera y"}, []string{"Cera", "cerasum"}},
		{rows.MatchPhrase, "self tan", []string{"self-tanning milk", "a Self Tan"}, []string{"myself tan", "self  tan"}},
		{rows.MatchWhole, "cold pressed", []string{"Cold-pressed oil", "(cold pressed)"},
			[]string{"cold pressedly", "uncold pressed"}},
		{rows.MatchWhole, "isn't", []string{"this isn't it"}, []string{"isn't1"}},
		{rows.MatchWhole, "oil", []string{"oil", "`oil`", "{oil}", "/oil:", "^oil@", "seed oil.", "foil oil"},
			[]string{"aoil", "oila", "zoil", "oilz", "0oil", "oil0", "9oil", "oil9", "_oil", "oil_", "oilé", "\u0440oil"}},
		{rows.MatchWhole, "cold pressed", []string{"cold\u2011pressed", "cold\u00a0pressed"}, []string{"cold\u00b7pressed"}},
	} {
		tables := &table.Tables{WordRows: []*rows.Word{{List: rows.WordsWater, Word: c.word, Match: c.match, Means: "m"}}}
		tables.IndexWords()
		l := tables.Words(rows.WordsWater)
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
	tables := &table.Tables{WordRows: []*rows.Word{
		{Row: rows.Row{Key: "b"}, List: wordsFunction, Word: "acid", Match: rows.MatchPart, Means: "other", Rank: 2},
		{Row: rows.Row{Key: "a"}, List: wordsFunction, Word: "acidity", Match: rows.MatchPart,
			Means: "ph-adjuster", Rank: 1},
	}}
	tables.IndexWords()
	means, _ := tables.Words(wordsFunction).Means("Acidity regulator")
	assert.Equal(t, "ph-adjuster", means)
	found := tables.Words(wordsFunction).All("an acidity")
	require.Len(t, found, 2)
	assert.Equal(t, rows.Found{Means: "ph-adjuster", Before: "an "}, found[0])
	assert.Len(t, tables.Words(wordsFunction).All("Acidity"), 2, "at the start of the text")
	assert.False(t, tables.Words(rows.WordsWater).In("Rosa Water"), "a list without words")
	assert.Panics(t, func() { tables.Words("watter") })
}

// Words stand in lower case in their table, as the texts do when they are compared.
func TestWordsInLowerCase(t *testing.T) {
	_, err := rows.ReadWords("t.csv", "key,list,word,match,means,rank,seen,source,note\na,water,Water,last,,,seen,book,\n")
	require.EqualError(t, err, `t.csv:2: word: "Water" is not in lower case`)
}

// Every list has words, and what they mean is known where they are read.
func TestWordLists(t *testing.T) {
	tables := table.Builtin()
	for _, list := range rows.WordLists {
		assert.NotEmpty(t, tables.Words(list).Words, list)
	}
	means := map[string][]string{
		wordsFunction:        append([]string{"colorant", "uv-filter", "other"}, condition.FunctionWords...),
		rows.WordsClaim:      condition.ClaimWords,
		rows.WordsStudyRoute: {"dermal", "inhalation"},
		rows.WordsPoDType:    {"effect", "lowest", "intake", "tumour"},
	}
	ranks := map[string]map[int]bool{}
	for _, w := range tables.WordRows {
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
