package main

import (
	"bytes"
	"encoding/csv"
	"os"
	"path/filepath"
	"regexp"
	"runtime"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"
	"unicode/utf16"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// hostileInput is a row of testdata/hostile/inputs.csv.
type hostileInput struct {
	line                            int
	file, find, change, exit, place string
	said, never                     string
}

// repeated is {{x*5000}}: x five thousand times.
var repeated = regexp.MustCompile(`\{\{(.+)\*([0-9]+)\}\}`)

func hostileInputs(t *testing.T) (rows []hostileInput) {
	t.Helper()
	f, err := os.Open(filepath.Join("..", "..", "testdata", "hostile", "inputs.csv"))
	require.NoError(t, err)
	defer f.Close()
	cells, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	raw := func(line int, s string) string {
		text, err := strconv.Unquote(`"` + strings.ReplaceAll(s, `"`, `\"`) + `"`)
		if strings.Contains(s, `\"`) { // written with its backslash
			text, err = strconv.Unquote(`"` + s + `"`)
		}
		require.NoError(t, err, "line %d: %s", line, s)
		return repeated.ReplaceAllStringFunc(text, func(m string) string {
			p := repeated.FindStringSubmatch(m)
			n, _ := strconv.Atoi(p[2]) // digits
			return strings.Repeat(p[1], n)
		})
	}
	for i, c := range cells[1:] {
		n := i + 2
		rows = append(rows, hostileInput{n, c[0], raw(n, c[1]), raw(n, c[2]), c[3], c[4], c[5], raw(n, c[6])})
	}
	return rows
}

// splitWords splits a command line at spaces; double quotes keep a word together.
func splitWords(s string) []string {
	var out []string
	for _, m := range regexp.MustCompile(`"([^"]*)"|(\S+)`).FindAllStringSubmatch(s, -1) {
		out = append(out, m[1]+m[2])
	}
	return out
}

// Bounds that keep TestHostileInputs below 20 s: how many inputs there are, and how often one
// asks for memory on average.
const (
	mostInputs  = 1500
	mostOfInput = 8000 // 5,183 on 1 December 2026
)

// TestHostileInputs runs every row of testdata/hostile/inputs.csv inside this process:
// the exit code, the place, the code, and what must not be printed.
func TestHostileInputs(t *testing.T) {
	archive, err := txtar.ParseFile(filepath.Join("..", "..", "testdata", "hostile", "workshop.txtar"))
	require.NoError(t, err)
	base := map[string]string{}
	for _, f := range archive.Files {
		base[f.Name] = string(f.Data)
	}
	rows := hostileInputs(t)
	require.GreaterOrEqual(t, len(rows), 800)
	require.LessOrEqual(t, len(rows), mostInputs, "the usual tests are to stay quick")
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	began := time.Now()
	work := make(chan hostileInput)
	var wait sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), 4) {
		dir := t.TempDir()
		for name, text := range base {
			put(t, filepath.Join(dir, filepath.FromSlash(name)), text)
		}
		wait.Go(func() {
			for in := range work {
				in.run(t, dir, base)
			}
		})
	}
	for _, in := range rows {
		work <- in
	}
	close(work)
	wait.Wait()
	runtime.ReadMemStats(&after)
	each := (after.Mallocs - before.Mallocs) / uint64(len(rows))
	t.Logf("%d inputs in %v, %d allocations each", len(rows), time.Since(began).Round(time.Millisecond), each)
	assert.Less(t, each, uint64(mostOfInput))
}

// run tries one input in a workshop that it leaves as it was.
func (in hostileInput) run(t *testing.T, dir string, base map[string]string) {
	args := []string{"check"}
	if in.file == "args" {
		args = splitWords(in.change)
	} else {
		path := filepath.Join(dir, filepath.FromSlash(in.file))
		assert.Equal(t, 1, strings.Count(base[in.file], in.find), "line %d: the text to find stands there once", in.line)
		changed := strings.Replace(base[in.file], in.find, in.change, 1)
		assert.NoError(t, os.WriteFile(path, []byte(changed), 0o644))
		defer func() { assert.NoError(t, os.WriteFile(path, []byte(base[in.file]), 0o644)) }()
	}
	if in.file != "args" || args[0] != "bench" && args[0] != "compare" && args[0] != "chek" {
		args = append(args[:1:1], append([]string{"--workshop", dir}, args[1:]...)...)
	}
	var out, errout bytes.Buffer
	began := time.Now()
	code := run(args, strings.NewReader(""), &out, &errout, 20261125)
	took, said := time.Since(began), out.String()+errout.String()
	what := strconv.Itoa(in.line) + ": " + in.file + " " + strconv.Quote(clip(in.change))
	assert.Equal(t, in.exit, strconv.Itoa(code), what)
	assert.Less(t, took, time.Minute, what) // else it hangs
	assert.Less(t, len(said), 200_000, what)
	switch {
	case in.file == "args":
		assert.Contains(t, said, strings.ReplaceAll(in.said, `\n`, "\n"), what)
	case in.said != "-":
		at := regexp.MustCompile(`(?m)^` + regexp.QuoteMeta(in.place) + `: (stop|ask|note)\[(` + in.said + `)\]: `)
		assert.True(t, at.MatchString(said), "%s wants %s %s in\n%s", what, in.place, in.said, clip(said))
	}
	if in.exit == "2" {
		assert.Contains(t, said, "\n  fix: ", what)
	}
	if in.never != "" {
		assert.NotContains(t, said, in.never, what)
	}
	for _, r := range said {
		if r != '\n' && r != '\t' && (r < ' ' || r >= 0x7F && r < 0xA0) {
			assert.Fail(t, "a control character is printed", "%s: %U", what, r)
		}
	}
}

// clip shortens a text for a message of a test.
func clip(s string) string {
	if r := []rune(s); len(r) > 600 {
		return string(r[:600]) + "…"
	}
	return s
}

// TestPapersOnHand: a paper that nobody can read is not on hand, whatever its size; no
// hash is printed for it, and it costs no time.
func TestPapersOnHand(t *testing.T) {
	for name, c := range map[string]struct {
		make func(t *testing.T, path string)
		said string
	}{
		"empty":  {func(t *testing.T, path string) { put(t, path, "") }, "the file is empty (0 bytes)"},
		"folder": {func(t *testing.T, path string) { require.NoError(t, os.Mkdir(path, 0o755)) }, "that is a folder"},
		"huge": {func(t *testing.T, path string) {
			put(t, path, "")
			require.NoError(t, os.Truncate(path, 1<<40))
		}, "the file is larger than 1 GB"},
		"link in a circle": {func(t *testing.T, path string) { require.NoError(t, os.Symlink(filepath.Base(path), path)) }, "cannot be read"},
	} {
		t.Run(name, func(t *testing.T) {
			dir := shop(t, nil)
			paper := filepath.Join(dir, "evidence", "sds.pdf")
			require.NoError(t, os.Remove(paper))
			c.make(t, paper)
			var out, errout bytes.Buffer
			began := time.Now()
			assert.Equal(t, exitClean, run([]string{"check", "--workshop", dir}, nil, &out, &errout, 20261125))
			assert.Contains(t, out.String(), "ingredients/water.yaml:4:31: ask[evidence-missing]: evidence/sds.pdf: ")
			assert.Contains(t, out.String(), c.said)
			out.Reset()
			run([]string{"figures", "tide", "--json", "--workshop", dir}, nil, &out, &errout, 20261125)
			assert.NotContains(t, out.String(), "e3b0c44298fc1c14", "sha256 of no bytes")
			assert.Less(t, time.Since(began), time.Minute) // a terabyte takes longer to read
		})
	}
}

// TestFiguresInOtherEncodings: figures written with --out, or by a shell that writes
// UTF-16 when it is told to with >, are read back the same.
func TestFiguresInOtherEncodings(t *testing.T) {
	dir := shop(t, nil)
	file := filepath.Join(t.TempDir(), "figures.json")
	var out, errout bytes.Buffer
	require.Equal(t, exitClean, run([]string{"figures", "tide", "--json", "--out", file, "--workshop", dir}, nil, &out, &errout, 20261125))
	assert.Empty(t, out.String())
	text, err := os.ReadFile(file)
	require.NoError(t, err)
	for name, data := range map[string][]byte{"UTF-8": text, "UTF-8 marked": append([]byte("\xef\xbb\xbf"), text...), "UTF-16 LE": utf16Of(text, 0), "UTF-16 BE": utf16Of(text, 1)} {
		require.NoError(t, os.WriteFile(file, data, 0o644))
		out.Reset()
		errout.Reset()
		assert.Equal(t, exitClean, run([]string{"compare", file, dir}, nil, &out, &errout, 20261125), "%s: %s", name, errout.String())
		assert.Empty(t, errout.String(), name)
	}
}

// utf16Of writes text as UTF-16 with its mark; the higher byte stands first for high 1.
func utf16Of(text []byte, high int) []byte {
	out := []byte{}
	for _, u := range append([]uint16{0xFEFF}, utf16.Encode([]rune(string(text)))...) {
		pair := [2]byte{byte(u), byte(u >> 8)}
		out = append(out, pair[high], pair[1-high])
	}
	return out
}
