package lexicon

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestPattern(t *testing.T) {
	range1 := Pattern(`^\s*<<to>>\s`)
	for _, text := range []string{"to 5", "bis 5", "à 5", "tot 5"} {
		require.True(t, range1().MatchString(text), text)
	}
	require.False(t, range1().MatchString("total 5"))
	require.True(t, Pattern(`^<<heat>>$`)().MatchString("erhitzen"), "a stem with its endings")
	require.Panics(t, func() { Pattern(`<<no such words>>`)() })
}

// Every pattern in the source can be made, and every word of the table is in one.
func TestPatternsOfTheSource(t *testing.T) {
	expression := regexp.MustCompile("lexicon\\.Pattern\\(((?:`[^`]*`(?:\\s*\\+\\s*)?)+)\\)")
	joint := regexp.MustCompile("`\\s*\\+\\s*`")
	used := map[string]bool{}
	n := 0
	for _, dir := range []string{"../*.go", "../*/*.go", "../*/*/*.go"} {
		files, err := filepath.Glob(dir)
		require.NoError(t, err)
		for _, f := range files {
			data, err := os.ReadFile(f)
			require.NoError(t, err)
			for _, m := range expression.FindAllStringSubmatch(string(data), -1) {
				text := strings.Trim(joint.ReplaceAllString(m[1], ""), "`")
				require.NotNil(t, Pattern(text)(), "%s: %s", f, text)
				n++
				for _, p := range patternKey.FindAllString(text, -1) {
					used[p[2:len(p)-2]] = true
				}
			}
		}
	}
	require.Greater(t, n, 30)
	for key := range patternWords() {
		require.True(t, used[key], "no pattern has the words of %s", key)
	}
}

func TestPatternsHaveSources(t *testing.T) {
	rows, err := table(patternsTable, 4)
	require.NoError(t, err)
	for _, r := range rows {
		require.NotEmpty(t, r[3], "%s %s", r[0], r[1])
	}
}
