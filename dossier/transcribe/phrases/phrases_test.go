package phrases

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestSay(t *testing.T) {
	table := Table{"both": {Text: "{name}: {text} is no figure"}}
	require.Equal(t, "Aqua: {name} is no figure", table.Say("both", "name", "Aqua", "text", "{name}"),
		"a value is put in as it stands")
	require.Equal(t, "none a b", table.Say("none", "a", "b"))
}

// Every code of a table stands in the source, as a word of its own: one that stands
// nowhere says nothing to anybody.
func TestEveryCodeIsUsed(t *testing.T) {
	quoted := regexp.MustCompile(`"([a-z0-9-]+)"`)
	used := map[string]bool{}
	for _, dir := range []string{"../*.go", "../*/*.go", "../../../cmd/gallipot/*.go"} {
		found, err := filepath.Glob(dir)
		require.NoError(t, err)
		for _, f := range found {
			if strings.HasSuffix(f, "_test.go") {
				continue
			}
			data, err := os.ReadFile(f)
			require.NoError(t, err)
			for _, m := range quoted.FindAllStringSubmatch(string(data), -1) {
				used[m[1]] = true
			}
		}
	}
	for name, table := range map[string]Table{"files.csv": Files(), "questions.csv": Questions(), "told.csv": Told()} {
		require.NotEmpty(t, table)
		for code, p := range table {
			require.NotEmpty(t, p.Text, "%s: %s", name, code)
			require.True(t, used[code], "%s: %s is used nowhere", name, code)
		}
	}
	require.NotEmpty(t, Formulas()) // held against the source in package formulation
}
