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
func Files() (fs.FS, error) { return folder{embedded}, nil }

// folder gives its tables as text too, without a copy of them.
type folder struct{ embed.FS }

// Text returns one table; an empty text for none of that name.
func (folder) Text(name string) string { return texts[name] }
