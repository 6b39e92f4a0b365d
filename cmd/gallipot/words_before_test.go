package main

import (
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/table"
	"gallipot/dossier"
	"gallipot/dossier/assess"
	"gallipot/dossier/stock"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// renamed are the codes that have another name since the words stand in tables.
var renamed = map[string]string{"figures-from-memory": "figures-unverified"}

// TestNoFindingIsLost holds the findings of the demo and of testdata/findings, as
// they were worded before the words stood in tables (testdata/words/before.tsv),
// against those of today: each is still raised, of the same kind and at the same
// place, or testdata/words/since.tsv says which change of law or names settled it. go test -v -run TestNoFindingIsLost prints old and new beside each other.
func TestNoFindingIsLost(t *testing.T) {
	data, err := os.ReadFile(filepath.Join("..", "..", "testdata", "words", "before.tsv"))
	require.NoError(t, err)
	since, err := os.ReadFile(filepath.Join("..", "..", "testdata", "words", "since.tsv"))
	require.NoError(t, err)
	changed := map[string]string{} // workshop, kind, code and place → why
	for _, line := range strings.Split(strings.TrimSpace(string(since)), "\n")[1:] {
		f := strings.Split(line, "\t")
		require.Len(t, f, 5, line)
		changed[strings.Join(f[:4], " ")] = f[4]
	}
	var name string
	var now []words.Said
	lines := strings.Split(strings.TrimSpace(string(data)), "\n")
	require.Greater(t, len(lines), 700)
	for _, line := range lines[1:] {
		f := strings.Split(line, "\t")
		require.Len(t, f, 5, line)
		if f[0] != name {
			name = f[0]
			today := name
			if renamed[today] != "" {
				today = renamed[today]
			}
			now = words.SayAll(findingsOf(t, today), words.Terminal)
		}
		code := f[2]
		if renamed[code] != "" {
			code = renamed[code]
		}
		found := false
		for _, s := range now {
			if s.Severity.String() == f[1] && s.Code == code && s.Pos.String() == f[3] {
				found = true
				t.Logf("%s %s[%s] %s\n\tbefore: %s\n\tnow:    %s", name, f[1], code, f[3], f[4], s.Line())
			}
		}
		if why := changed[strings.Join(f[:4], " ")]; why != "" {
			assert.False(t, found, "%s: %s[%s] at %s is still raised; since.tsv says: %s", f[0], f[1], f[2], f[3], why)
			continue
		}
		assert.True(t, found, "%s: %s[%s] at %s is lost: %s", f[0], f[1], f[2], f[3], f[4])
	}
}

// raised keeps the findings of each workshop, which two tests ask for.
var raised sync.Map // name → *onceRaised

type onceRaised struct {
	once  sync.Once
	found []finding.Finding
}

// findingsOf checks the demo or one workshop of testdata/findings: all of its findings,
// and those of stock, once in a run of the tests.
func findingsOf(t *testing.T, name string) []finding.Finding {
	kept, _ := raised.LoadOrStore(name, &onceRaised{})
	r := kept.(*onceRaised)
	r.once.Do(func() {
		dir := filepath.Join("..", "..", "testdata", "demo")
		if name != "demo" {
			a, err := txtar.ParseFile(filepath.Join("..", "..", "testdata", "findings", name+".txtar"))
			require.NoError(t, err)
			dir = t.TempDir()
			for _, f := range a.Files {
				put(t, filepath.Join(dir, filepath.FromSlash(f.Name)), string(f.Data))
			}
		}
		const day = exact.Date(20260601)
		w, found := workshop.Load(dir, table.Builtin())
		if w != nil {
			options := assess.Options{Date: day, DateChosen: true, Law: table.Builtin()}
			as, batches := dossier.CheckAll(w, w.Computable(w.Products), nil, options)
			found = append(assess.MergeFindings(w, as, true), batches...)
			found = append(found, stock.Of(w, day).Findings()...)
		}
		r.found = found
	})
	return r.found
}
