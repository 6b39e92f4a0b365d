package bench

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/table"
	"gallipot/dossier/bench/frame"
	"gallipot/dossier/watched"
	"gallipot/ingredients/exact"
)

// What the program has to say calls a field on a page as the page does, and never by the key of
// its value in a file: over the smallest workshop of each finding.
func TestKeysOfFindings(t *testing.T) {
	key := regexp.MustCompile(`\b[A-Za-z]+(_[a-z0-9]+)+\b|: \{|\b(?:such as|[Ww]rite|[Aa]dd|set) [a-z_]+: |\bin \w+\.yaml`)
	source := regexp.MustCompile(`\([a-z-]+\.csv, rows? [^)]*\)`)
	files, err := filepath.Glob("../../testdata/findings/*.txtar")
	require.NoError(t, err)
	told := 0
	for _, file := range files {
		a, err := txtar.ParseFile(file)
		require.NoError(t, err)
		dir := t.TempDir()
		for _, x := range a.Files {
			at := filepath.Join(dir, filepath.FromSlash(x.Name))
			require.NoError(t, os.MkdirAll(filepath.Dir(at), 0o755))
			require.NoError(t, os.WriteFile(at, x.Data, 0o644))
		}
		if _, err := os.Stat(filepath.Join(dir, "workshop.yaml")); err != nil {
			continue // of a verb that reads no workshop
		}
		s := watched.Open(dir, table.Builtin(), func() (exact.Date, bool) { return 20261129, true }).Now()
		if s.Workshop == nil {
			continue
		}
		products, batches := s.Points()
		names := frame.NamesOf(s.Workshop)
		for _, f := range append(append(s.Findings, products...), batches...) {
			if strings.HasPrefix(f.Code, "own-limits") || f.Code == "unknown-key" || f.Code == "duplicate-key" {
				continue // columns of a table, and what is mended as text
			}
			x := names.Tell(f)
			told++
			for _, text := range append([]string{x.Message, x.Why, x.Fix}, x.Items...) {
				require.Empty(t, key.FindString(source.ReplaceAllString(text, "")), "%s: %s: %s", filepath.Base(file), f.Code, text)
			}
		}
	}
	require.Greater(t, told, 500)
}

// Every field of the forms whose key is no plain word has its name in messages too.
func TestKeysHaveNames(t *testing.T) {
	rows := func(file string) [][]string {
		data, err := os.ReadFile(file)
		require.NoError(t, err)
		all, err := csv.NewReader(strings.NewReader(string(data))).ReadAll()
		require.NoError(t, err)
		return all[1:]
	}
	known := map[string]bool{}
	for _, r := range rows("frame/keys.csv") {
		known[r[0]] = true
	}
	for _, file := range []string{"workshop.csv", "outlets.csv", "product/facts.csv", "records/records.csv",
		"material/material.csv", "material/toxicology.csv", "material/rows.csv", "scale/batch.csv"} {
		for _, r := range rows(file) {
			way := strings.Split(r[1], "/")
			if last := way[len(way)-1]; strings.Contains(last, "_") {
				require.True(t, known[last], "%s: %s has no row in frame/keys.csv", file, last)
			}
		}
	}
}
