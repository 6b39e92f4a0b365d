package dossier

import (
	"os"

	"gallipot/ingredients"
)

// makeFolder makes a folder to write into, with those above it.
//
// Errors: a *ingredients.ValueError where a file stands in the way.
func makeFolder(dir string) error {
	if info, err := os.Stat(dir); err == nil && !info.IsDir() {
		return &ingredients.ValueError{What: dir + " is a file, wanted a folder", Fix: "name another folder, or move the file out of the way"}
	}
	return os.MkdirAll(dir, 0o755)
}
