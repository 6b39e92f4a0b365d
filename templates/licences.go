package templates

import (
	_ "embed"
	"strings"
)

//go:embed licences.txt
var licences string

// Licences returns the list of what is linked into the program or embedded in it, a
// line each, and the texts of their licences. The program testdata/licences writes it.
func Licences() (list, texts string) {
	list, texts, _ = strings.Cut(licences, "\n\n")
	return list + "\n", texts
}
