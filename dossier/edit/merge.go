package edit

import (
	"slices"
	"strconv"
	"strings"
)

// Difference is a place where two versions of a file differ from the one they came from.
type Difference struct {
	Path string // its text form
	Name string // the last steps of the path, in words
	// Was, Here and There are what stands there in the base, in mine and in theirs, in one
	// line; empty where it is not there.
	Was, Here, There string
	Mine, Theirs     bool // who changed it
	Both             bool // both did, and not to the same
}

// Compare lists the places where mine or theirs differ from base. Lists that grew or shrank
// are one place. ok is false where one of the three cannot be read.
func Compare(base, mine, theirs []byte) (ds []Difference, ok bool) {
	var trees [3]*tree
	for i, data := range [][]byte{base, mine, theirs} {
		f, err := Parse("", data)
		if err != nil {
			return nil, false
		}
		trees[i] = f.root.tree()
	}
	compare(trees, nil, &ds)
	return ds, true
}

func compare(t [3]*tree, at Path, to *[]Difference) {
	mine, theirs := !t[0].equal(t[1]), !t[0].equal(t[2])
	if !mine && !theirs || mine && theirs && t[1].equal(t[2]) {
		return
	}
	if t[0].sameShape(t[1]) && t[0].sameShape(t[2]) {
		for i := range t[0].items {
			compare([3]*tree{t[0].items[i], t[1].items[i], t[2].items[i]}, at.At(i), to)
		}
		return
	}
	if keys := groupKeys(t); keys != nil {
		for _, k := range keys {
			compare([3]*tree{t[0].get(k), t[1].get(k), t[2].get(k)}, at.Then(k), to)
		}
		return
	}
	*to = append(*to, Difference{Path: at.String(), Name: placeName(at), Was: t[0].line(), Here: t[1].line(),
		There: t[2].line(),
		Mine:  mine, Theirs: theirs, Both: mine && theirs})
}

// sameShape says that two lists have as many entries, which then are compared one by one.
func (t *tree) sameShape(o *tree) bool {
	return t != nil && o != nil && t.kind == list && o.kind == list && len(t.items) == len(o.items) &&
		len(t.items) > 0
}

// groupKeys returns the keys of three groups, each once; nil where one is no group.
func groupKeys(t [3]*tree) []string {
	var keys []string
	for _, x := range t {
		if x == nil || x.kind != mapping {
			return nil
		}
		for _, k := range x.keys {
			if !slices.Contains(keys, k) {
				keys = append(keys, k)
			}
		}
	}
	return keys
}

func (t *tree) get(key string) *tree {
	if i := slices.Index(t.keys, key); i >= 0 {
		return t.items[i]
	}
	return nil
}

func (t *tree) equal(o *tree) bool {
	if t == nil || o == nil {
		return t == o
	}
	_, differs := t.differs(o, nil)
	return !differs
}

// line returns a tree in one line; "" for nil.
func (t *tree) line() string {
	if t == nil {
		return ""
	}
	if t.kind == scalar {
		return t.text
	}
	return t.value().flowText()
}

// value returns what writes the tree once more.
func (t *tree) value() Value {
	v := Value{kind: t.kind, text: t.text, mode: typed, keys: t.keys}
	if t.kind == scalar {
		switch t.tag {
		case "!!null":
			v.mode, v.text = empty, ""
		case "!!str":
			v.mode = text
		}
		return v
	}
	for _, i := range t.items {
		v.items = append(v.items, i.value())
	}
	return v
}

// placeName words a path: the last key with the number of its entry.
func placeName(p Path) string {
	if len(p) == 0 {
		return "everything"
	}
	words := make([]string, 0, len(p))
	for _, s := range p {
		if i, err := strconv.Atoi(s); err == nil {
			s = strconv.Itoa(i + 1)
		}
		words = append(words, strings.ReplaceAll(s, "_", " "))
	}
	return strings.Join(words[max(0, len(words)-4):], " · ")
}

// Merge returns theirs with mine at each difference for which pick, given its path, says so.
//
// Errors: a *Refusal where a version cannot be read or edited, or no single file holds
// both.
func Merge(name string, base, mine, theirs []byte, pick func(path string) bool) ([]byte, error) {
	ds, ok := Compare(base, mine, theirs)
	f, err := Parse(name, theirs)
	if err != nil {
		return nil, err
	}
	my, err := Parse(name, mine)
	if err != nil || !ok {
		return nil, err
	}
	for _, d := range ds {
		if !pick(d.Path) {
			continue
		}
		p, err := ParsePath(d.Path)
		if err != nil {
			return nil, err
		}
		e := Remove(p)
		if n, steps := my.find(p); steps == len(p) {
			e = Set(p, n.tree().value())
		} else if !f.Has(p) {
			continue
		}
		if f, err = f.Apply(e); err != nil {
			return nil, err
		}
	}
	return f.Bytes(), nil
}
