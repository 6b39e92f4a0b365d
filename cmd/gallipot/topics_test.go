package main

import (
	"bytes"
	"encoding/json"
	"io/fs"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/dossier/store"
	"gallipot/ingredients/exact"
	"gallipot/testdata"
)

func helpTopic(t *testing.T, name string) string {
	t.Helper()
	var out, errout bytes.Buffer
	require.Equal(t, exitClean, run([]string{"help", name}, nil, &out, &errout, 20261125))
	require.Empty(t, errout.String())
	return out.String()
}

func TestTopics(t *testing.T) {
	t.Run("every topic is listed and prints its text", func(t *testing.T) {
		var out, errout bytes.Buffer
		run([]string{"help"}, nil, &out, &errout, 20261125)
		for _, topic := range topics() {
			assert.Contains(t, out.String(), topic.Short)
			assert.Equal(t, topic.Long, strings.TrimRight(helpTopic(t, topic.Name()), "\n"))
			for line := range strings.SplitSeq(topic.Long, "\n") {
				assert.LessOrEqual(t, len([]rune(line)), 90, line)
			}
		}
	})
	t.Run("json names the keys that are printed, and no others", func(t *testing.T) {
		tree, err := fs.Sub(testdata.Demo, "demo")
		require.NoError(t, err)
		t.Chdir(t.TempDir())
		require.NoError(t, store.WriteTree("demo", tree))
		var out, errout bytes.Buffer
		run(strings.Fields("figures heath-wash/heather --json --workshop demo --market GB"), nil, &out, &errout, 20261125)
		var objects []map[string]any
		require.NoError(t, json.Unmarshal(out.Bytes(), &objects), errout.String())
		var printed, named []string
		for key := range objects[0] {
			printed = append(printed, key)
		}
		for _, m := range regexp.MustCompile(`(?m)^  ([a-z_]+(?:(?:\[\])?, [a-z_]+)*)`).FindAllStringSubmatch(helpTopic(t, "json"), -1) {
			named = append(named, strings.Split(m[1], ", ")...)
		}
		assert.ElementsMatch(t, printed, named)
	})
	t.Run("keys names the keys of a complaint that the starter file leaves out", func(t *testing.T) {
		_, keys, found := strings.Cut(helpTopic(t, "keys"), "\nA complaint in a product, under complaints\n")
		require.True(t, found)
		keys, _, _ = strings.Cut(keys, "\n\n")
		for _, key := range []string{"kind", "serious", "causality", "outcome", "reported"} {
			assert.Regexp(t, `(?m)^  `+key+` +\S`, keys)
		}
	})
	t.Run("amounts mean what the topic says", func(t *testing.T) {
		text := helpTopic(t, "amounts")
		for typed, want := range map[string][2]string{
			"12": {"12", "12"}, "12.5": {"12.5", "12.5"}, "10-15": {"10", "15"}, "<0.1": {"0", "0.1"},
			">=60": {"60", "100"}, "120 ppm": {"0.012", "0.012"}, "120 mg/kg": {"0.012", "0.012"},
		} {
			assert.Contains(t, text, typed)
			a, err := exact.ParseAmount(typed)
			require.NoError(t, err)
			r := a.Range
			assert.Equal(t, want, [2]string{r.Min.Decimal(), r.Max.Decimal()}, typed)
		}
	})
}
