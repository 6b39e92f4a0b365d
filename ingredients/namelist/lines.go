package namelist

import (
	"bytes"
	"compress/flate"
	"encoding/binary"
	"io"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
)

// blockSize is how many lines are packed together: one line unpacks one block.
const blockSize = 256

// PackLines packs lines of text, none of which holds a line break, into
// compressed blocks.
func PackLines(lines []string) ([]byte, error) {
	offsets := binary.LittleEndian.AppendUint32(nil, uint32(len(lines)))
	var body bytes.Buffer
	place := func() { offsets = binary.LittleEndian.AppendUint32(offsets, uint32(body.Len())) }
	for block := range slices.Chunk(lines, blockSize) {
		place()
		w, err := flate.NewWriter(&body, flate.BestCompression)
		if err != nil {
			return nil, err
		}
		if _, err := io.WriteString(w, strings.Join(block, "\n")); err != nil {
			return nil, err
		}
		if err := w.Close(); err != nil {
			return nil, err
		}
	}
	place()
	return append(offsets, body.Bytes()...), nil
}

// Lines are packed lines, unpacked block by block as they are asked for and kept
// then. They are safe for use by several at a time.
type Lines struct {
	count    int
	at, body string
	unpacked []atomic.Pointer[[]string]
}

// OpenLines opens what [PackLines] made. It fails for data of another form.
func OpenLines(data string) (*Lines, error) {
	if len(data) < 4 {
		return nil, errPacked
	}
	l := &Lines{count: int(u32(data, 0))}
	blocks := (l.count + blockSize - 1) / blockSize
	if len(data) < 4+4*(blocks+1) {
		return nil, errPacked
	}
	l.at, l.body = data[4:4+4*(blocks+1)], data[4+4*(blocks+1):]
	if int(u32(l.at, 4*blocks)) > len(l.body) {
		return nil, errPacked
	}
	l.unpacked = make([]atomic.Pointer[[]string], blocks)
	return l, nil
}

// Len is the number of lines.
func (l *Lines) Len() int { return l.count }

// Line returns the line at a place.
func (l *Lines) Line(place int) string {
	block := l.block(place / blockSize)
	if place%blockSize >= len(block) {
		return "" // damaged data
	}
	return block[place%blockSize]
}

func (l *Lines) block(n int) []string {
	if b := l.unpacked[n].Load(); b != nil {
		return *b
	}
	data := l.body[u32(l.at, 4*n):u32(l.at, 4*n+4)]
	b := strings.Split(unpack(data), "\n")
	l.unpacked[n].Store(&b)
	return b
}

// unpacker holds what unpacking needs room for, which is more than what a block has.
type unpacker struct {
	from strings.Reader
	flat io.ReadCloser
	text bytes.Buffer
}

var unpackers = sync.Pool{New: func() any {
	u := &unpacker{}
	u.flat = flate.NewReader(&u.from)
	return u
}}

// unpack returns what can be read of a block; of a damaged one that is not all.
func unpack(data string) string {
	u := unpackers.Get().(*unpacker)
	defer unpackers.Put(u)
	u.from.Reset(data)
	u.text.Reset()
	if err := u.flat.(flate.Resetter).Reset(&u.from, nil); err == nil {
		_, _ = u.text.ReadFrom(u.flat)
	}
	return u.text.String()
}

// PackSections joins sections, each after its length, behind a word that names
// the layout.
func PackSections(layout string, sections ...[]byte) []byte {
	out := []byte(layout)
	for _, s := range sections {
		out = binary.LittleEndian.AppendUint32(out, uint32(len(s)))
		out = append(out, s...)
	}
	return out
}

// OpenSections cuts what [PackSections] made into n sections. It fails for
// another layout and for data cut short.
func OpenSections(layout, data string, n int) ([]string, error) {
	rest, ok := strings.CutPrefix(data, layout)
	if !ok {
		return nil, errPacked
	}
	sections := make([]string, n)
	for i := range sections {
		if len(rest) < 4 || int(u32(rest, 0)) > len(rest)-4 {
			return nil, errPacked
		}
		size := int(u32(rest, 0))
		sections[i], rest = rest[4:4+size], rest[4+size:]
	}
	return sections, nil
}
