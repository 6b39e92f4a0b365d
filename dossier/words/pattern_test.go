package words

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

func TestPatterns(t *testing.T) {
	v := finding.With().Name("a", "Aqua").Names("list", []string{"x", "y", "z"}).Names("one",
		[]string{"x"}).Count("n", 1).Count("many", 3).
		Num("limit", exact.Frac(109876, 100000), "%", finding.FourDown).Day("day", 20260301)
	for _, c := range []struct{ name, text, want string }{
		{"a name", "{a} is", "Aqua is"},
		{"a number, rounded down", "at most {limit}", "at most 1.098 %"},
		{"a day", "on {day}", "on 2026-03-01"},
		{"a list", "{list}", "x, y and z"},
		{"or", "{list or}", "x, y or z"},
		{"semicolons", "{list ;}", "x; y; z"},
		{"commas", "{list ,}", "x, y, z"},
		{"an article", "{a a} is not here", "an Aqua is not here"},
		{"a sum", "{list +}", "x + y + z"},
		{"a count of one", "{n pack is/packs are} gone", "1 pack is gone"},
		{"a count of several", "{many pack is/packs are} gone", "3 packs are gone"},
		{"the verb of a list", "{list} {list !is/are}", "x, y and z are"},
		{"the verb of one", "{one} {one !is/are}", "x is"},
		{"an option that is there", "here[, and {a}]", "here, and Aqua"},
		{"an option that is not", "here[, and {b}]", "here"},
		{"an option of two values", "[{a} {b}]none", "none"},
		{"instead", "[{b}][!b nothing]", "nothing"},
		{"not instead", "[{a}][!a nothing]", "Aqua"},
		{"options inside", "[!b [!c neither]]", "neither"},
		{"an option of another does not count", "[a {a}[, b {b}]]", "a Aqua"},
		{"signs as such", `\{a\} \[a\] \\`, `{a} [a] \`},
		{"a value that is missing", "{b}", "{b}"},
	} {
		t.Run(c.name, func(t *testing.T) {
			p, err := readPattern(c.text)
			require.NoError(t, err)
			assert.Equal(t, c.want, p.print(v.Get, &speaker{table: wordings()}))
		})
	}
}

func TestPatternsRefused(t *testing.T) {
	for text, want := range map[string]string{
		"{a": "a brace is not closed", "a}": "a brace is closed that was not opened",
		"[{a}": "a bracket is not closed", "a]": "a bracket is closed that was not opened",
		"{}": "braces name no value", "{a as}": "says nothing about a value", "[a]": "names no value", "[]": "names no value",
	} {
		_, err := readPattern(text)
		assert.ErrorContains(t, err, want, text)
	}
}

func TestNamesOfAPattern(t *testing.T) {
	p, err := readPattern("{a} [{b}[{c}]][!d {e}]")
	require.NoError(t, err)
	assert.Equal(t, []string{"a"}, p.needed())
	assert.Equal(t, []string{"a", "b", "c", "d", "e"}, p.names())
}

// FuzzPattern wants an error or a pattern for any text, and never a crash.
func FuzzPattern(f *testing.F) {
	f.Add("{a} [b {c or}][!d {e x/y}] \\{")
	f.Fuzz(func(t *testing.T, text string) {
		if p, err := readPattern(text); err == nil {
			p.print(finding.With().Name("a", "x").Get, &speaker{table: wordings()})
		}
	})
}
