package tox

import (
	"bytes"
	"encoding/csv"
	"math/rand/v2"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law/rows"
)

// asPattern is a pattern of names as a regular expression.
func asPattern(pattern string) *regexp.Regexp {
	var b strings.Builder
	for i := 0; i < len(pattern); i++ {
		switch c := pattern[i]; c {
		case '*':
			b.WriteString(".*")
		case '#':
			b.WriteString("[0-9]+")
		case '[':
			end := strings.IndexByte(pattern[i:], ']')
			if end < 2 {
				b.WriteString(`\[`)
				continue
			}
			b.WriteString("[" + regexp.QuoteMeta(pattern[i+1:i+end]) + "]")
			i += end
		default:
			b.WriteString(regexp.QuoteMeta(pattern[i : i+1]))
		}
	}
	return regexp.MustCompile("(?i)^" + b.String() + "$")
}

// Names have the patterns that they have as regular expressions: those of the table and of
// chance, with names made of pieces of both.
func TestPatterns(t *testing.T) {
	rnd := rand.New(rand.NewPCG(3, 4))
	patterns := []string{"*", "", "#", "a[bc]#*", "*eth-# *", "[", "[]", "a[", "*#*", "é*", "PEG-#*#"}
	data, err := embedded.ReadFile("data/expected-impurities.csv")
	require.NoError(t, err)
	table, err := csv.NewReader(bytes.NewReader(data)).ReadAll()
	require.NoError(t, err)
	at := slices.Index(table[0], "patterns")
	for _, row := range table[1:] {
		patterns = append(patterns, rows.SplitList(row[at])...)
	}
	pieces := []string{"Sodium ", "sodium", "Laureth", "-", "4", "20", " ", "Sulfate", "PEG", "A", "b", "é",
		"É", "ſ", "x", "CI "}
	hits := 0
	for _, p := range patterns {
		want, have := asPattern(p), patternOf(p)
		for range 60 {
			var b strings.Builder
			for n := rnd.IntN(6); n > 0; n-- {
				if rnd.IntN(3) == 0 {
					q := patterns[rnd.IntN(len(patterns))]
					q = strings.NewReplacer("*", pieces[rnd.IntN(len(pieces))], "#", "12").Replace(p[:rnd.IntN(len(p)+1)] + q)
					b.WriteString(q)
				}
				b.WriteString(pieces[rnd.IntN(len(pieces))])
			}
			name := b.String()
			if rnd.IntN(3) == 0 {
				name = strings.NewReplacer("*", pieces[rnd.IntN(len(pieces))], "#", "7").Replace(p)
			}
			require.Equal(t, want.MatchString(name), have.fits(name), "%q %q", p, name)
			if want.MatchString(name) {
				hits++
			}
		}
	}
	require.Greater(t, hits, 1000)
}

// Patterns of names, by hand.
func TestPatternsByHand(t *testing.T) {
	for pattern, c := range map[string]struct{ fits, not []string }{
		"CI #":          {[]string{"CI 0", "CI 9", "ci 77891"}, []string{"CI ", "CI x", "CI 7a", "CI /", "CI :"}},
		"PEG-#*":        {[]string{"PEG-40", "PEG-4 Oleate"}, []string{"PEG-", "PEG-x"}},
		"#-x#":          {[]string{"0-x9", "90-x09"}, []string{"-x1", "1-x", "/-x1", "1-x:"}},
		"[ab]c":         {[]string{"ac", "BC"}, []string{"c", "abc", "[c", "]c", "[ab]c"}},
		"x[a]":          {[]string{"xa"}, []string{"x", "x[", "x]", "x[a]"}},
		"[]":            {[]string{"[]"}, []string{"", "["}},
		"*eth-# *":      {[]string{"Laureth-4 Sulfate", "eth-2 "}, []string{"Laureth-4", "Laureth- x"}},
		"Sodium *":      {[]string{"sodium Laureth Sulfate", "Sodium "}, []string{"Sodium"}},
		"\u00e9*\u00e9": {[]string{"\u00c9x\u00e9", "\u00e9\u00e9"}, []string{"\u00e9", "ee"}},
		"":              {[]string{""}, []string{"x"}},
	} {
		for _, name := range c.fits {
			require.True(t, patternOf(pattern).fits(name), "%q fits %q", pattern, name)
		}
		for _, name := range c.not {
			require.False(t, patternOf(pattern).fits(name), "%q does not fit %q", pattern, name)
		}
	}
}
