package templates

import (
	"embed"
	"io/fs"
)

//go:embed papers/*.csv
var paperFiles embed.FS

// Papers returns the tables of what the reading of suppliers' papers and of old formulas
// says: files.csv (a file that cannot be read), questions.csv (papers), formulas.csv, and
// told.csv (what is printed beside them, written into a sheet, or said of what is typed).
// Each has the columns code, kind, text and fix; braces in a text hold the name of a
// value. Package dossier/transcribe/phrases reads them.
func Papers() fs.FS {
	sub, err := fs.Sub(paperFiles, "papers")
	if err != nil {
		panic(err) // the folder is embedded, so only a wrong name in this line can fail
	}
	return sub
}
