package workshop

import (
	"io/fs"
	"slices"
	"sync"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/table"
	"gallipot/dossier/words/wordstest"
	"gallipot/dossier/workshop/workshoptest"
)

// A file's name with a line break in it would break every line that names the file:
// it is reported, under a name that can be printed, and nothing goes on without it.
func TestControlCharactersInFileNames(t *testing.T) {
	for _, name := range []string{"products/ti\nde.yaml", "ingredients/a\vb.yaml", "limits/a\r.csv", "x\x1b[2J.yaml"} {
		w, findings := LoadFS("shop", fstest.MapFS{
			"workshop.yaml": {Data: []byte("maker: {name: M}\n")},
			name:            {Data: []byte("id: tide\n")},
		}, table.Builtin())
		require.NotNil(t, w)
		found := false
		for _, f := range findings {
			said := wordstest.Said(f)
			assert.NotRegexp(t, `[[:cntrl:]]`, f.Pos.File+said.Message+said.Fix, "%q", name)
			found = found || f.Code == "unreadable-file" && f.Form == "name" && f.Unread
		}
		assert.True(t, found, "%q: %v", name, findings)
	}
}

// counting counts how often each file is asked for: its description or its bytes.
type counting struct {
	fs.FS
	mu    sync.Mutex
	asked map[string]int
}

func (c *counting) count(name string) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.asked[name]++
}

func (c *counting) Open(name string) (fs.File, error) {
	c.count(name)
	return c.FS.Open(name)
}

func (c *counting) Stat(name string) (fs.FileInfo, error) {
	c.count(name)
	return fs.Stat(c.FS, name)
}

func (c *counting) ReadDir(name string) ([]fs.DirEntry, error) { return fs.ReadDir(c.FS, name) }

// A paper is opened once for all that name it, and not again while nothing was done to it;
// one that was not on hand is asked for each time.
func TestPapersOpenedOnce(t *testing.T) {
	const gone, here, empty = "evidence/gone.pdf", "evidence/here.pdf", "evidence/empty.pdf"
	files := workshoptest.Folder(map[string]string{
		"ingredients/a.yaml": sheetFile("a", "documents: [{kind: sds, file: "+here+"}, {kind: coa, file: "+gone+"}]\n"),
		"ingredients/b.yaml": sheetFile("b", "documents: [{kind: sds, file: "+here+"}, {kind: coa, file: "+empty+"}]\n"),
		here:                 "x", empty: "",
	})
	never, always := func(string) bool { return false }, func(string) bool { return true }
	missing := func(w *Workshop) (list []string) {
		for _, f := range w.Loaded {
			if f.Code == CodeEvidenceMissing {
				list = append(list, f.Subject)
			}
		}
		slices.Sort(list)
		return list
	}
	read := func(old *before) (*Workshop, map[string]int) {
		c := &counting{FS: files, asked: map[string]int{}}
		w, _ := load("shop", c, table.Builtin(), old)
		require.NotNil(t, w)
		return w, c.asked
	}
	first, asked := read(&before{w: &Workshop{}})
	require.Equal(t, 2, asked[here], "described and opened")
	require.Equal(t, []string{empty, gone}, missing(first))

	second, asked := read(&before{first, never, always})
	require.Zero(t, asked[here])
	require.Zero(t, asked["ingredients/a.yaml"])
	require.Equal(t, []string{empty, gone}, missing(second))

	delete(files, here)
	files[empty] = &fstest.MapFile{Data: []byte("filled")}
	third, _ := read(&before{second, never, never})
	require.Equal(t, []string{gone, here, here}, missing(third))
}
