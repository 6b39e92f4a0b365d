//go:build !tablemutate

package table

import (
	"embed"
	"io/fs"
)

//go:embed data/*.csv
var embedded embed.FS

// dataFiles returns the tables inside the program.
func dataFiles() (fs.FS, error) { return fs.Sub(embedded, "data") }
