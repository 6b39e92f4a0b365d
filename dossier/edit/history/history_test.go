package history

import (
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

func day() time.Time { return time.Date(2026, 11, 29, 9, 0, 0, 0, time.UTC) }

type bench struct {
	t         *testing.T
	dir, base string
	*Store
}

func open(t *testing.T, files map[string]string) *bench {
	b := &bench{t: t, dir: t.TempDir(), base: t.TempDir()}
	for name, text := range files {
		b.write(name, text)
	}
	b.reopen()
	return b
}

func (b *bench) reopen() {
	if b.Store != nil {
		require.NoError(b.t, b.Close())
	}
	s, err := Open(b.dir, b.base, day)
	require.NoError(b.t, err)
	b.t.Cleanup(func() { _ = s.Close() })
	b.Store = s
}

func (b *bench) write(name, text string) {
	p := filepath.Join(b.dir, name)
	require.NoError(b.t, os.MkdirAll(filepath.Dir(p), 0o755))
	require.NoError(b.t, os.WriteFile(p, []byte(text), 0o644))
}

func (b *bench) text(name string) string {
	data, err := os.ReadFile(filepath.Join(b.dir, name))
	if err != nil {
		return "none"
	}
	return string(data)
}

// change saves a new text over what is there now.
func (b *bench) change(name, text string) {
	_, hash, err := b.Read(name)
	require.NoError(b.t, err)
	require.NoError(b.t, b.Save(Label{Thing: name, New: text}, Change{name, hash, []byte(text)}))
}

func TestSave(t *testing.T) {
	t.Run("back and forth over restarts", func(t *testing.T) {
		b := open(t, map[string]string{"a.yaml": "1"})
		b.change("a.yaml", "2")
		b.change("a.yaml", "3")
		b.change("products/new.yaml", "p")
		b.reopen()
		for _, want := range []string{"none 3", "none 2", "none 1"} {
			_, err := b.Undo()
			require.NoError(t, err)
			b.reopen()
			require.Equal(t, want, b.text("products/new.yaml")+" "+b.text("a.yaml"))
		}
		_, err := b.Undo()
		require.ErrorIs(t, err, ErrNoStep)
		for _, want := range []string{"none 2", "none 3", "p 3"} {
			_, err := b.Redo()
			require.NoError(t, err)
			b.reopen()
			require.Equal(t, want, b.text("products/new.yaml")+" "+b.text("a.yaml"))
		}
		done, undone := b.Steps()
		require.Len(t, done, 3)
		require.Empty(t, undone)
		require.Equal(t, Label{Thing: "a.yaml", New: "2"}, done[0].Label)
	})
	t.Run("changed meanwhile", func(t *testing.T) {
		b := open(t, map[string]string{"a.yaml": "1"})
		_, hash, err := b.Read("a.yaml")
		require.NoError(t, err)
		b.write("a.yaml", "X")
		err = b.Save(Label{}, Change{"a.yaml", hash, []byte("2")})
		var c *Conflict
		require.ErrorAs(t, err, &c)
		require.Equal(t, Conflict{"a.yaml", []byte("1"), []byte("2"), []byte("X")}, *c)
		require.Equal(t, "X", b.text("a.yaml"))
	})
	t.Run("a new file that is there already", func(t *testing.T) {
		b := open(t, map[string]string{"a.yaml": "1"})
		var c *Conflict
		require.ErrorAs(t, b.Save(Label{}, Change{"a.yaml", "", []byte("2")}), &c)
		require.Equal(t, "1", string(c.Theirs))
	})
	t.Run("taken back after another program changed it", func(t *testing.T) {
		b := open(t, map[string]string{"a.yaml": "1"})
		b.change("a.yaml", "2")
		b.write("a.yaml", "X")
		_, err := b.Undo()
		var c *Conflict
		require.ErrorAs(t, err, &c)
		require.Equal(t, Conflict{"a.yaml", []byte("2"), []byte("1"), []byte("X")}, *c)
		require.Equal(t, "X", b.text("a.yaml"))
		b.write("a.yaml", "2")
		_, err = b.Undo()
		require.NoError(t, err)
		require.Equal(t, "1", b.text("a.yaml"))
	})
	t.Run("all files or none", func(t *testing.T) {
		b := open(t, map[string]string{"a.yaml": "1", "b.yaml": "1"})
		_, hash, _ := b.Read("a.yaml")
		err := b.Save(Label{}, Change{"a.yaml", hash, []byte("2")}, Change{"b.yaml", Hash([]byte("0")), []byte("2")})
		var c *Conflict
		require.ErrorAs(t, err, &c)
		require.Equal(t, "1 1", b.text("a.yaml")+" "+b.text("b.yaml"))
		entries, err := os.ReadDir(b.dir)
		require.NoError(t, err)
		require.Len(t, entries, 2) // no unfinished file is left
	})
	t.Run("file taken away and put back", func(t *testing.T) {
		b := open(t, map[string]string{"a.yaml": "1"})
		require.NoError(t, b.Save(Label{}, Change{"a.yaml", Hash([]byte("1")), nil}))
		require.Equal(t, "none", b.text("a.yaml"))
		_, err := b.Undo()
		require.NoError(t, err)
		require.Equal(t, "1", b.text("a.yaml"))
	})
	t.Run("no change is no step", func(t *testing.T) {
		b := open(t, map[string]string{"a.yaml": "1"})
		b.change("a.yaml", "1")
		done, _ := b.Steps()
		require.Empty(t, done)
	})
	t.Run("names that lead outside", func(t *testing.T) {
		b := open(t, map[string]string{"a.yaml": "1"})
		for _, name := range []string{"../a", "/etc/passwd", "", ".", "a/../../b", `a\..\b`, "C:x", ".git/config", "a/./b"} {
			require.ErrorIs(t, b.Save(Label{}, Change{name, "", []byte("2")}), fs.ErrInvalid, name)
			_, _, err := b.Read(name)
			require.ErrorIs(t, err, fs.ErrInvalid, name)
		}
		if runtime.GOOS != "windows" {
			require.NoError(t, os.Symlink(t.TempDir(), filepath.Join(b.dir, "out")))
			require.Error(t, b.Save(Label{}, Change{"out/x.yaml", "", []byte("2")}))
		}
	})
	t.Run("a write-protected file", func(t *testing.T) {
		b := open(t, map[string]string{"a.yaml": "1"})
		require.NoError(t, os.Chmod(filepath.Join(b.dir, "a.yaml"), 0o444))
		_, hash, _ := b.Read("a.yaml")
		require.ErrorIs(t, b.Save(Label{}, Change{"a.yaml", hash, []byte("2")}), fs.ErrPermission)
	})
	t.Run("only its user can read what is remembered", func(t *testing.T) {
		if runtime.GOOS == "windows" {
			t.Skip("other rights")
		}
		b := open(t, map[string]string{"a.yaml": "1"})
		b.change("a.yaml", "2")
		require.NoError(t, filepath.WalkDir(filepath.Join(b.base, "workshops"),
			func(p string, d fs.DirEntry, err error) error {
				require.NoError(t, err)
				info, err := d.Info()
				require.NoError(t, err)
				require.Zero(t, info.Mode().Perm()&0o077, p)
				return nil
			}))
	})
}

func TestKept(t *testing.T) {
	b := open(t, map[string]string{"a.yaml": "1"})
	require.NoError(t, b.Keep("a.yaml", []byte("lost")))
	b.reopen()
	kept := b.Kept()
	require.Len(t, kept, 1)
	require.Equal(t, "lost", string(b.Version(kept[0].Hash)))
	require.Nil(t, b.Version("../history.json"))
}

func TestOldStepsAreForgotten(t *testing.T) {
	b := open(t, map[string]string{"a.yaml": "0"})
	for i := range mostSteps + 10 {
		b.log.Done = append(b.log.Done, Step{ID: i})
	}
	b.change("a.yaml", "2")
	done, _ := b.Steps()
	require.Len(t, done, mostSteps)
	_, err := b.Undo()
	require.NoError(t, err)
	require.Equal(t, "0", b.text("a.yaml"))
}
