package main

import (
	"bytes"
	"io/fs"
	"os"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/dossier/store"
	"gallipot/testdata"
)

var consoleBlock = regexp.MustCompile("(?s)```console\n(.*?)```")

// TestReadmeSessions runs each command that the README shows and compares what
// it prints; a line with … stands for any number of lines.
func TestReadmeSessions(t *testing.T) {
	readme, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	blocks := consoleBlock.FindAllStringSubmatch(string(readme), -1)
	require.NotEmpty(t, blocks)
	tree, err := fs.Sub(testdata.Demo, "demo")
	require.NoError(t, err)
	t.Chdir(t.TempDir())
	require.NoError(t, store.WriteTree("demo", tree))
	for _, b := range blocks {
		lines := strings.Split(strings.TrimRight(b[1], "\n"), "\n")
		command, ok := strings.CutPrefix(lines[0], "$ gallipot ")
		require.True(t, ok, "%s", lines[0])
		var out, errout bytes.Buffer
		run(strings.Fields(command), nil, &out, &errout, 20261125)
		assert.Empty(t, errout.String(), command)
		assert.True(t, matches(lines[1:], strings.Split(strings.TrimRight(out.String(), "\n"), "\n")),
			"%s prints\n%s", command, out.String())
	}
}

// matches says whether got reads like want, in which … stands for any lines.
func matches(want, got []string) bool {
	switch {
	case len(want) == 0:
		return len(got) == 0
	case want[0] == "…":
		for i := 0; i <= len(got); i++ {
			if matches(want[1:], got[i:]) {
				return true
			}
		}
		return false
	case len(got) == 0:
		return false
	}
	return strings.TrimRight(want[0], " ") == strings.TrimRight(got[0], " ") && matches(want[1:], got[1:])
}

// TestReadmeNamesEveryVerb keeps the table of verbs whole.
func TestReadmeNamesEveryVerb(t *testing.T) {
	readme, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	c := &command{}
	for _, v := range c.root().Commands() {
		if v.Runnable() && !v.Hidden && v.Name() != "help" && v.Name() != "completion" {
			assert.True(t, strings.Contains(string(readme), "`gallipot "+v.Name()), "%s is not in the table of verbs", v.Name())
		}
	}
}

// TestHelpExamplesParse checks that every example in the help texts is a command
// the program knows, with flags it knows.
func TestHelpExamplesParse(t *testing.T) {
	entries, err := helpTexts.ReadDir("help")
	require.NoError(t, err)
	for _, e := range entries {
		if e.IsDir() {
			continue
		}
		_, _, examples := helpOf(strings.TrimSuffix(e.Name(), ".txt"))
		for line := range strings.SplitSeq(examples, "\n") {
			command, ok := strings.CutPrefix(strings.TrimSpace(line), "gallipot ")
			if !ok {
				continue
			}
			command, _, _ = strings.Cut(command, "   ")
			require.NoError(t, parses(strings.Fields(strings.ReplaceAll(command, `"`, ""))), line)
		}
	}
}

// parses finds a verb and parses its flags without running it.
func parses(args []string) error {
	c := &command{}
	verb, rest, err := c.root().Find(args)
	if err != nil {
		return err
	}
	return verb.ParseFlags(rest)
}
