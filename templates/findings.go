package templates

import (
	"embed"
	"io/fs"
)

//go:embed findings/*.txt
var findingFiles embed.FS

// Findings returns the tables of wordings: files of records by the code of a
// finding, or by the key of a term. Package dossier/words reads them and says what
// the records look like.
func Findings() fs.FS {
	sub, err := fs.Sub(findingFiles, "findings")
	if err != nil {
		panic(err) // the folder is embedded, so only a wrong name in this line can fail
	}
	return sub
}
