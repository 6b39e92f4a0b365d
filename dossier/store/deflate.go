package store

import (
	"bytes"
	"compress/flate"
	"encoding/binary"
	"hash/adler32"
	"sync"
)

// deflateLevel is how hard the parts of a file are compressed: level 4 makes them a
// twentieth smaller and the usual 6 a tenth, and they take a tenth and half as long again.
const deflateLevel = 2

// deflaters are at hand for the next part: a file has dozens of small ones, and
// to make a compressor takes longer than to compress one of them.
var deflaters = sync.Pool{New: func() any {
	w, err := flate.NewWriter(nil, deflateLevel)
	if err != nil {
		panic("dossier: " + err.Error()) // only for a level that does not exist
	}
	return w
}}

// Deflated compresses data as a zip file holds it (RFC 1951).
func Deflated(data []byte) []byte {
	var b bytes.Buffer
	deflateTo(&b, data)
	return b.Bytes()
}

// Zlibbed compresses data as a PDF holds it: the same with a head and a checksum
// (RFC 1950).
func Zlibbed(data []byte) []byte {
	b := bytes.NewBuffer([]byte{0x78, 0x5E}) // the usual window, compressed fast
	deflateTo(b, data)
	return binary.BigEndian.AppendUint32(b.Bytes(), adler32.Checksum(data))
}

func deflateTo(b *bytes.Buffer, data []byte) {
	w := deflaters.Get().(*flate.Writer)
	defer deflaters.Put(w)
	w.Reset(b)
	_, _ = w.Write(data) // a buffer takes all
	_ = w.Close()
}
