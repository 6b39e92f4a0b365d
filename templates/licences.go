package templates

import (
	"bytes"
	"compress/gzip"
	_ "embed"
	"io"
	"strings"
)

// packedLicences is licences.txt, packed: it is asked for rarely, and 80 kB less to download.
//
//go:embed licences.txt.gz
var packedLicences []byte

// Licences returns the list of what is linked into the program or embedded in it, a
// line each, and the texts of their licences. The program testdata/licences writes it.
func Licences() (list, texts string) {
	r, err := gzip.NewReader(bytes.NewReader(packedLicences))
	if err != nil {
		panic(err) // embedded and tested
	}
	data, err := io.ReadAll(r)
	if err != nil {
		panic(err)
	}
	list, texts, _ = strings.Cut(string(data), "\n\n")
	return list + "\n", texts
}
