package edit

import (
	"strconv"
	"strings"
)

// Path leads from the root of a file to a value, one step for each level. In a group of
// keys a step is the key. In a list it is an index counted from 0, "-" for the place
// behind the last entry, or key=value for the only entry that has this value, so that
// id=plain finds the variant named plain.
//
// As text a path is a JSON Pointer (RFC 6901) with the last form added:
// /formula/phases/id=A/lines/2/amount. The empty path is the root.
type Path []string

// ParsePath reads the text form of a path.
//
// Errors: a *Refusal where text is not empty and does not start with a slash.
func ParsePath(text string) (Path, error) {
	if text == "" {
		return nil, nil
	}
	if text[0] != '/' {
		return nil, refuse("bad-path", 0, "path", text)
	}
	p := Path(strings.Split(text[1:], "/"))
	for i, s := range p {
		p[i] = strings.ReplaceAll(strings.ReplaceAll(s, "~1", "/"), "~0", "~")
	}
	return p, nil
}

// String returns the text form of the path.
func (p Path) String() string {
	var b strings.Builder
	for _, s := range p {
		b.WriteByte('/')
		b.WriteString(strings.ReplaceAll(strings.ReplaceAll(s, "~", "~0"), "/", "~1"))
	}
	return b.String()
}

// Then returns the path with further steps; the path itself is not changed.
func (p Path) Then(steps ...string) Path {
	return append(append(make(Path, 0, len(p)+len(steps)), p...), steps...)
}

// At returns the path of entry i of the list at p.
func (p Path) At(i int) Path { return p.Then(strconv.Itoa(i)) }

// step finds the child that a step names; -1 where there is none. An id that two
// entries have names neither.
func (n *node) step(s string) int {
	if n.kind == mapping {
		for i, k := range n.keys {
			if k.text == s {
				return i
			}
		}
		return -1
	}
	if n.kind != list {
		return -1
	}
	if i, err := strconv.Atoi(s); err == nil && i >= 0 && i < len(n.vals) && strconv.Itoa(i) == s {
		return i
	}
	key, value, ok := strings.Cut(s, "=")
	if !ok {
		return -1
	}
	found := -1
	for i, v := range n.vals {
		if j := v.step(key); v.kind == mapping && j >= 0 && v.vals[j].kind == scalar && v.vals[j].text == value {
			if found >= 0 {
				return -1
			}
			found = i
		}
	}
	return found
}

// find follows the path as far as the file goes: the last node reached and the number
// of steps taken.
func (f *File) find(p Path) (*node, int) {
	n := f.root
	for i, s := range p {
		j := n.step(s)
		if j < 0 {
			return n, i
		}
		n = n.vals[j]
	}
	return n, len(p)
}

// Has says whether the path leads to a value.
func (f *File) Has(p Path) bool {
	_, n := f.find(p)
	return n == len(p)
}

// Text returns the single value at the path as the maker typed it, without quotes; ""
// and false where there is none or it is a list or a group.
func (f *File) Text(p Path) (string, bool) {
	n, k := f.find(p)
	if k < len(p) || n.kind != scalar {
		return "", false
	}
	return n.text, true
}

// Len returns the number of entries of the list or group at the path; 0 elsewhere.
func (f *File) Len(p Path) int {
	n, k := f.find(p)
	if k < len(p) {
		return 0
	}
	return len(n.vals)
}

// IsGroup says whether a group of keys is at the path.
func (f *File) IsGroup(p Path) bool {
	n, k := f.find(p)
	return k == len(p) && n.kind == mapping
}

// Keys returns the keys of the group at the path, in their order.
func (f *File) Keys(p Path) []string {
	n, k := f.find(p)
	if k < len(p) {
		return nil
	}
	keys := make([]string, len(n.keys))
	for i, key := range n.keys {
		keys[i] = key.text
	}
	return keys
}

// Line returns the line of the value at the path, counted from 1, or of the last value
// on the way that is there.
func (f *File) Line(p Path) int {
	n, _ := f.find(p)
	line, _ := f.place(n.start)
	return line
}

// PathAt returns the path of the smallest value that a place is in; a place on a key is in
// its value. line and col count from 1, col in characters.
func (f *File) PathAt(line, col int) Path {
	at := f.offset(line, max(col, 1))
	var path Path
	n := f.root
next:
	for {
		for i, v := range n.vals {
			from := v.start
			if n.kind == mapping {
				from = n.keys[i].start
			} else if n.marks[i] >= 0 {
				from = n.marks[i]
			}
			if at < from || at > max(v.end, from) || (i+1 < len(n.vals) && n.kind == mapping &&
				at >= n.keys[i+1].start) {
				continue
			}
			if n.kind == mapping {
				path = append(path, n.keys[i].text)
			} else {
				path = path.At(i)
			}
			n = v
			continue next
		}
		return path
	}
}
