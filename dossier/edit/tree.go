package edit

import (
	"slices"
	"strings"
)

// tree is what a file says, without places. Two files that say the same have equal trees.
type tree struct {
	kind  kind
	tag   string // "" where any reading will do that mode allows
	text  string
	mode  mode
	keys  []string
	items []*tree
}

func (n *node) tree() *tree {
	t := &tree{kind: n.kind, tag: n.tag, text: n.text}
	for _, k := range n.keys {
		t.keys = append(t.keys, k.text)
	}
	for _, v := range n.vals {
		t.items = append(t.items, v.tree())
	}
	return t
}

// differs returns the path of the first place where got is not what was wanted.
func (t *tree) differs(got *tree, at Path) (Path, bool) {
	if t.kind != got.kind || len(t.items) != len(got.items) || !slices.Equal(t.keys, got.keys) {
		return at, true
	}
	if t.kind == scalar && !t.reads(got) {
		return at, true
	}
	for i := range t.items {
		next := at.At(i)
		if t.kind == mapping {
			next = at.Then(t.keys[i])
		}
		if p, bad := t.items[i].differs(got.items[i], next); bad {
			return p, true
		}
	}
	return nil, false
}

func (t *tree) reads(got *tree) bool {
	if t.tag != "" {
		return t.tag == got.tag && t.text == got.text
	}
	switch t.mode {
	case empty:
		return got.tag == "!!null"
	case text:
		return got.tag == "!!str" && got.text == t.text
	}
	return got.tag != "!!null" && got.text == t.text
}

// step is that of node.step for a tree.
func (t *tree) child(i int) *tree { return t.items[i] }

// apply changes the tree as the edit changes the file. at are the indices of the nodes
// on the way, as far as they are there.
func (t *tree) apply(e Edit, at []int, order func(Path) []string, here Path) {
	if len(at) > 0 && (len(e.path) > len(here)+1) {
		step := e.path[len(here)]
		if t.kind == list {
			step = "*"
		}
		t.child(at[0]).apply(e, at[1:], order, here.Then(step))
		return
	}
	last := e.path[len(here):]
	switch e.op {
	case opSet:
		switch {
		case len(at) > 0:
			t.items[at[0]] = e.value.tree()
		default:
			t.become(mapping)
			v := wrapped(last[1:], e.value).tree()
			i := keyPlace(t.keys, last[0], orderOf(order, here))
			t.keys, t.items = slices.Insert(t.keys, i, last[0]), slices.Insert(t.items, i, v)
		}
	case opInsert:
		t.become(list)
		i := len(t.items)
		if len(at) > 0 {
			i = at[0]
		}
		t.items = slices.Insert(t.items, i, e.value.tree())
	case opMove:
		moved := t.items[at[0]]
		t.items = slices.Insert(slices.Delete(t.items, at[0], at[0]+1), e.to, moved)
	case opRemove:
		t.items = slices.Delete(t.items, at[0], at[0]+1)
		if t.kind == mapping {
			t.keys = slices.Delete(t.keys, at[0], at[0]+1)
		}
	case opRename:
		t.keys[at[0]] = e.name
	}
}

// become turns an empty value into an empty list or group.
func (t *tree) become(k kind) {
	if t.kind == scalar {
		*t = tree{kind: k}
	}
}

func orderOf(order func(Path) []string, p Path) []string {
	if order == nil {
		return nil
	}
	return order(p)
}

// wrapped puts a value into the groups that are missing on its way.
func wrapped(steps Path, v Value) Value {
	for i := len(steps) - 1; i >= 0; i-- {
		v = Group().With(steps[i], v)
	}
	return v
}

// keyPlace returns the index for a new key: behind the last key that the order names
// before it, else before the first that it names behind it, else last.
func keyPlace(keys []string, key string, order []string) int {
	mine := slices.Index(order, key)
	if mine < 0 {
		return len(keys)
	}
	after := -1
	for i := len(keys) - 1; i >= 0; i-- {
		switch rank := slices.Index(order, keys[i]); {
		case rank >= 0 && rank < mine:
			if after >= 0 {
				return after
			}
			return i + 1
		case rank > mine:
			after = i
		}
	}
	if after >= 0 {
		return after
	}
	return len(keys)
}

// remarks returns the comments of a file, without those that end or start in the part
// that an edit takes out, sorted.
func (f *File) remarks(out span) []string {
	var texts []string
	for _, c := range f.comments {
		if c.from < out.from || c.from >= out.to {
			texts = append(texts, strings.TrimRight(string(f.data[c.from:c.to]), " \t"))
		}
	}
	slices.Sort(texts)
	return texts
}
