package store

import (
	"errors"
	"io/fs"
	"os"
	"path"
	"path/filepath"

	"gallipot/ingredients/exact"
)

// MakeFolder makes a folder to write into, with those above it.
//
// Errors: a *ingredients.ValueError is inside, where a file stands in the way or
// the folder cannot be made.
func MakeFolder(dir string) error {
	if info, err := os.Stat(dir); err == nil && !info.IsDir() {
		return &exact.ValueError{What: dir + " is a file, wanted a folder",
			Fix: "name another folder, or move the file out of the way"}
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return CannotWrite(dir, err)
	}
	return nil
}

// OutFolder returns the folder of a workshop to write into: out, or a folder
// inside it. It need not be there yet.
//
// Errors: a *ingredients.ValueError where it is a link that leads out of the
// workshop, since a workshop from elsewhere must not choose what is written to;
// the maker can name such a folder.
func OutFolder(workshop string, inside ...string) (string, error) {
	name := path.Join(append([]string{"out"}, inside...)...)
	root, err := os.OpenRoot(workshop)
	if err != nil {
		return "", CannotWrite(workshop, err)
	}
	defer root.Close()
	if _, err := root.Stat(filepath.FromSlash(name)); err != nil && LeadsOutside(err) {
		return "", &exact.ValueError{What: name + " leads out of the workshop",
			Fix: "name the folder it leads to with --out, or put a folder in its place"}
	}
	return filepath.Join(workshop, filepath.FromSlash(name)), nil
}

// OpenPlain opens a file inside a folder for reading.
//
// Errors: those of opening, and one for what is no plain file: a pipe would keep
// the reader waiting for ever.
func OpenPlain(root *os.Root, name string) (*os.File, error) {
	info, err := root.Stat(filepath.FromSlash(name))
	if err != nil {
		return nil, err
	}
	if !Readable(info.Mode()) {
		return nil, ErrNoFile
	}
	return root.Open(filepath.FromSlash(name))
}

// undo removes what was made, the newest first; folders only where they are
// empty.
func undo(made []string) {
	for i := len(made) - 1; i >= 0; i-- {
		_ = os.Remove(made[i])
	}
}

// exists says whether a name is taken.
func exists(name string) bool {
	_, err := os.Lstat(name)
	return !errors.Is(err, fs.ErrNotExist)
}

// FolderInside makes a folder of a workshop, which nothing leads out of, where it is not
// there.
//
// Errors: a *exact.ValueError where a file or a link that leads outside is in its place;
// those of the file system.
func FolderInside(dir, name string) error {
	root, err := os.OpenRoot(dir)
	if err != nil {
		return CannotWrite(dir, err)
	}
	defer root.Close()
	info, err := root.Stat(name)
	switch {
	case err == nil && info.IsDir():
		return nil
	case err != nil && LeadsOutside(err):
		return &exact.ValueError{What: name + " is a link that leads out of the workshop",
			Fix: "put a folder in its place"}
	case err == nil:
		return &exact.ValueError{What: name + " is a file, wanted a folder", Fix: "move the file out of the way"}
	}
	if err := root.Mkdir(name, 0o755); err != nil && !errors.Is(err, fs.ErrExist) {
		return CannotWrite(name, err)
	}
	return nil
}
