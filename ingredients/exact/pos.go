package exact

import (
	"strconv"
)

// Pos is a place in one of the maker's files. Its zero value means no place.
type Pos struct {
	File string // relative to the workshop, forward slashes
	Line int    // from 1
	Col  int    // from 1, in characters
	Len  int    // characters to underline; 0 underlines one
}

// IsZero says whether there is no place.
func (p Pos) IsZero() bool { return p.File == "" }

// String returns file:line:col as far as they are known.
func (p Pos) String() string {
	if p.File != "" && p.Line != 0 {
		return string(p.Append(nil))
	}
	return p.File
}

// Append adds what String returns.
func (p Pos) Append(b []byte) []byte {
	b = append(b, p.File...)
	if p.File == "" || p.Line == 0 {
		return b
	}
	b = strconv.AppendInt(append(b, ':'), int64(p.Line), 10)
	return strconv.AppendInt(append(b, ':'), int64(p.Col), 10)
}

// Before orders places by file, line and column.
func (p Pos) Before(q Pos) bool {
	if p.File != q.File {
		return p.File < q.File
	}
	if p.Line != q.Line {
		return p.Line < q.Line
	}
	return p.Col < q.Col
}
