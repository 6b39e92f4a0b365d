//go:build tablemutate

package data

import (
	"errors"
	"io/fs"
	"os"
)

// Files returns the tables of the folder that TABLES names: the tool that
// measures what the tests notice changes them there.
func Files() (fs.FS, error) {
	dir := os.Getenv("TABLES")
	if dir == "" {
		return nil, errors.New("TABLES names no folder")
	}
	return os.DirFS(dir), nil
}
