// Package templates holds the texts that the program writes out or prints: the
// starter files of a new workshop among them. It holds words and layout, never
// arithmetic, and no limit of the law.
package templates

import (
	"embed"
	"io/fs"
)

//go:embed all:begin
var files embed.FS

// Begin returns the starter workshop: workshop.yaml with commented example
// sheets, one product, and the folders for evidence and limits. Its figures are
// examples, and each sheet says so of itself.
func Begin() fs.FS {
	sub, err := fs.Sub(files, "begin")
	if err != nil {
		panic(err) // the folder is embedded, so only a wrong name in this line can fail
	}
	return sub
}
