//go:build !tablemutate

package data

import (
	"embed"
	"io/fs"
)

//go:embed *.csv
var embedded embed.FS

// Files returns the tables inside the program.
//
// Errors: none; of a build that reads another folder, that none is named.
func Files() (fs.FS, error) { return embedded, nil }
