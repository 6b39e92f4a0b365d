package main

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const small = `package small

const limit = 3

func f(a, b int, ok bool, list []int) (int, bool) {
	if a < b && !ok {
		return a + 1, true
	}
	for i := 0; i < a; i++ {
		if list[i] == b {
			continue
		}
		list = append(list, limit)
		a -= min(a, b)
	}
	name := "a" + "b"
	println(name)
	return -b, ok
}
`

// What is changed in a small file, written down by hand from the list in main.go.
func TestChangesOfASmallFile(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, "small.go"), []byte(small), 0o600))
	l := listed{ImportPath: "small", Dir: dir, Name: "small", GoFiles: []string{"small.go"}}
	r, texts, err := rewrite(l, nil, map[string]bool{})
	require.NoError(t, err)
	var got []string
	for _, m := range r.mutants {
		got = append(got, m.place()+" "+m.change())
	}
	assert.ElementsMatch(t, []string{
		"small/small.go:6:5 a < b && !ok → a < b || !ok",
		"small/small.go:6:5 a < b → a <= b", "small/small.go:6:5 a < b → a >= b",
		"small/small.go:6:15 ok → !(ok)",
		"small/small.go:7:3 return a + 1, true → (left out)",
		"small/small.go:7:10 a + 1 → a - 1", "small/small.go:7:14 1 → (1) - 1", "small/small.go:7:17 true → false",
		"small/small.go:9:11 0 → (0) + 1",
		"small/small.go:9:14 i < a → i <= a", "small/small.go:9:14 i < a → i >= a",
		"small/small.go:10:6 list[i] == b → list[i] != b",
		"small/small.go:11:4 continue → (left out)",
		"small/small.go:13:3 list = append(list, limit) → (left out)", "small/small.go:13:23 limit → (limit) + 1",
		"small/small.go:14:3 a -= min(a, b) → (left out)",
		"small/small.go:14:3 a -= min(a, b) → a += min(a, b)", "small/small.go:14:8 min(a, b) → max(a, b)",
		"small/small.go:17:2 println(name) → (left out)",
		"small/small.go:18:9 -b → b", "small/small.go:18:13 ok → !(ok)",
	}, got)
	assert.Contains(t, texts[filepath.Join(dir, "small.go")], "const limit = 3\n", "a constant stays as it is declared")
	for _, m := range r.mutants {
		assert.Equal(t, "f", m.function)
		assert.LessOrEqual(t, m.site, m.id)
	}
}

// A journal keeps what was killed, and a list of survivors keeps its reasons.
func TestJournalAndSurvivors(t *testing.T) {
	a := &mutant{id: 1, site: 1, file: "a.go", line: 3, function: "f", was: "x", now: "y"}
	b := &mutant{id: 2, site: 2, file: "a.go", line: 9, function: "f", was: "x", now: "y"}
	path := filepath.Join(t.TempDir(), "journal")
	j, err := openJournal(path)
	require.NoError(t, err)
	j.name([]*mutant{a, b})
	j.note(a, survived)
	j.note(b, killed)
	j.note(a, notReached) // by some of the tests
	j.close()
	j, err = openJournal(path)
	require.NoError(t, err)
	j.name([]*mutant{a, b})
	assert.Equal(t, []verdict{survived, killed}, []verdict{j.of(a), j.of(b)})

	list := filepath.Join(t.TempDir(), "survivors.csv")
	write := func(j *journal) (gone [][]string) {
		gone, err := writeSurvivors(list, []*mutant{a, b}, j)
		require.NoError(t, err)
		return gone
	}
	require.Empty(t, write(j))
	text, err := os.ReadFile(list)
	require.NoError(t, err)
	require.Equal(t, "place,function,written,changed_to,verdict,nth,why\na.go:3:0,f,x,y,survived,1,\n", string(text))
	require.NoError(t, os.WriteFile(list, bytes.Replace(text, []byte(",1,\n"), []byte(",1,the same\n"), 1), 0o600))
	a.line = 4 // a line was added above it
	require.Empty(t, write(j))
	text, err = os.ReadFile(list)
	require.NoError(t, err)
	assert.Contains(t, string(text), "a.go:4:0,f,x,y,survived,1,the same\n")
	other := "sub/c.go:1:2,f,x,y,survived,1,of a package that is not tried\n"
	require.NoError(t, os.WriteFile(list, append(text, other+"a.go:7:0,g,x,y,survived,1,of a function that was removed\n"...), 0o600))
	fresh, err := openJournal("") // tried by chance were others
	require.NoError(t, err)
	fresh.name([]*mutant{a, b})
	gone := write(fresh)
	require.Len(t, gone, 1)
	assert.Equal(t, "a.go:7:0", gone[0][0])
	text, err = os.ReadFile(list)
	require.NoError(t, err)
	assert.Equal(t, "place,function,written,changed_to,verdict,nth,why\na.go:4:0,f,x,y,survived,1,the same\n"+other, string(text))

	var out bytes.Buffer
	assert.Equal(t, 50.0, report(&out, []*mutant{a, b}, j))
	assert.Contains(t, out.String(), "| `a.go` | 2 | 2 | 1 | 1 | 0 | 50.0 % |")
}

func TestGroupsOfTests(t *testing.T) {
	one, other := &program{}, &program{}
	var tests []*test
	for range 30 {
		tests = append(tests, &test{in: one})
	}
	var sizes []int
	for _, g := range grouped(tests) {
		sizes = append(sizes, len(g))
	}
	assert.Equal(t, []int{4, 24, 2}, sizes)
	assert.Empty(t, grouped(nil))
	tests[1].in, tests[2].in = other, other
	assert.Equal(t, [][]*test{{tests[0], tests[3]}, {tests[1], tests[2]}}, grouped(tests[:4]),
		"one process runs the tests of one program")
}
