package store

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"

	"gallipot/ingredients/exact"
)

// WriteTree writes files into a folder that must be new or empty.
//
// Errors: when the folder holds anything, so that nothing of the maker's is
// overwritten, or when a file cannot be written; then what was written before is
// removed again.
func WriteTree(dir string, tree fs.FS) error {
	if info, err := os.Stat(dir); err == nil && !info.IsDir() {
		return &exact.ValueError{What: dir + " is a file, wanted a folder",
			Fix: "name a folder that is new or empty"}
	}
	entries, err := os.ReadDir(dir)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	if len(entries) > 0 {
		return &exact.ValueError{What: dir + " is not empty, and nothing is overwritten",
			Fix: "name a folder that is new or empty"}
	}
	var made []string
	err = fs.WalkDir(tree, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		target := filepath.Join(dir, filepath.FromSlash(name))
		fresh := !exists(target)
		if d.IsDir() {
			err = MakeFolder(target)
		} else {
			var data []byte
			if data, err = fs.ReadFile(tree, name); err == nil {
				err = WriteFiles(NewFile{target, data})
			}
		}
		if fresh && err == nil {
			made = append(made, target)
		}
		return err
	})
	if err != nil {
		undo(made)
	}
	return err
}
