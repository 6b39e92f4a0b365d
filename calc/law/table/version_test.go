package table

import (
	"bytes"
	"encoding/csv"
	"io/fs"
	"slices"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/annex"
)

// tableFiles returns the tables of the program as files, each changed by a
// function of its name and records.
func tableFiles(t testing.TB, change func(name string, records [][]string) [][]string) fstest.MapFS {
	t.Helper()
	names, err := fs.Glob(Files(), "*.csv")
	require.NoError(t, err)
	files := fstest.MapFS{}
	for _, path := range names {
		data, err := fs.ReadFile(Files(), path)
		require.NoError(t, err)
		records, err := csv.NewReader(bytes.NewReader(data)).ReadAll()
		require.NoError(t, err)
		name := path
		var out bytes.Buffer
		require.NoError(t, csv.NewWriter(&out).WriteAll(change(name, records)))
		files[name] = &fstest.MapFile{Data: out.Bytes()}
	}
	return files
}

func meanings(t testing.TB, files fs.FS) map[string]string {
	t.Helper()
	tables, err := readAll(files)
	require.NoError(t, err)
	out := map[string]string{}
	for _, info := range tables.Version() {
		out[info.Name] = info.Meaning
	}
	return out
}

// A source, a note and the place of a row mean nothing; each cell of the other
// columns does.
func TestMeaning(t *testing.T) {
	same := func(_ string, r [][]string) [][]string { return r }
	before := meanings(t, tableFiles(t, same))
	assert.Len(t, before, len(Builtin().Version()))
	reworded := func(_ string, r [][]string) [][]string {
		for i, col := range r[0] {
			if col != "note" && col != "source" {
				continue
			}
			for _, row := range r[1:] {
				if row[i] != "" {
					row[i] = "x"
				}
			}
		}
		return r
	}
	assert.Equal(t, before, meanings(t, tableFiles(t, reworded)))
	turned := func(name string, r [][]string) [][]string {
		if name != "t-quantiles.csv" { // whose rows are in order
			slices.Reverse(r[1:])
		}
		return r
	}
	assert.Equal(t, before, meanings(t, tableFiles(t, turned)))

	changed := func(table, key, col, to string) {
		t.Run(table+" "+key+" "+col, func(t *testing.T) {
			after := meanings(t, tableFiles(t, func(name string, r [][]string) [][]string {
				if name != table {
					return r
				}
				row := slices.IndexFunc(r, func(row []string) bool { return row[0] == key })
				at := slices.Index(r[0], col)
				require.Positive(t, row)
				require.NotEqual(t, to, r[row][at])
				r[row][at] = to
				return r
			}))
			for name, hash := range before {
				assert.Equal(t, name != table || col == "value" && key == tablesState, hash == after[name], name)
			}
		})
	}
	changed("limits.csv", "V-29-eugb-01", "max_pct", "0.9")
	changed("limits.csv", "V-29-eugb-01", "off_shelf_until", "2027-01-01")
	changed("limits.csv", "V-29-eugb-01", "seen", "memory")
	changed("facts.csv", "order-threshold", "value", "0.9")
	changed("facts.csv", tablesState, "value", "2027-01-01")
}

// A maker's table means the same with the columns of earlier days and with those
// of today.
func TestMeaningOfOwnRows(t *testing.T) {
	meaning := func(table string) string {
		rows, _ := annex.ReadOwn("limits/house.csv", []byte(table))
		v := Builtin().WithLimits(rows).Version()
		i := slices.IndexFunc(v, func(i TableInfo) bool { return i.Name == "limits/house.csv" })
		require.GreaterOrEqual(t, i, 0)
		return v[i].Meaning
	}
	const head, row = "key,annex,entry,market,inci_names,cas,ec,condition,max_pct,basis,sum_group,sum_rule,required_label_text,colorant_field,applies_from,applies_until,source,seen,note",
		"h,own,1,GB,Exemplum,,,all,1,,,,Contains it,,,,letter,seen,"
	before := meaning(head + "\n" + row + "Label only above 0.05 %.\n")
	assert.Equal(t, before, meaning(head+",label_above_pct\n"+row+"a word,0.05\n"))
	assert.NotEqual(t, before, meaning(head+",label_above_pct\n"+row+"a word,0.06\n"))
}
