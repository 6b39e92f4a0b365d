package main

import (
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// unshown are the codes that no small workshop can show, with the reason.
var unshown = map[string]string{}

// TestEveryCodeIsShown holds the set of codes in the source against the files in
// testdata/findings, both ways.
func TestEveryCodeIsShown(t *testing.T) {
	source := codesInSource(t)
	shown := findingFiles(t)
	for _, code := range slices.Sorted(maps.Keys(source)) {
		assert.Regexp(t, `^[a-z0-9]+(-[a-z0-9]+)*$`, code, "%s", source[code])
		_, excused := unshown[code]
		switch {
		case shown[code].name == "" && !excused:
			t.Errorf("%s comes from %s and has no testdata/findings/%s.txtar", code, source[code], code)
		case shown[code].name != "" && excused:
			t.Errorf("%s is shown after all: take it out of the list of those that are not", code)
		}
	}
	for _, code := range slices.Sorted(maps.Keys(shown)) {
		if source[code] == nil {
			t.Errorf("testdata/findings/%s.txtar: no such code in the source", code)
		}
	}
	for code, why := range unshown {
		assert.NotNil(t, source[code], code)
		assert.NotEmpty(t, why, code)
	}
}

// shownFinding is one file of testdata/findings.
type shownFinding struct {
	name  string
	about string   // the first line: what the finding is about
	kinds []string // stop, ask, note: those the file shows
}

var shownHead = regexp.MustCompile(`^(?:.+?: )?(stop|ask|note)\[([a-z0-9-]+)\]: (.+)$`)

// findingFiles reads testdata/findings and checks the form of each file: a first
// line that says what the finding is about, and wanted output of its code alone.
func findingFiles(t *testing.T) map[string]shownFinding {
	names, err := filepath.Glob(filepath.Join("..", "..", "testdata", "findings", "*.txtar"))
	require.NoError(t, err)
	require.NotEmpty(t, names)
	all := map[string]shownFinding{}
	for _, name := range names {
		code := strings.TrimSuffix(filepath.Base(name), ".txtar")
		a, err := txtar.ParseFile(name)
		require.NoError(t, err)
		first, rest, _ := strings.Cut(string(a.Comment), "\n")
		f := shownFinding{name: name, about: strings.TrimPrefix(first, "# ")}
		assert.True(t, strings.HasPrefix(first, "# "), "%s: the first line says what the finding is about", code)
		assert.Contains(t, rest, "finding "+code+"\ncmp finding want\n", code)
		at := slices.IndexFunc(a.Files, func(f txtar.File) bool { return f.Name == "want" })
		require.GreaterOrEqual(t, at, 0, "%s has no wanted output", code)
		for line := range strings.Lines(string(a.Files[at].Data)) {
			kind := ""
			if m := shownHead.FindStringSubmatch(strings.TrimRight(line, "\n")); m != nil {
				assert.Equal(t, code, m[2], name)
				kind = m[1]
			} else if m := documentHead.FindStringSubmatch(line); m != nil {
				kind = m[1]
			}
			if kind != "" && !slices.Contains(f.kinds, kind) {
				f.kinds = append(f.kinds, kind)
			}
		}
		assert.NotEmpty(t, f.kinds, "%s: no finding in the wanted output", code)
		all[code] = f
	}
	return all
}

// Marks around the list in testdata/findings/README.md.
const (
	listBegin = "<!-- findings: written by TestListOfFindings -->\n"
	listEnd   = "<!-- end of findings -->\n"
)

// TestListOfFindings keeps the list of findings in testdata/findings/README.md as the
// files beside it have it; UPDATE=1 writes it.
func TestListOfFindings(t *testing.T) {
	name := filepath.Join("..", "..", "testdata", "findings", "README.md")
	data, err := os.ReadFile(name)
	require.NoError(t, err)
	before, rest, ok := strings.Cut(string(data), listBegin)
	require.True(t, ok, "the list of findings has no line %q", strings.TrimSpace(listBegin))
	have, after, ok := strings.Cut(rest, listEnd)
	require.True(t, ok, "the list of findings has no line %q", strings.TrimSpace(listEnd))
	want := listOfFindings(findingFiles(t))
	if os.Getenv("UPDATE") == "1" {
		require.NoError(t, os.WriteFile(name, []byte(before+listBegin+want+listEnd+after), 0o666))
		return
	}
	assert.Equal(t, want, have, "the list is stale: UPDATE=1 go test ./cmd/gallipot -run TestListOfFindings")
}

func listOfFindings(shown map[string]shownFinding) string {
	var b strings.Builder
	fmt.Fprintf(&b, "\n| code | kind | what it is about |\n|---|---|---|\n")
	for _, code := range slices.Sorted(maps.Keys(shown)) {
		f := shown[code]
		slices.SortFunc(f.kinds, func(a, b string) int { return order(a) - order(b) })
		fmt.Fprintf(&b, "| `%s` | %s | %s |\n", code, strings.Join(f.kinds, ", "), f.about)
	}
	return b.String() + "\n"
}

// order puts the gravest kind first.
func order(kind string) int { return slices.Index([]string{"stop", "ask", "note"}, kind) }
