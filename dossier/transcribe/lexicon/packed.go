package lexicon

import (
	"bytes"
	"compress/gzip"
	"io"
)

// Tables are the files of this folder that are packed into the program: they are long, and
// nobody needs them before a paper is read.
var Tables = []string{"words.csv", "formulas.csv"}

// Pack packs a table for the program.
func Pack(table []byte) ([]byte, error) {
	var packed bytes.Buffer
	w, err := gzip.NewWriterLevel(&packed, gzip.BestCompression)
	if err != nil {
		return nil, err
	}
	if _, err := w.Write(table); err != nil {
		return nil, err
	}
	if err := w.Close(); err != nil {
		return nil, err
	}
	return packed.Bytes(), nil
}

// unpacked is a table of the program.
func unpacked(packed []byte) string {
	r, err := gzip.NewReader(bytes.NewReader(packed))
	if err != nil {
		panic(err) // embedded and tested
	}
	table, err := io.ReadAll(r)
	if err != nil {
		panic(err)
	}
	return string(table)
}
