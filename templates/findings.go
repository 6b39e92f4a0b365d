package templates

import (
	"embed"
	"io/fs"
)

//go:embed findings/*.txt readiness/*.txt
var wordingFiles embed.FS

// Findings returns the tables of wordings: files of records by the code of a
// finding, or by the key of a term. Package dossier/words reads them and says what
// the records look like.
func Findings() fs.FS { return wordings("findings") }

// Readiness returns the tables of what is said on the items of the file, by code.
func Readiness() fs.FS { return wordings("readiness") }

func wordings(folder string) fs.FS {
	sub, err := fs.Sub(wordingFiles, folder)
	if err != nil {
		panic(err) // the folders are embedded, so only a wrong name above can fail
	}
	return sub
}
