package table_test

import (
	"bytes"
	"errors"
	"io/fs"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
)

// FuzzReadTables reads a folder of tables in which one is replaced: no panic,
// every fault is a *TableError with its line, and the tables can be asked
// afterwards.
func FuzzReadTables(f *testing.F) {
	dir := table.Files()
	names, err := fs.Glob(dir, "*.csv")
	require.NoError(f, err)
	whole := fstest.MapFS{}
	for i, name := range names {
		data, err := fs.ReadFile(dir, name)
		require.NoError(f, err)
		lines := strings.SplitAfter(string(data), "\n")
		some := strings.Join(lines[:min(len(lines), 8)], "")
		whole[name] = &fstest.MapFile{Data: []byte(some)}
		f.Add(uint8(i), []byte(some))
		f.Add(uint8(i), []byte(strings.Join(append(lines[:1:1], lines[len(lines)/2:min(len(lines), len(lines)/2+6)]...), "")))
	}
	f.Add(uint8(0), []byte("\xef\xbb\xbf"))
	f.Add(uint8(1), []byte("a,\"b\n"))
	f.Fuzz(func(t *testing.T, i uint8, data []byte) {
		changed := fstest.MapFS{}
		for name, file := range whole {
			changed[name] = file
		}
		name := names[int(i)%len(names)]
		changed[name] = &fstest.MapFile{Data: data}
		tables, err := table.Read(changed)
		for _, e := range faultsOf(err) {
			if e.File == "" || e.Line < 1 || e.What == "" {
				t.Fatalf("fault without a place: %+v", e)
			}
		}
		require.Equal(t, err == nil, len(faultsOf(err)) == 0, "%v", err)
		if err != nil || bytes.Equal(data, whole[name].Data) {
			return
		}
		tables.Dictionary().Canonical("Aqua")
		law.LimitsOf(tables, "Aqua", []string{"7732-18-5"}, nil)
		law.ReadClaim(tables, rows.GB, "heals eczema, free from parabens", false)
	})
}

// faultsOf returns the faults behind a joined error.
func faultsOf(err error) []*rows.TableError {
	var one *rows.TableError
	if many, ok := err.(interface{ Unwrap() []error }); ok {
		var out []*rows.TableError
		for _, e := range many.Unwrap() {
			out = append(out, faultsOf(e)...)
		}
		return out
	}
	if errors.As(err, &one) {
		return []*rows.TableError{one}
	}
	return nil
}
