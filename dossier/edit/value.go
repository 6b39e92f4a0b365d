package edit

import "slices"

// Value is what an edit writes: a single value, a list or a group of keys. The zero
// Value is empty (null).
type Value struct {
	kind kind
	text string
	// mode says how a single value may read.
	mode  mode
	keys  []string
	items []Value
}

type mode int

const (
	empty mode = iota
	typed
	text
)

// Typed returns a value as a maker types it into a field: 12 becomes a number, 10-15 a
// text, q.s. a text. It is put in quotes only where it would not come back the same.
func Typed(s string) Value { return Value{kind: scalar, text: s, mode: typed} }

// Text returns a text. It is put in quotes where it would read as a number, a date,
// true, false or nothing.
func Text(s string) Value { return Value{kind: scalar, text: s, mode: text} }

// null returns the empty value.
func null() Value { return Value{} }

// List returns a list of values.
func List(items ...Value) Value { return Value{kind: list, items: items} }

// Group returns an empty group of keys; add to it with [Value.With].
func Group() Value { return Value{kind: mapping} }

// With returns the group with one more key at its end.
func (v Value) With(key string, val Value) Value {
	v.keys = append(v.keys[:len(v.keys):len(v.keys)], key)
	v.items = append(v.items[:len(v.items):len(v.items)], val)
	return v
}

// Is says whether a single value has a text.
func (v Value) Is(text string) bool { return v.kind == scalar && v.text == text }

// Within returns the group with a value at the end of a path of keys; the groups on the way
// are made where they are not there.
func (v Value) Within(path []string, val Value) Value {
	if len(path) == 1 {
		return v.With(path[0], val)
	}
	for i, key := range v.keys {
		if key == path[0] {
			v.items = slices.Clone(v.items)
			v.items[i] = v.items[i].Within(path[1:], val)
			return v
		}
	}
	return v.With(path[0], Group().Within(path[1:], val))
}

// tree returns the tree that reading the written value has to give.
func (v Value) tree() *tree {
	t := &tree{kind: v.kind, text: v.text, mode: v.mode, keys: v.keys}
	for _, i := range v.items {
		t.items = append(t.items, i.tree())
	}
	return t
}

// flat says that the value holds single values only, one level deep.
func (v Value) flat() bool {
	for _, i := range v.items {
		if i.kind != scalar {
			return false
		}
	}
	return true
}

// Edit is one change of a file.
type Edit struct {
	op    op
	path  Path
	value Value
	to    int
	name  string
}

type op int

const (
	opSet op = iota
	opInsert
	opMove
	opRemove
	opRename
)

// Set puts a value at the path: in place of the one that is there, into an empty place,
// or as a new key. Groups missing on the way are made. A new key comes where the file's
// order wants it ([File.Order]), else last.
func Set(p Path, v Value) Edit { return Edit{op: opSet, path: p, value: v} }

// Insert puts an entry into a list; the last step of the path is the index it gets, or
// "-" for the end. A list that is missing is made.
func Insert(p Path, v Value) Edit { return Edit{op: opInsert, path: p, value: v} }

// Move gives a list entry another index of its list.
func Move(p Path, to int) Edit { return Edit{op: opMove, path: p, to: to} }

// Remove takes out a key with its value, or a list entry.
func Remove(p Path) Edit { return Edit{op: opRemove, path: p} }

// rename gives the key at the end of the path another name. The id of a list entry is a
// value: set it with Set.
func rename(p Path, name string) Edit { return Edit{op: opRename, path: p, name: name} }

// Path returns where the edit is made.
func (e Edit) Path() Path { return e.path }

// Removes says whether the edit takes something out.
func (e Edit) Removes() bool { return e.op == opRemove }
