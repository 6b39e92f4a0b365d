package dossier

import (
	"bufio"
	"fmt"
	"io"
	"os"
	"path/filepath"
)

// WriteFileAtomic writes a file so that path holds the whole new content or what
// it held before, never a part: the content goes to a new file in the same
// folder, which takes the name at the end. A failed run leaves nothing behind.
// Errors: those of write, and of the file system, with the path.
func WriteFileAtomic(path string, write func(w io.Writer) error) (err error) {
	f, err := os.CreateTemp(filepath.Dir(path), "."+filepath.Base(path)+".*")
	if err != nil {
		return fmt.Errorf("writing %s: %w", path, err)
	}
	defer func() {
		if r := recover(); r != nil {
			_ = f.Close() // the panic is what counts
			_ = os.Remove(f.Name())
			panic(r)
		}
		if err != nil {
			_ = f.Close() // may be closed already
			_ = os.Remove(f.Name())
			err = fmt.Errorf("writing %s: %w", path, err)
		}
	}()
	b := bufio.NewWriter(f)
	if err := write(b); err != nil {
		return err
	}
	if err := b.Flush(); err != nil {
		return err
	}
	if err := f.Sync(); err != nil {
		return err
	}
	if err := f.Close(); err != nil {
		return err
	}
	if err := os.Chmod(f.Name(), modeOf(path)); err != nil {
		return err
	}
	return os.Rename(f.Name(), path)
}

// modeOf returns the mode the file has, or that of a new one.
func modeOf(path string) os.FileMode {
	if info, err := os.Stat(path); err == nil {
		return info.Mode().Perm()
	}
	return 0o644
}
