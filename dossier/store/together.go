package store

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"

	"gallipot/ingredients/exact"
)

// placeAll gives whole new files their names in order, or none of them.
func placeAll(ready []*staged) error {
	var undo []func() error
	for _, s := range ready {
		back, err := putBack(s.path)
		if err == nil {
			err = s.place()
		}
		if err != nil {
			for _, u := range undo {
				err = errors.Join(err, u())
			}
			return err
		}
		undo = append(undo, back)
	}
	return nil
}

// putBack returns what makes a path as it is now.
func putBack(path string) (func() error, error) {
	old, err := os.ReadFile(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return func() error { return os.Remove(path) }, nil
	case err != nil:
		return nil, CannotWrite(path, err)
	}
	return func() error { return writeWhole(path, NewFile{path, old}.write) }, nil
}

// replaceable says whether a path may get new content: it is free, or a file that
// can be written to.
//
// Errors: as those of [cannotWrite] where something else has the name or another
// program locks the file; a *ingredients.ValueError where it is write-protected:
// some systems would replace it all the same, yet someone meant to keep it.
func replaceable(path string) error {
	info, err := os.Lstat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case err != nil:
		return CannotWrite(path, err)
	case info.Mode()&fs.ModeSymlink != 0:
		return nil // the link is replaced, not what it points to
	case !info.Mode().IsRegular():
		return CannotWrite(path, errors.New("that is no file"))
	case info.Mode().Perm()&0o222 == 0:
		return &exact.ValueError{What: filepath.ToSlash(path) +
			" is write-protected; of files that belong together none was written",
			Fix: "take the protection off, or name another folder with --out"}
	}
	f, err := os.OpenFile(path, os.O_WRONLY, 0)
	if err != nil {
		return CannotWrite(path, err)
	}
	return f.Close()
}
