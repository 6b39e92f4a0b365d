package main

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// small is a module in which every kind of fault is, worked out by hand.
var small = map[string]string{
	"go.mod": "module small\n\ngo 1.26\n",

	// a needs b by a call, b needs c by a field, c needs a by a method: a knot of three.
	"ring/a.go":          "package ring\n\nfunc A() int { return b() }\n\ntype T struct{ n int }\n\nfunc (t T) get() int { return t.n }\n",
	"ring/b.go":          "package ring\n\nfunc b() int { return shared.field }\n\nvar Unused = 1\n",
	"ring/c.go":          "package ring\n\nvar shared struct{ field int }\n\nfunc c(t T) int { return t.get() }\n\nvar _ = c\n",
	"ring/d.go":          "package ring\n\nfunc d() int { return b() }\n\nvar _ = d\n",
	"ring/tests_test.go": "package ring\n\n// " + strings.Repeat("lines of tests do not count\n// ", 40) + "\n",

	"ring/ring_linux_only.go": "//go:build linux\n\npackage ring\n",
	"ring/ring_never.go":      "//go:build never\n\npackage ring\n\nvar x = 1\n",
	"user/user.go":            "package user\n\nimport \"small/ring\"\n\nfunc f() { println(ring.A(), len(kinds())) }\n\nfunc kinds() []string { return nil }\n\nvar _ = f\n",
	"values/values.go":        "package values\n\ntype Kind string\n\nconst (\n\tOne Kind = \"one\"\n\tTwo Kind = \"two\"\n)\n\ntype Item struct{ Name string }\n\nfunc Items() []Item { return nil }\n\nfunc ForTests() {}\n",
	"other/user/user.go":      "package user\n\nimport \"small/values\"\n\nvar _ = values.One\n\nfunc g() { println(values.Items()[0].Name) }\n\nvar _ = g\n",
	"other/user/user_test.go": "package user\n\nimport \"small/values\"\n\nfunc h() { values.ForTests() }\n",
	"testdata/user/user.go":   "// Command user is a tool.\npackage main\n\nfunc main() {}\n",
	"valuestest/v.go":         "package valuestest\n\nfunc Sample() {}\n\nfunc NoSample() {}\n",
	"values/values_test.go":   "package values\n\nimport \"small/valuestest\"\n\nfunc k() { valuestest.Sample() }\n",
	"wide/wide.go": "package wide\n\n// " + strings.Repeat("x", 108) + "\n\n// " + strings.Repeat("x",
		118) + "\n\n// " + strings.Repeat("é", 107) + "\n",
}

func smallModule(t *testing.T, more map[string]string) string {
	t.Helper()
	dir := t.TempDir()
	for _, files := range []map[string]string{small, more} {
		for name, text := range files {
			path := filepath.Join(dir, filepath.FromSlash(name))
			require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o755))
			require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
		}
	}
	return dir
}

func find(t *testing.T, rooms []*room, path string) *room {
	t.Helper()
	for _, r := range rooms {
		if r.path == path {
			return r
		}
	}
	require.Failf(t, "no package", "%s", path)
	return nil
}

func TestLoad(t *testing.T) {
	rooms, err := load(smallModule(t, nil))
	require.NoError(t, err)

	t.Run("files that need each other by call, field and method", func(t *testing.T) {
		ring := find(t, rooms, "ring")
		assert.Equal(t, []string{"a.go", "b.go", "c.go"}, ring.knot(), "d needs b, and nothing needs d")
		assert.Equal(t, uses{"shared": 1, "field": 1}, ring.needs["b.go"]["c.go"])
	})
	t.Run("lines as wc counts them, on all systems, without tests", func(t *testing.T) {
		assert.Equal(t, 7+5+7+5+3+5, find(t, rooms, "ring").lines())
	})
	t.Run("columns are counted in letters", func(t *testing.T) {
		wide, wider := find(t, rooms, "wide").wide()
		assert.InDelta(t, 100*2./7, wide, 1e-9)
		assert.InDelta(t, 100*1./7, wider, 1e-9)
	})
	t.Run("exported and used by nobody", func(t *testing.T) {
		assert.Equal(t, []string{"T", "Unused"}, find(t, rooms, "ring").unused())
	})
	t.Run("a type whose values are used, and the constants beside a used one, are used", func(t *testing.T) {
		values := find(t, rooms, "values")
		assert.Equal(t, []string{"ForTests"}, values.unused())
		assert.Equal(t, "; only tests of other/user", values.byTests("ForTests"))
		assert.Equal(t, []string{"NoSample"}, find(t, rooms, "valuestest").unused(), "what helps tests")
	})
}

func TestAllFaults(t *testing.T) {
	long := "package long\n" + strings.Repeat("\n", mostFile)
	more := map[string]string{"long/long.go": long}
	for i := range mostKnot + 1 { // a ring of one file too many
		more[fmt.Sprintf("knot/k%d.go", i)] = fmt.Sprintf("package knot\n\nfunc f%d() { f%d() }\n", i, (i+1)%(mostKnot+1))
		more[fmt.Sprintf("big/b%d.go", i)] = "package big\n" + strings.Repeat("\n", mostFile-1)
	}
	more["big/b7.go"] = "package big\n"
	rooms, err := load(smallModule(t, more))
	require.NoError(t, err)
	var got []string
	for _, f := range allFaults(rooms) {
		got = append(got, f.key())
	}
	assert.ElementsMatch(t, []string{
		"knot,knot,", "package,big,", "file,long,long.go", "name,user,",
		"export,ring,T", "export,ring,Unused", "export,values,ForTests", "export,valuestest,NoSample",
	}, got)
}

func TestMedian(t *testing.T) {
	assert.Equal(t, 0, median(nil))
	assert.Equal(t, 3, median([]int{9, 3, 1}))
	assert.Equal(t, 4, median([]int{9, 3, 1, 5}))
}

func TestRun(t *testing.T) {
	dir := smallModule(t, nil)
	open := filepath.Join(t.TempDir(), "open.csv")
	write := func(rows string) {
		require.NoError(t, os.WriteFile(open, []byte("kind,package,what,todo\n"+rows), 0o600))
	}
	all := "name,user,,rename\nexport,ring,T,unexport\nexport,ring,Unused,delete\nexport,values,ForTests,move\nexport,valuestest,NoSample,delete\n"
	for name, c := range map[string]struct {
		known  string
		faults int
		says   string
	}{
		"everything is known": {all, 0, "0 faults, 5 known"},
		"one is not known": {strings.Replace(all, "name,user,,rename\n", "", 1), 1,
			"name user: other/user has the same last name"},
		"a known one is there no more": {all + "file,ring,a.go,cut\n", 1,
			"mended file,ring,a.go: take the line off the list"},
	} {
		t.Run(name, func(t *testing.T) {
			write(c.known)
			var out bytes.Buffer
			faults, err := run(&out, dir, "", open)
			require.NoError(t, err)
			assert.Equal(t, c.faults, faults, out.String())
			assert.Contains(t, out.String(), c.says)
		})
	}
	t.Run("a list without words is refused", func(t *testing.T) {
		write("export,ring,T,\n")
		_, err := readOpen(open)
		assert.ErrorContains(t, err, "open.csv:2: say what is to be done")
	})
	t.Run("edges of a package", func(t *testing.T) {
		var out bytes.Buffer
		_, err := run(&out, dir, "ring", open)
		require.NoError(t, err)
		assert.Contains(t, out.String(), "b.go → c.go: field shared")
		_, err = run(&out, dir, "rng", open)
		assert.EqualError(t, err, "there is no package rng")
	})
}
