package main

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/table"
	"gallipot/dossier"
	"gallipot/dossier/assess"
	"gallipot/dossier/batch"
	"gallipot/dossier/document"
	"gallipot/dossier/pack"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
)

// TestCountsAgree holds the counts of stops, asks and notes that different verbs and
// documents print of one workshop against each other.
func TestCountsAgree(t *testing.T) {
	dir := filepath.Join("..", "..", "testdata", "demo")
	out := filepath.Join(t.TempDir(), "out")
	day := exact.Date(20261125)
	said := func(args ...string) string {
		var b strings.Builder
		run(append(args, "--workshop", dir), strings.NewReader(""), &b, &b, day)
		return b.String()
	}
	line := func(text, pattern string) string {
		m := regexp.MustCompile(pattern).FindStringSubmatch(text)
		require.NotNil(t, m, "%s in %s", pattern, text)
		return m[1]
	}
	const figures = `(\d+ stop, \d+ ask, \d+ note)`

	w, _ := workshop.Load(dir, table.Builtin())
	var sum [3]int
	for _, p := range w.Products {
		checked := line(said("check", p.ID), `1 product: `+figures)
		assert.Equal(t, checked, coverCounts(t,
			pack.Build(dossier.Assess(w, p, assess.Options{Date: day, Law: table.Builtin()}))), "cover of %s", p.ID)
		var n [3]int
		_, err := fmt.Sscanf(checked, "%d stop, %d ask, %d note", &n[0], &n[1], &n[2])
		require.NoError(t, err)
		for i := range sum {
			sum[i] += n[i]
		}
	}
	all := said("check")
	assert.Equal(t, fmt.Sprintf("%d stop, %d ask, %d note", sum[0], sum[1], sum[2]), line(all, `one by one: `+figures))
	packed := said("pack", "--all", "--out", out)
	assert.Equal(t, line(all, `4 products: `+figures), line(packed, `4 products: `+figures))

	// what the list of batches counts is what check counts
	var of [3]int
	words := map[string]int{"stop": 0, "ask": 1, "note": 2}
	as, found := dossier.CheckAll(w, w.Products, nil, assess.Options{Date: day, Law: table.Builtin()})
	require.Len(t, as, len(w.Products))
	list := batch.BatchList(w, day, found).Sections[0].Blocks[0].(*document.Table)
	for _, row := range list.Rows {
		for _, part := range strings.Split(row.Cells[len(row.Cells)-1].Text, ", ") {
			var n int
			var word string
			_, err := fmt.Sscan(part, &n, &word)
			require.NoError(t, err, part)
			of[words[word]] += n
		}
	}
	assert.Equal(t, line(all, `batches: `+figures), fmt.Sprintf("%d stop, %d ask, %d note", of[0], of[1], of[2]))
	_, err := os.Stat(out)
	require.NoError(t, err)
}

func coverCounts(t *testing.T, d *document.Document) string {
	for _, b := range d.Cover.Blocks {
		if k, ok := b.(*document.KeyFigures); ok && k.Items[0].Label == "Stop" {
			return fmt.Sprintf("%v stop, %v ask, %v note", k.Items[0].Value.Num, k.Items[1].Value.Num, k.Items[2].Value.Num)
		}
	}
	t.Fatal("no counts on the cover")
	return ""
}
