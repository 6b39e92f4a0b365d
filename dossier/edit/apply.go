package edit

import (
	"slices"
	"strconv"
)

// change is the replacement of some bytes; the comments that stand in out go with them.
type change struct {
	span
	text string
	out  span
}

// Apply makes the edits one after the other and returns the changed file; the file itself
// stays as it is. After each edit the text is parsed again and compared with the wanted
// tree and the comments there were.
//
// Errors: a *Refusal, with the place in the file as it was before the refused edit.
func (f *File) Apply(edits ...Edit) (*File, error) {
	for _, e := range edits {
		next, err := f.apply(e)
		if err != nil {
			return nil, f.placed(err)
		}
		f = next
	}
	return f, nil
}

func (f *File) apply(e Edit) (*File, error) {
	if e.op == opInsert && len(e.path) > 1 {
		if last := len(e.path) - 1; (e.path[last] == "-" || e.path[last] == "0") && !f.Has(e.path[:last]) {
			e = Set(e.path[:last], List(e.value))
		}
	}
	at, err := f.resolve(e)
	if err != nil {
		return nil, err
	}
	changes, err := f.changes(e, at)
	if err != nil {
		return nil, err
	}
	next := &File{Name: f.Name, Order: f.Order, data: f.replaced(changes)}
	if err := next.parse(); err != nil {
		return nil, refuse("tree-differs", f.offsetOf(e), "path", e.path.String())
	}
	want := f.root.tree()
	if len(e.path) == 0 {
		want = e.value.tree()
	} else {
		want.apply(e, at, f.Order, nil)
	}
	if p, bad := want.differs(next.root.tree(), nil); bad {
		return nil, refuse("tree-differs", f.offsetOf(e), "path", p.String())
	}
	var out span
	for _, c := range changes {
		if c.out.to > c.out.from {
			out = c.out
		}
	}
	if !slices.Equal(f.remarks(out), next.remarks(span{})) {
		return nil, refuse("comment-lost", f.offsetOf(e), "path", e.path.String())
	}
	return next, nil
}

func (f *File) offsetOf(e Edit) int {
	n, _ := f.find(e.path)
	return n.start
}

// replaced returns the bytes with the changes made; they do not overlap.
func (f *File) replaced(changes []change) []byte {
	slices.SortStableFunc(changes, func(a, b change) int { return a.from - b.from })
	data := make([]byte, 0, len(f.data)+256)
	from := 0
	for _, c := range changes {
		data = append(append(data, f.data[from:c.from]...), c.text...)
		from = c.to
	}
	return append(data, f.data[from:]...)
}

// resolve turns the path of an edit into indices, as far as the file goes, and refuses
// what the edit cannot be made on.
func (f *File) resolve(e Edit) ([]int, error) {
	if len(e.path) == 0 && e.op != opSet {
		return nil, refuse("root", 0)
	}
	n := f.root
	var at []int
	for i, s := range e.path {
		if key := n.doubleKey(); key != nil {
			return nil, refuse("double-key", key.start, "key", key.text)
		}
		j := n.step(s)
		if j < 0 {
			return at, f.missing(e, n, i)
		}
		at, n = append(at, j), n.vals[j]
	}
	return at, f.allowed(e, at)
}

func (n *node) doubleKey() *node {
	for i, k := range n.keys {
		for _, other := range n.keys[:i] {
			if other.text == k.text {
				return k
			}
		}
	}
	return nil
}

// missing decides about a path whose step i leads nowhere from n.
func (f *File) missing(e Edit, n *node, i int) error {
	none := refuse("no-place", n.start, "path", e.path.String())
	last := i == len(e.path)-1
	switch e.op {
	case opSet:
		if n.kind == mapping || n.blank() {
			return nil
		}
		if n.kind == scalar {
			return refuse("not-a-group", n.start, "path", e.path[:i].String())
		}
	case opInsert:
		if last && (n.kind == list && e.path[i] == "-" || n.blank() && (e.path[i] == "-" || e.path[i] == "0")) {
			return nil
		}
		if last && n.kind == list && e.path[i] == strconv.Itoa(len(n.vals)) {
			return nil
		}
		if last && n.kind != list {
			return refuse("not-a-list", n.start, "path", e.path[:i].String())
		}
	}
	return none
}

// allowed decides about a path that leads to a value.
func (f *File) allowed(e Edit, at []int) error {
	if len(at) == 0 {
		return nil
	}
	parent := f.root
	for _, i := range at[:len(at)-1] {
		parent = parent.vals[i]
	}
	switch e.op {
	case opInsert, opMove:
		if parent.kind != list {
			return refuse("not-a-list", parent.start, "path", e.path[:len(e.path)-1].String())
		}
		if e.op == opMove && (e.to < 0 || e.to >= len(parent.vals)) {
			return refuse("no-place", parent.start, "path", e.path[:len(e.path)-1].At(e.to).String())
		}
	case opRename:
		if parent.kind != mapping {
			return refuse("not-a-group", parent.start, "path", e.path[:len(e.path)-1].String())
		}
		if parent.step(e.name) >= 0 && e.name != e.path[len(e.path)-1] {
			return refuse("key-taken", parent.start, "path", e.path[:len(e.path)-1].String(), "key", e.name)
		}
	}
	return nil
}

// changes returns the bytes to replace for an edit.
func (f *File) changes(e Edit, at []int) ([]change, error) {
	chain := []*node{f.root}
	for _, i := range at {
		chain = append(chain, chain[len(chain)-1].vals[i])
	}
	n := chain[len(chain)-1]
	if len(at) == len(e.path) && len(at) > 0 {
		parent, i := chain[len(chain)-2], at[len(at)-1]
		switch e.op {
		case opSet:
			return f.set(parent, i, e.value)
		case opInsert:
			return f.insertItem(chain[:len(chain)-1], i, e.value, at)
		case opMove:
			return f.move(parent, i, e.to)
		case opRemove:
			return f.remove(chain[:len(chain)-1], at)
		}
		key := parent.keys[i]
		return []change{{span: span{key.start, key.end}, text: Text(e.name).rewritten(key, true)}}, nil
	}
	if len(e.path) == 0 {
		return nil, refuse("root", 0)
	}
	rest := e.path[len(at):]
	if e.op == opInsert {
		if n.blank() && len(at) > 0 {
			return f.fill(chain[len(chain)-2], at[len(at)-1], List(e.value))
		}
		return f.insertItem(chain, len(n.vals), e.value, at)
	}
	v := wrapped(rest[1:], e.value)
	if n.blank() {
		if len(at) == 0 {
			return f.first(rest[0], v), nil
		}
		return f.fill(chain[len(chain)-2], at[len(at)-1], Group().With(rest[0], v))
	}
	return f.insertKey(chain, at, rest[0], v, starred(e.path[:len(at)], chain))
}

// starred replaces indices of lists by "*".
func starred(p Path, chain []*node) Path {
	s := slices.Clone(p)
	for i := range s {
		if chain[i].kind == list {
			s[i] = "*"
		}
	}
	return s
}

// first writes the first key of a file that holds nothing but comments.
func (f *File) first(key string, v Value) []change {
	text := f.habits().pair(key, v, 0) + f.eol
	if len(f.data) > 0 && f.at(len(f.data)-1) != '\n' && len(f.data) > f.lines[0] {
		text = f.eol + text
	}
	return []change{{span: span{len(f.data), len(f.data)}, text: text}}
}
