package formulation

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/dossier/transcribe/dose"
	"gallipot/dossier/transcribe/phrases"
)

// Codes that the source puts together: those of a doubt, and those passed on.
var composed = []string{"line-trials", "line-share", "share", "line-shares", "trials", "shares", "no-value", "hidden-text", "deleted-text", "attachment", "cell-error", "total-differs", "total-differs-without", "line-crossed-out", "line-no-amount",
	"why-hidden", "why-other-work", "why-old", "why-size", "why-size-long", "why-version", "too-little", "too-much"}

func TestEveryCodeHasWords(t *testing.T) {
	var files []string
	for _, dir := range []string{".", "../dose", "../recipe", "../recipe/*"} {
		found, err := filepath.Glob(dir + "/*.go")
		require.NoError(t, err)
		files = append(files, found...)
	}
	require.Greater(t, len(files), 30)
	used := map[string]bool{}
	for _, d := range []dose.Doubt{dose.Range, dose.Bound, dose.About, dose.Query, dose.Changed, dose.Composed, dose.Decimal, dose.Fraction, dose.Words, dose.Zero} {
		used["line-"+string(d)] = true
	}
	for _, c := range composed {
		used[c] = true
	}
	said := regexp.MustCompile(`(?:[sS]ay|[sS]entence)\("([a-z0-9-]*[a-z0-9])"((?:, "[a-z]+", [^\n]+)?)`)
	names := regexp.MustCompile(`\{([a-z]+)\}`)
	for _, f := range files {
		if strings.HasSuffix(f, "_test.go") {
			continue
		}
		data, err := os.ReadFile(f)
		require.NoError(t, err)
		for _, m := range said.FindAllStringSubmatch(string(data), -1) {
			w, ok := phrases.Formulas()[m[1]]
			require.True(t, ok, "%s: %s has no words", f, m[1])
			used[m[1]] = true
			for _, n := range names.FindAllStringSubmatch(w.Text, -1) {
				require.Contains(t, m[2], `"`+n[1]+`"`, "%s: %s names a value that is not passed", f, m[1])
			}
		}
	}
	for code, w := range phrases.Formulas() {
		require.True(t, used[code], "the words of %s are used nowhere", code)
		require.Contains(t, []string{"ask", "warning", "part"}, w.Kind, code)
	}
}
