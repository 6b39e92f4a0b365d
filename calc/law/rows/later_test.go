package rows

import (
	"sync"
	"testing"

	"github.com/stretchr/testify/require"
)

// A table read later has the rows of one read whole, whatever the order they are asked in.
func TestReadLater(t *testing.T) {
	cols := Columns{Meaning: []string{"key", "names", "seen"}, Remarks: []string{"source", "note"}}
	type row struct {
		Row
		names []string
	}
	parse := func(r *Record) *row { return &row{r.Head(r.Must("key")), r.Bars("names")} }
	const text = "key,names,seen,source,note\n" +
		"a,One | Two,seen,book,\n" + "b,\"x, \"\"y\"\"\",partly,book,\"said, so\"\n" + "c,,memory,book,\n"
	whole, err := ReadTable("t.csv", text, cols, parse)
	require.NoError(t, err)
	later, err := ReadLater("t.csv", text, cols, parse)
	require.NoError(t, err)
	require.Equal(t, len(whole), later.Len())
	var all sync.WaitGroup
	for _, i := range []int{2, 0, 1, 2, 0, 1} {
		all.Go(func() { later.Row(i) })
	}
	all.Wait()
	for i, w := range whole {
		got := later.Row(i)
		require.Same(t, got, later.Row(i))
		require.Equal(t, w.names, got.names)
		require.Equal(t, w.Meaning(), got.Meaning())
		w.cells, got.cells = nil, nil
		require.Equal(t, w.Row, got.Row)
	}
	for name, text := range map[string]string{
		"a line break in a cell": "key,names,seen,source,note\na,\"One\nTwo\",seen,book,\n",
		"an empty line":          "key,names,seen,source,note\n\na,One,seen,book,\n",
		"a carriage return":      "key,names,seen,source,note\r\na,One,seen,book,\r\n",
		"a return first":         "\rkey,names,seen,source,note\na,One,seen,book,\n",
		"another column":         "key,name,seen,source,note\na,One,seen,book,\n",
		"nothing":                "",
	} {
		_, err := ReadLater("t.csv", text, cols, parse)
		require.Error(t, err, name)
	}
	for row, want := range map[string]string{
		"b,One,often,book,": `seen: "often" is none of seen, partly, memory, none`,
		"b,One,seen":        "3 cells, the header has 5",
		",One,seen,book,":   "key is empty\nt.csv:3: the row has no key",
	} {
		later, err = ReadLater("t.csv", "key,names,seen,source,note\na,One,seen,book,\n"+row+"\n", cols, parse)
		require.NoError(t, err)
		require.Equal(t, "a", later.Row(0).Key)
		require.PanicsWithValue(t, "law: t.csv:3: "+want, func() { later.Row(1) })
	}
}
