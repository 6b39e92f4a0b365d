package rows

import (
	"encoding/csv"
	"errors"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// asCSV is what the standard library reads.
func asCSV(text string) (lines []int, records [][]string, err error) {
	r := csv.NewReader(strings.NewReader(text))
	r.FieldsPerRecord = -1
	for {
		cells, err := r.Read()
		if errors.Is(err, io.EOF) {
			return lines, records, nil
		}
		if err != nil {
			return nil, nil, err
		}
		line, _ := r.FieldPos(0)
		lines, records = append(lines, line), append(records, cells)
	}
}

// splitPlain reads every record with the line it starts on.
func splitPlain(text string) (lines []int, all [][]string, ok bool) {
	next := plainly(text)
	for {
		var r Record
		cells, err := next(&r)
		switch {
		case errors.Is(err, io.EOF):
			return lines, all, true
		case err != nil:
			return nil, nil, false
		}
		again := plain{rest: r.text} // as the record is split when its meaning is asked for
		if again.next() != nil || !slices.Equal(again.cells, cells) {
			panic(r.text)
		}
		lines, all = append(lines, r.line), append(all, slices.Clone(cells))
	}
}

// Whatever is split plainly is split as encoding/csv splits it.
func compared(t *testing.T, text string) {
	lines, records, ok := splitPlain(text)
	wantLines, want, err := asCSV(text)
	if err != nil {
		require.False(t, ok, "%q", text)
		return
	}
	if !ok {
		return
	}
	require.Equal(t, len(want), len(records), "%q", text)
	for i := range want {
		require.Equal(t, want[i], records[i], "%q", text)
		require.Equal(t, wantLines[i], lines[i], "%q", text)
	}
}

func TestSplitPlain(t *testing.T) {
	for _, text := range []string{
		"", "\n", "a", "a\n", "a,b\n1,2\n", "a,b\n\n\n1,2", "a,\n,b\n,", "\"a\"\n", "\"a,b\",c\n", "\"a\"\"b\"\n",
		"\"\"\n", "\"\"\"\"\n",
		"\"a\nb\",c\n1,2\n", "a\"b\n", "\"a\"b\n", "\"a", "\"a\"\"", "a,\"b\nc\n", "a\r\nb\r\n", "\"\",\"\"\n",
		" \"a\"\n", "a, b\n", ",", ",\n", "\"a\",", "\"a\"\n\n", "\r", "\ra\n", "a,b\r", "a\rb,c\n", "a,b\r\r\n",
	} {
		compared(t, text)
	}
	_, _, ok := splitPlain("a,\"b \"\"c\"\"\",d\n")
	require.True(t, ok)
	_, _, ok = splitPlain("\"\",a\n,\"\"\n")
	require.True(t, ok, "an empty cell in quotes")
}

// Every table of the law is split plainly.
func TestSplitTables(t *testing.T) {
	names, err := filepath.Glob("../data/*.csv")
	require.NoError(t, err)
	require.Greater(t, len(names), 30)
	for _, name := range names {
		data, err := os.ReadFile(name)
		require.NoError(t, err)
		compared(t, string(data))
		_, _, ok := splitPlain(string(data))
		require.True(t, ok, name)
	}
}

func FuzzSplitPlain(f *testing.F) {
	f.Add("a,\"b \"\"c\"\"\",d\n\"x\ny\",z")
	f.Fuzz(func(t *testing.T, text string) { compared(t, text) })
}
