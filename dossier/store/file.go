package store

import (
	"bufio"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"sync"
	"time"

	"gallipot/ingredients/pattern"
)

// NewFile is a file to be written.
type NewFile struct {
	Path string
	Data []byte
}

// writeWhole writes a file so that path holds the whole new content or what
// it held before, never a part: the content goes to a new file in the same
// folder, which takes the name at the end. A failed run leaves nothing behind; of
// one that was killed, the next run into the folder removes what is left.
//
// Errors: those of write and of the file system, with the path, in words for the
// maker (a *ingredients.ValueError is inside).
func writeWhole(path string, write func(w io.Writer) error) error {
	s, err := Stage(path, write)
	if err != nil {
		return err
	}
	return s.place()
}

// WriteFiles writes files that belong together: all new, or all as they were. All of
// them are whole before the first takes its name, in the order given; when one cannot
// take its name, those before it get back what they held. Only a crash between two
// names can leave them apart. Their folders are made where they are not there.
//
// Errors: as those of [writeWhole]; a *ingredients.ValueError for a file that
// may not be replaced, before anything changes.
func WriteFiles(files ...NewFile) error {
	for _, f := range files {
		if err := replaceable(f.Path); err != nil {
			return err
		}
	}
	ready := make([]*staged, 0, len(files))
	defer func() {
		for _, s := range ready {
			s.drop()
		}
	}()
	for _, f := range files {
		if err := MakeFolder(filepath.Dir(f.Path)); err != nil {
			return err
		}
		s, err := Stage(f.Path, f.write)
		if err != nil {
			return err
		}
		ready = append(ready, s)
	}
	return placeAll(ready)
}

func (f NewFile) write(w io.Writer) error {
	_, err := w.Write(f.Data)
	return err
}

// staged is a whole new file that has not taken its name yet.
type staged struct {
	path string   // the name it is to take
	temp string   // the name it has; "" once it is placed or dropped
	held *os.File // keeps other runs from taking it for one that was left behind
}

// Stage writes a new file beside path.
func Stage(path string, write func(w io.Writer) error) (s *staged, err error) {
	sweepOnce(filepath.Dir(path))
	s, f, err := newStaged(path)
	if err != nil {
		return nil, CannotWrite(path, err)
	}
	defer func() {
		if r := recover(); r != nil {
			_ = f.Close() // the panic is what counts
			s.drop()
			panic(r)
		}
		if err != nil {
			_ = f.Close() // may be closed already
			s.drop()
			s, err = nil, CannotWrite(path, err)
		}
	}()
	b := bufio.NewWriter(f)
	if err := write(b); err != nil {
		return s, err
	}
	if err := b.Flush(); err != nil {
		return s, err
	}
	if err := f.Sync(); err != nil {
		return s, err
	}
	if err := f.Close(); err != nil {
		return s, err
	}
	return s, os.Chmod(s.temp, modeOf(path))
}

// newStaged makes the file and holds it. Another run that sweeps the folder may
// take it away before it is held; then another one is made.
func newStaged(path string) (*staged, *os.File, error) {
	for {
		f, err := os.CreateTemp(filepath.Dir(path), "."+filepath.Base(path)+".*"+leftEnding)
		if err != nil {
			return nil, nil, err
		}
		s := &staged{path: path, temp: f.Name(), held: hold(f.Name())}
		mine, err := f.Stat()
		if err == nil {
			var there os.FileInfo
			if there, err = os.Stat(f.Name()); err == nil && os.SameFile(mine, there) {
				return s, f, nil
			}
		}
		_ = f.Close()
		if err != nil && !errors.Is(err, fs.ErrNotExist) {
			s.drop()
			return nil, nil, err
		}
		s.temp = "" // not ours any more
		s.drop()
	}
}

// place gives the file its name, in place of what has it.
func (s *staged) place() error { return s.named(os.Rename) }

// PlaceNew gives the file its name where no file has it.
//
// Errors: fs.ErrExist where one has.
func (s *staged) PlaceNew() error {
	return s.named(func(temp, path string) error {
		err := os.Link(temp, path)
		if err == nil || errors.Is(err, fs.ErrExist) {
			_ = os.Remove(temp)
			return err
		}
		if _, err := os.Lstat(path); err == nil { // a system without links
			return fs.ErrExist
		}
		return os.Rename(temp, path)
	})
}

func (s *staged) named(by func(temp, path string) error) error {
	defer s.drop()
	if err := by(s.temp, s.path); err != nil {
		return CannotWrite(s.path, err)
	}
	s.temp = ""
	return nil
}

// drop removes the file unless it has its name.
func (s *staged) drop() {
	if s.temp != "" {
		_ = os.Remove(s.temp)
		s.temp = ""
	}
	if s.held != nil {
		_ = s.held.Close()
		s.held = nil
	}
}

// modeOf returns the mode the file has, or that of a new one.
func modeOf(path string) os.FileMode {
	if info, err := os.Stat(path); err == nil {
		return info.Mode().Perm()
	}
	return 0o644
}

// leftEnding is how the names of unfinished files end.
const leftEnding = ".part"

// leftName is what [os.CreateTemp] makes of our pattern.
var leftName = pattern.New(`^\..+\.[0-9]+\.part$`)

// leftAge is after what time an unfinished file counts as left behind where no
// run can hold it.
const leftAge = time.Hour

// swept holds the folders that this run has looked through.
var swept sync.Map

// sweepOnce sweeps a folder at the first file that is written into it.
func sweepOnce(dir string) {
	if _, done := swept.LoadOrStore(dir, true); !done {
		sweep(dir)
	}
}

// sweep removes unfinished files that a killed run left in a folder, and none
// that a run still holds.
func sweep(dir string) {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return // writing into it will say why
	}
	for _, e := range entries {
		if e.Type().IsRegular() && leftName.MatchString(e.Name()) {
			removeLeft(filepath.Join(dir, e.Name()))
		}
	}
}

// removeOld removes a file that has not been written to for long.
func removeOld(name string) {
	if info, err := os.Stat(name); err == nil && time.Since(info.ModTime()) > leftAge {
		_ = os.Remove(name)
	}
}
