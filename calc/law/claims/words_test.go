package claims

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/rows/rowstest"
	"gallipot/ingredients/finding"
)

// Accents do not hide a wording.
func TestClaimsWithAccents(t *testing.T) {
	for letter, want := range map[rune]string{'Œ': "oe", 'æ': "ae", 'X': "x", 'ñ': "ñ"} {
		assert.Equal(t, want, string(appendFolded(nil, letter)))
	}
	for letters, want := range map[string]string{"àáâäÀÁÂÄ": "a", "èéêëÈÉÊË": "e"} {
		for _, letter := range letters {
			assert.Equal(t, want, string(appendFolded(nil, letter)), string(letter))
		}
	}
}

// Words with their places, by counting bytes.
func TestTokens(t *testing.T) {
	assert.Equal(t, []ClaimToken{{"dont", 0, 5}, {"dont", 6, 13}, {"e", 14, 16}, {"24", 17, 19}, {"h", 19, 20}, {"5", 21, 22},
		{"%", 22, 23}, {"a", 24, 25}, {"b", 26, 27}, {"c", 30, 31}},
		ClaimTokens("don't Don’t É 24h 5% a(b”c"))
}

// A rule finds its wordings but for those that another wording excuses.
func TestFind(t *testing.T) {
	rules, err := ReadClaims("t.csv", rowstest.Table(ClaimColumns,
		rowstest.Cells{"id": "A", "kind": "medicinal", "severity": "stop", "market": "EU+GB", "reads": "all",
			"patterns": "water;oil", "unless": "oil skin", "why": "w", "fix": "f", "source": "s", "seen": "seen"},
		rowstest.Cells{"id": "B", "kind": "medicinal", "severity": "ask", "market": "EU+GB", "reads": "claims",
			"patterns": "heal;heal the skin;the skin;skin deep", "why": "w", "fix": "f", "source": "s", "seen": "seen"},
		rowstest.Cells{"id": "C", "kind": "medicinal", "severity": "note", "market": "GB", "reads": "claims",
			"patterns": "heal the skin;heal", "contains": "@scent", "why": "w", "fix": "f", "source": "s", "seen": "seen"},
		rowstest.Cells{"id": "D", "kind": "medicinal", "severity": "note", "market": "GB", "reads": "claims",
			"patterns": "the skin;heal the;~lead", "why": "w", "fix": "f", "source": "s", "seen": "seen"}))
	require.NoError(t, err)
	assert.Equal(t, []finding.Severity{finding.Stop, finding.Ask, finding.Note},
		[]finding.Severity{rules[0].Severity, rules[1].Severity, rules[2].Severity})
	assert.Equal(t, []bool{true, false}, []bool{rules[0].Directions, rules[1].Directions})
	for _, c := range []struct {
		rule  int
		text  string
		words []string
		from  int
		to    int
	}{
		{0, "oil skin water", []string{"water"}, 9, 14}, // what stands beside an excused wording is none
		{0, "water oil skin", []string{"water"}, 0, 5},
		{0, "oil here, oil skin there", []string{"oil"}, 0, 3},
		{0, "oil skin", nil, 0, 0},
		{0, "oil before Water, water before OIL", []string{"oil", "Water", "water", "OIL"}, 0, 3},
		{0, "oil, oil", []string{"oil"}, 0, 3},
		{1, "heal the skin", []string{"heal the skin"}, 0, 13}, // the longest of those that begin there
		{2, "heal the skin", []string{"heal the skin"}, 0, 13},
		{1, "the skin deep", []string{"the skin"}, 0, 8}, // what overlaps a wording is quoted with it
		{3, "heal the skin", []string{"heal the"}, 0, 8}, // the one that begins first, whatever the order of the rule
		{3, "a lead-free pot", []string{"lead-free"}, 2, 11},
		{1, "so heal, heal the skin, the skin", []string{"heal", "heal the skin", "the skin"}, 3, 7},
	} {
		match, ok := rules[c.rule].Find(c.text, ClaimTokens(c.text), AbsenceWords{})
		assert.Equal(t, c.words != nil, ok, c.text)
		assert.Equal(t, c.words, match.Words, c.text)
		assert.Equal(t, []int{c.from, c.to}, []int{match.From, match.To}, c.text)
	}
}
