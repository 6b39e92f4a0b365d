package edit

import (
	"bytes"
	"slices"
	"strings"
)

// Noted returns the file with a remark at the end of the line of the value at a path. Where
// the value takes several lines, or something is remarked there already, or the remark would
// change what the file says, the file is returned as it is.
func (f *File) Noted(p Path, remark string) *File {
	n, k := f.find(p)
	if k < len(p) || remark == "" {
		return f
	}
	line, _ := f.place(n.start)
	if last, _ := f.place(n.end); last != line {
		return f
	}
	from, to := f.lines[line-1], len(f.data)
	if line < len(f.lines) {
		to = f.lines[line]
	}
	for _, c := range f.comments {
		if c.from >= from && c.from < to {
			return f
		}
	}
	end := from + len(bytes.TrimRight(f.data[from:to], " \t\r\n"))
	text := " # " + strings.Join(strings.Fields(remark), " ")
	next := &File{Name: f.Name, Order: f.Order, data: slices.Concat(f.data[:end], []byte(text), f.data[end:])}
	if next.parse() != nil || len(next.comments) != len(f.comments)+1 {
		return f
	}
	if _, bad := f.root.tree().differs(next.root.tree(), nil); bad {
		return f
	}
	return next
}
