//go:build tablemutate

package table

import (
	"embed"
	"errors"
	"io/fs"
	"os"
)

//go:embed data/*.csv
var embedded embed.FS

// dataFiles returns the tables of the folder that TABLES names: the tool that
// measures what the tests notice changes them there.
func dataFiles() (fs.FS, error) {
	dir := os.Getenv("TABLES")
	if dir == "" {
		return nil, errors.New("TABLES names no folder")
	}
	return os.DirFS(dir), nil
}
