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
	return f.Renoted(p, remark, nil)
}

// Renoted is [File.Noted] for a line that may have a remark: keep says what stays of it,
// before the new one. Without keep, and where several remarks stand there, the file is
// returned as it is.
func (f *File) Renoted(p Path, remark string, keep func(old string) string) *File {
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
	var there []span
	for _, c := range f.comments {
		if c.from >= from && c.from < to {
			there = append(there, c)
		}
	}
	end := from + len(bytes.TrimRight(f.data[from:to], " \t\r\n"))
	start, text, more := end, " # "+oneLine(remark), 1
	if len(there) > 0 {
		if keep == nil || len(there) > 1 {
			return f
		}
		old := strings.TrimLeft(string(f.data[there[0].from:end]), "# ")
		if stays := keep(strings.TrimSpace(old)); stays != "" {
			text = "# " + stays + "; " + oneLine(remark)
		} else {
			text = "# " + oneLine(remark)
		}
		start, more = there[0].from, 0
	}
	next := &File{Name: f.Name, Order: f.Order, data: slices.Concat(f.data[:start], []byte(text), f.data[end:])}
	if next.parse() != nil || len(next.comments) != len(f.comments)+more {
		return f
	}
	if _, bad := f.root.tree().differs(next.root.tree(), nil); bad {
		return f
	}
	return next
}

func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }
