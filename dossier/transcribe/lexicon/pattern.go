package lexicon

import (
	_ "embed"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"sync"

	"gallipot/ingredients/pattern"
)

//go:embed patterns.csv
var patternsTable string

// patternWords are the words of patterns by key, each list as one group of an
// expression, the longest word first.
var patternWords = sync.OnceValue(func() map[string]string {
	rows, err := table(patternsTable, 4)
	if err != nil {
		panic(fmt.Sprintf("patterns.csv: %v", err)) // built in
	}
	words := map[string][]string{}
	for _, r := range rows {
		words[r[0]] = append(words[r[0]], strings.Split(r[2], "|")...)
	}
	out := map[string]string{}
	for key, list := range words {
		slices.SortStableFunc(list, func(a, b string) int { return len(b) - len(a) })
		for i, w := range list {
			stem, cut := strings.CutSuffix(w, "*")
			if list[i] = regexp.QuoteMeta(stem); cut {
				list[i] += `\w*`
			}
		}
		out[key] = "(?:" + strings.Join(slices.Compact(list), "|") + ")"
	}
	return out
})

// patternKey is what stands for words in an expression.
var patternKey = pattern.New(`<<[a-z ]+>>`)

// Pattern is an expression in which <<key>> stands for the words of patterns.csv with
// that key, in every language. It is made when it is first used. A word of the table
// that ends with * stands for every word that begins so.
func Pattern(expression string) func() *regexp.Regexp {
	return sync.OnceValue(func() *regexp.Regexp {
		words := patternWords()
		return regexp.MustCompile(patternKey.ReplaceAllStringFunc(expression, func(p string) string {
			group, ok := words[p[2:len(p)-2]]
			if !ok {
				panic(fmt.Sprintf("patterns.csv has no words for %s", p)) // built in
			}
			return group
		}))
	})
}
