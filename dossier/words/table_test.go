package words

import (
	"regexp"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestReadTable(t *testing.T) {
	table, err := readTable(fstest.MapFS{
		"a.txt":       {Data: []byte("# about\n\n[over-limit]\nagainst: law\nmessage: {a}\n  and more\nassessor.fix: b\n\n[over-limit/form]\nmessage: c\n")},
		"terms.txt":   {Data: []byte("[of]\ntext: of\n")},
		"actions.txt": {Data: []byte("[letters]\nterminal: type this\n")},
	}, fstest.MapFS{"file.txt": {Data: []byte("[no-claim]\ntext: none\nshort: no\n")}})
	require.NoError(t, err)
	r := table.findings["over-limit"]
	require.NotNil(t, r)
	assert.Equal(t, "law", r.against)
	assert.Equal(t, pattern{{name: "a"}, {text: " and more"}}, r.text("message"))
	assert.NotNil(t, r.text("assessor.fix"))
	assert.NotNil(t, table.findings["over-limit/form"])
	assert.NotNil(t, table.terms["of"])
	assert.NotNil(t, table.actions["letters"])
	assert.NotNil(t, table.remarks["no-claim"].text("short"))
	assert.Same(t, table.remarks["no-claim"], table.term("no-claim"))
	assert.Same(t, table.terms["of"], table.term("of"))
}

func TestReadTableRefuses(t *testing.T) {
	for text, want := range map[string]string{
		"message: a\n":                  "no record has begun",
		"[a]\nmesage: a\n":              `"mesage" is no key of a record`,
		"[a]\nmessage: a\nmessage: b\n": "message stands twice",
		"[a]\nmessage: a\n[a]\n":        "a stands twice",
		"[a]\n  on\n":                   "a text goes on that has not begun",
		"[a]\nmessage: {\n":             "a.txt:2: a brace is not closed",
		"[a]\nagainst: taste\n":         `nothing is against "taste"`,
	} {
		_, err := readTable(fstest.MapFS{"a.txt": {Data: []byte(text)}}, fstest.MapFS{})
		assert.ErrorContains(t, err, want, text)
	}
	for text, want := range map[string]string{
		"[a]\nmessage: a\n": `templates/readiness/a.txt:2: "message" is no key of a record`,
		"[of]\ntext: b\n":   "templates/readiness/a.txt:1: of stands among the terms of findings too",
	} {
		_, err := readTable(fstest.MapFS{"terms.txt": {Data: []byte("[of]\ntext: of\n")}},
			fstest.MapFS{"a.txt": {Data: []byte(text)}})
		assert.ErrorContains(t, err, want, text)
	}
}

// TestVoice holds every text of the table to the voice: no capital at the start, no
// full stop at the end, none of the words that only translations use, no verb of the
// command line for an assessor.
func TestVoice(t *testing.T) {
	table := wordings()
	for _, records := range []map[string]*record{table.findings, table.terms, table.remarks} {
		for name, r := range records {
			for _, w := range r.texts {
				key, p := w.key, r.text(w.key)
				require.NotEmpty(t, p, "%s %s", name, key)
				first, last := p[0].text, p[len(p)-1].text
				if len(first) > 1 {
					assert.False(t, first[0] >= 'A' && first[0] <= 'Z' && first[1] >= 'a' && first[1] <= 'z' && first[:2] != "Re", "%s %s: %s", name, key, first)
				}
				assert.NotRegexp(t, `[a-z]\.$`, strings.TrimSuffix(last, "q.s."), "%s %s", name, key)
				for _, text := range lettersOf(p) {
					assert.NotRegexp(t, `\b(no paper|asks of|what is there in part|from memory)\b`, text, "%s %s", name, key)
					assert.NotRegexp(t, `\bgallipot [a-z]+\b`, exceptOpen(name, text), "%s %s names a command", name, key)
				}
			}
		}
	}
}

// keysNamed finds what only somebody with the files before him can make sense of: a key with a
// low line or with its value behind it, a place among keys, a file or folder of the workshop.
var keysNamed = regexp.MustCompile(`\b[a-z]+(_[a-z0-9]+)+\b|\.yaml\b|` +
	`\b(evidence|ingredients|products|batches|lots|limits|pictures)/|` +
	`\b(write|add|set|put|with|:) [a-z]+: |: (true|false)\b|\benter [a-z ]*under [a-z]|\bkeys?\b`)

// shownAsText are the findings for which a page shows the file as text, to be mended there: its
// keys are the matter, and the fields of no form.
var shownAsText = []string{"unreadable-file", "bad-character", "yaml-syntax", "second-document", "alias-refused",
	"too-deep", "unknown-key", "duplicate-key", "wrong-type", "a-group", "cut-by-comment"}

// At a form nobody is told a key of a file, a folder, or a place among keys: what the page says
// stands in a text of its own where that for the terminal does.
func TestBenchNamesFields(t *testing.T) {
	table := wordings()
	s := &speaker{reader: Bench, table: table}
	texts := 0
	for _, records := range []map[string]*record{table.findings, table.terms, table.remarks} {
		for name, r := range records {
			code, _, _ := strings.Cut(name, "/")
			if slices.Contains(shownAsText, code) {
				continue
			}
			for _, key := range []string{"message", "why", "fix", "text", "short"} {
				for _, text := range lettersOf(s.of(r, key)) {
					texts++
					assert.NotRegexp(t, keysNamed, text, "%s %s", name, key)
				}
			}
		}
	}
	assert.Greater(t, texts, 1000)
}

// exceptOpen lets the lists of a batch name the verb that shows more: they are
// printed for the maker alone.
func exceptOpen(name, text string) string {
	if name == "product-stops" {
		return ""
	}
	return text
}

func lettersOf(p pattern) []string {
	var out []string
	for _, x := range p {
		if x.text != "" {
			out = append(out, x.text)
		}
		out = append(out, lettersOf(x.inside)...)
	}
	return out
}
