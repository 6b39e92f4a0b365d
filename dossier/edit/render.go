package edit

import (
	"strings"
	"unicode/utf8"
)

// Widest line that a new list or group in brackets may fill, in characters.
const widest = 100

// flowText returns a value in one line, with brackets.
func (v Value) flowText() string {
	switch v.kind {
	case mapping:
		parts := make([]string, len(v.items))
		for i, k := range v.keys {
			parts[i] = keyText(k) + ": " + v.items[i].flowText()
		}
		return "{" + strings.Join(parts, ", ") + "}"
	case list:
		parts := make([]string, len(v.items))
		for i, item := range v.items {
			parts[i] = item.flowText()
		}
		return "[" + strings.Join(parts, ", ") + "]"
	}
	return v.written(true)
}

// lines writes values on lines of their own, in the habits of a file.
type lines struct {
	eol  string
	dash int // columns from a key to the dashes below it
}

// oneLine says that the value is to stand in one line that starts at a column.
func (l lines) oneLine(v Value, col int) bool {
	if v.kind == scalar || len(v.items) == 0 {
		return true
	}
	return v.flat() && col+utf8.RuneCountInString(v.flowText()) <= widest
}

// pair returns a key and its value; the key starts at column col.
func (l lines) pair(key string, v Value, col int) string {
	k := keyText(key) + ":"
	switch {
	case v.kind == scalar && v.mode != empty:
		return k + " " + v.written(false)
	case v.kind == scalar:
		return k + " null"
	case l.oneLine(v, col+len(k)+1):
		return k + " " + v.flowText()
	case v.kind == mapping:
		return k + l.br(col+2) + l.group(v, col+2)
	}
	return k + l.br(col+l.dash) + l.list(v, col+l.dash)
}

// group returns the keys of a group, each on its line from column col on.
func (l lines) group(v Value, col int) string {
	parts := make([]string, len(v.items))
	for i, key := range v.keys {
		parts[i] = l.pair(key, v.items[i], col)
	}
	return strings.Join(parts, l.br(col))
}

// list returns the entries of a list, each on its line; the dashes stand at column col.
func (l lines) list(v Value, col int) string {
	parts := make([]string, len(v.items))
	for i, item := range v.items {
		parts[i] = l.entry(item, col, l.oneLine(item, col+2))
	}
	return strings.Join(parts, l.br(col))
}

// entry returns one entry with its dash at column col.
func (l lines) entry(v Value, col int, flow bool) string {
	switch {
	case v.kind == scalar:
		return "- " + v.written(false)
	case flow || len(v.items) == 0:
		return "- " + v.flowText()
	case v.kind == mapping:
		return "- " + l.group(v, col+2)
	}
	return "- " + l.list(v, col+2)
}

// br returns a line end and the indentation to a column.
func (l lines) br(col int) string { return l.eol + strings.Repeat(" ", col) }

// habits looks up how the file indents its lists.
func (f *File) habits() lines {
	l := lines{eol: f.eol, dash: 2}
	f.root.walk(func(n *node) bool {
		for i, v := range n.vals {
			if n.kind == mapping && !n.flow && v.kind == list && !v.flow {
				l.dash = f.column(v.start) - f.column(n.keys[i].start)
				return true
			}
		}
		return false
	})
	return l
}

// walk calls do for each list and group until it returns true.
func (n *node) walk(do func(*node) bool) bool {
	if n.kind == scalar {
		return false
	}
	if do(n) {
		return true
	}
	for _, v := range n.vals {
		if v.walk(do) {
			return true
		}
	}
	return false
}
