package main

import (
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/dossier/words"
)

// TestEveryCodeHasWords holds the codes in the source against the table of wordings,
// both ways, and the forms of the table against the texts in the source.
func TestEveryCodeHasWords(t *testing.T) {
	source, table := codesInSource(t), words.Codes()
	for _, code := range slices.Sorted(maps.Keys(source)) {
		assert.NotEmpty(t, table[code], "%s comes from %s and has no words", code, source[code])
	}
	text := sourceText(t)
	for _, code := range slices.Sorted(maps.Keys(table)) {
		assert.NotNil(t, source[code], "%s has words and is raised nowhere", code)
		for _, form := range table[code] {
			if form != "" {
				assert.Contains(t, text, `"`+form+`"`, "%s/%s is raised nowhere", code, form)
			}
		}
	}
}

// TestEveryMissingFactHasWords holds the facts that a row of the law may wait for against
// the vocabulary: each has words, and words for what supplies it.
func TestEveryMissingFactHasWords(t *testing.T) {
	facts := regexp.MustCompile(`(?m)^\s*[mM]issing[A-Z]\w*\s*=\s*"(.*?)"`).FindAllStringSubmatch(sourceText(t), -1)
	require.Greater(t, len(facts), 10)
	for _, x := range facts {
		assert.True(t, words.HasTerm("fact-"+x[1]), "fact-%s", x[1])
		assert.True(t, words.HasTerm("supply-"+x[1]), "supply-%s", x[1])
	}
}

// TestEveryRemarkHasWords holds what the rules of readiness say against templates/readiness,
// both ways. That each is said, and with the values its words name, is tested beside the
// rules.
func TestEveryRemarkHasWords(t *testing.T) {
	text, codes := sourceText(t), words.RemarkCodes()
	said := regexp.MustCompile(`\b(?:evidence\.(?:Present|Partly|Lacking|Unstated|NotNeeded|ForAssessor)|`+
		`\)\.Also|x\.Also|x\.Only|Or)\(\s*"([a-z0-9-]+)"`).FindAllStringSubmatch(text, -1)
	require.Greater(t, len(said), 100)
	for _, m := range said {
		assert.Contains(t, codes, m[1], "%s has no words", m[0])
	}
	for _, code := range codes {
		assert.Contains(t, text, `"`+code+`"`, "%s has words and is said nowhere", code)
	}
}

// sourceText joins the source of all packages that raise findings.
func sourceText(t *testing.T) string {
	var all strings.Builder
	for _, root := range codeRoots {
		require.NoError(t, filepath.WalkDir(filepath.Join("..", "..", root),
			func(name string, d fs.DirEntry, err error) error {
				if err != nil || d.IsDir() || filepath.Ext(name) != ".go" || strings.HasSuffix(name, "_test.go") {
					return err
				}
				data, err := os.ReadFile(name)
				all.Write(data)
				return err
			}))
	}
	return all.String()
}

// TestFindingsAndTheirWords checks every finding of the demo and of the workshops in
// testdata/findings: it has words, they use all its values, and no value is a
// sentence.
func TestFindingsAndTheirWords(t *testing.T) {
	checkWords(t, "demo")
	names, err := filepath.Glob(filepath.Join("..", "..", "testdata", "findings", "*.txtar"))
	require.NoError(t, err)
	for _, name := range names {
		checkWords(t, strings.TrimSuffix(filepath.Base(name), ".txtar"))
	}
}

func checkWords(t *testing.T, name string) {
	found := findingsOf(t, name)
	for i := range found {
		assert.Empty(t, words.Faults(&found[i]), name)
		for _, reader := range []words.Reader{words.Terminal, words.Bench, words.Files, words.Assessor} {
			s := words.Say(&found[i], reader)
			said := strings.Join([]string{s.Message, s.Fix, s.Why}, "\n")
			if reader != words.Terminal {
				assert.NotContains(t, said, "gallipot ", "%s: %s", name, s.Code)
			}
			assert.NotContains(t, said, "  ", "%s: %s", name, s.Code)
			assert.False(t, s.Subject != "" && strings.HasPrefix(s.Message, s.Subject),
				"%s: %s repeats its subject: %s", name, s.Code, s.Message)
		}
	}
}
