package source

import (
	"fmt"
	"slices"
	"strings"

	"go.yaml.in/yaml/v3"

	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
	"gallipot/ingredients/pattern"
)

// Reader walks one [Source] and collects everything it finds wrong, so that one
// run shows all of it. A value that is absent or wrong reads as its zero value;
// only the finding tells the two apart, hence no figure may be computed from a
// file with a finding that says Unread.
//
// A reader is written as a list of keys:
//
//	r := NewReader(src)
//	if m, ok := r.Root("raw material sheet"); ok {
//		m.Need("name", "name: Decyl glucoside solution")
//		sheet.Name = m.At("name").Text()
//		m.At("supplier").In("supplier", "{name: …}", func(m *Mapping) { … })
//		m.Done()
//	}
//	return r.Findings()
type Reader struct {
	Src      *Source
	root     *yaml.Node
	findings []finding.Finding
}

// NewReader parses a source.
func NewReader(src *Source) *Reader {
	r := &Reader{Src: src}
	r.root, r.findings = src.parse()
	return r
}

// Source returns the file being read.
func (r *Reader) Source() *Source { return r.Src }

// Findings returns what was found so far, by place and without doubles.
//
// Of a file with very many, the first are listed, and the last of them says how
// many more there are.
func (r *Reader) Findings() []finding.Finding {
	fs := SortFindings(r.findings)
	if more := len(fs) - maxFileFindings; more > 0 {
		fs = fs[:maxFileFindings]
		fs[maxFileFindings-1].More = int32(more)
		fs[maxFileFindings-1].Unread = true
	}
	return fs
}

// maxFileFindings is how many findings of one file are listed.
const maxFileFindings = 100

// Report adds a finding.
func (r *Reader) Report(f finding.Finding) { r.findings = append(r.findings, f) }

// Stop adds a finding of kind stop that says the file cannot be read as it
// stands.
func (r *Reader) Stop(code, form string, pos exact.Pos, subject string, values finding.Values) {
	r.Report(r.Src.stop(code, form, pos, values).On(subject))
}

// Root returns the outermost group of keys, or false when the file does not
// hold one. The caller calls Done on it.
func (r *Reader) Root(what string) (*Mapping, bool) {
	if r.root == nil {
		return nil, false
	}
	v := Node{r: r, n: r.root, name: what}
	if v.n.Kind != yaml.MappingNode {
		r.Stop(codeWrongType, "root", v.Pos(), what, finding.With().Flag(v.n.Kind == yaml.ScalarNode &&
			strings.Contains(v.n.Value, ":"), "no-space"))
		return nil, false
	}
	return v.mapping(what), true
}

// SortFindings returns the findings by file, line and column, without doubles.
// Findings at one place stay in the order given.
func SortFindings(fs []finding.Finding) []finding.Finding {
	out := slices.Clone(fs)
	slices.SortStableFunc(out, func(a, b finding.Finding) int {
		switch {
		case a.Pos.Before(b.Pos):
			return -1
		case b.Pos.Before(a.Pos):
			return 1
		}
		return 0
	})
	return slices.CompactFunc(out, func(a, b finding.Finding) bool {
		return a.Code == b.Code && a.Pos == b.Pos && a.Key() == b.Key()
	})
}

// Node is one value of a file with the name it goes by: its key, or its number
// in a list. The zero Node is an absent value; every method of it returns a
// zero value and reports nothing.
type Node struct {
	r    *Reader
	n    *yaml.Node
	key  *yaml.Node // nil for a list entry
	name string
}

// Present says whether the value is there; an alias, which is refused
// elsewhere, is not.
func (v Node) Present() bool { return v.n != nil && v.n.Kind != yaml.AliasNode }

// Name returns the key of the value, or what it is in a list.
func (v Node) Name() string { return v.name }

// Pos returns the place of the value, or of its key where nothing is typed.
func (v Node) Pos() exact.Pos {
	switch {
	case v.n == nil:
		return exact.Pos{}
	case v.key != nil && v.untyped():
		return v.r.Src.pos(v.key)
	}
	return v.r.Src.pos(v.n)
}

// KeyPos returns the place of the key, or of the value in a list.
func (v Node) KeyPos() exact.Pos {
	if v.key == nil {
		return v.Pos()
	}
	return v.r.Src.pos(v.key)
}

// untyped says whether nothing at all stands behind the key.
func (v Node) untyped() bool {
	return v.n.Kind == yaml.ScalarNode && v.n.Value == "" && v.n.Style == 0
}

func (v Node) isNull() bool { return v.n.Kind == yaml.ScalarNode && v.n.Tag == "!!null" }

// Stop adds a finding of kind stop about the value.
func (v Node) Stop(code, form string, values finding.Values) {
	v.r.Stop(code, form, v.Pos(), v.name, values)
}

// StopWith is Stop with something the program can do about it.
func (v Node) StopWith(code, form string, values finding.Values, do finding.Action) {
	v.r.Report(v.r.Src.stop(code, form, v.Pos(), values).On(v.name).With(do))
}

// Each calls f for every entry of a list. what names one entry; example is a
// list as it can be typed.
func (v Node) Each(what, example string, f func(Node)) {
	if !v.Present() || v.emptyValue() {
		return
	}
	if v.n.Kind != yaml.SequenceNode {
		if v.n.Kind == yaml.ScalarNode {
			example = "[" + Clip(v.n.Value) + "]"
		}
		v.Stop(codeWrongType, "list", finding.With().Term("found", kindTerm(v.n), nil).
			Quote("write", v.name+": "+example))
		return
	}
	for i, n := range v.n.Content {
		e := Node{r: v.r, n: n, name: fmt.Sprintf("%s %d", what, i+1)}
		if e.Present() && !e.emptyValue() {
			f(e)
		}
	}
}

// EachIn calls f for every entry of a list of groups, and reports the keys f did
// not ask for.
func (v Node) EachIn(what, example string, f func(*Mapping)) {
	v.Each(what, "["+example+"]", func(e Node) { e.In(what, example, f) })
}

// In calls f for a group of keys, and reports the keys f did not ask for.
func (v Node) In(what, example string, f func(*Mapping)) {
	if !v.Present() || v.emptyValue() {
		return
	}
	if v.n.Kind != yaml.MappingNode {
		if v.key != nil {
			example = v.name + ": " + v.asGroup(example)
		}
		v.Stop(codeWrongType, "group", finding.With().Term("found", kindTerm(v.n), nil).Quote("write", example))
		return
	}
	m := v.mapping(what)
	f(m)
	m.Done()
}

// figureWithUnit is a figure with the word behind it.
var figureWithUnit = pattern.New(`^([0-9]+(?:\.[0-9]+)?) ?([a-zA-Z]+)$`)

// asGroup writes a figure with a unit, such as 75 ml, as {ml: 75} where the
// example has the unit as a key; for anything else it returns the example.
func (v Node) asGroup(example string) string {
	m := figureWithUnit.FindStringSubmatch(v.n.Value)
	if v.n.Kind != yaml.ScalarNode || m == nil {
		return example
	}
	unit := strings.ToLower(m[2])
	if !strings.Contains(example, "{"+unit+": ") {
		return example
	}
	return "{" + unit + ": " + m[1] + "}"
}

// IsGroup says whether the value is a group of keys.
func (v Node) IsGroup() bool { return v.Present() && v.n.Kind == yaml.MappingNode }

// IsList says whether the value is a list.
func (v Node) IsList() bool { return v.Present() && v.n.Kind == yaml.SequenceNode }

// Len returns the number of entries of a list; 0 for anything else.
func (v Node) Len() int {
	if !v.IsList() {
		return 0
	}
	return len(v.n.Content)
}

// kindTerm names what a maker typed.
func kindTerm(n *yaml.Node) string {
	switch n.Kind {
	case yaml.SequenceNode:
		return "a-list"
	case yaml.MappingNode:
		return "a-group"
	}
	return "a-value"
}

// Mapping is a group of keys. It remembers which keys were asked for; Done
// reports the others.
type Mapping struct {
	R     *Reader
	what  string // a sheet, a formula line …
	Place exact.Pos
	pairs []Node
	flow  bool
	taken []bool   // of pairs, by the reader or by EachKey
	asked []string // by the reader
}

// mapping lists the pairs of a group and reports keys that stand twice or are
// no words.
func (v Node) mapping(what string) *Mapping {
	m := &Mapping{R: v.r, what: what, Place: v.r.Src.pos(v.n), flow: v.n.Style&yaml.FlowStyle != 0}
	m.pairs = make([]Node, 0, len(v.n.Content)/2)
	first := make(map[string]*yaml.Node, len(v.n.Content)/2)
	for i := 0; i+1 < len(v.n.Content); i += 2 {
		k, n := v.n.Content[i], v.n.Content[i+1]
		if k.Kind == yaml.AliasNode || isMerge(k) {
			continue
		}
		pos := v.r.Src.pos(k)
		if k.Kind != yaml.ScalarNode || k.Value == "" {
			v.r.Stop(codeWrongType, "key", pos, what, finding.With().Term("found", kindTerm(k), nil))
			continue
		}
		// of a number that a comma cut, perhaps; two may be the same
		part := Node{n: n}.untyped() && commaParts.MatchString(k.Value)
		if f := first[k.Value]; f != nil && !(part && m.flow) {
			v.r.Stop(CodeDuplicateKey, "", pos, Clip(k.Value), finding.With().Name("what", what).Count("line", f.Line))
			continue
		}
		first[k.Value] = k
		m.pairs = append(m.pairs, Node{r: v.r, n: n, key: k, name: k.Value})
	}
	m.taken = make([]bool, len(m.pairs))
	if m.flow {
		m.joinCommas()
	}
	return m
}

// commaParts are what a decimal comma leaves behind it in brackets, where it
// starts the next key: the 9 of 0,9 or the 0-9 of 5,0-9,0.
var commaParts = pattern.New(`^[0-9]+( ?%?( ?[-–] ?<?[0-9]+)?( ?(%|ppm|mg/kg))?)?$`)

// joinCommas reports numbers that a decimal comma cut in two. What stands before
// the comma is then no value, so that nothing else is said about it.
func (m *Mapping) joinCommas() {
	for i := 1; i < len(m.pairs); i++ {
		v, p := &m.pairs[i-1], m.pairs[i]
		if !endsInDigit(v.n) || v.n.Style != 0 || !p.untyped() || !commaParts.MatchString(p.name) {
			continue
		}
		parts, to := []string{v.n.Value, p.name}, i+1
		for to < len(m.pairs) && m.pairs[to].untyped() && commaParts.MatchString(m.pairs[to].name) {
			parts = append(parts, m.pairs[to].name)
			to++
		}
		if err := exact.AskedAbout(strings.Join(parts, ",")); err != nil {
			v.Failed(CodeBadNumber, err) // 1.000,5: as it is said of it in quotes
		} else {
			m.cutByComma(*v, p, strings.Join(parts, "."))
		}
		v.n = &yaml.Node{Kind: yaml.AliasNode, Line: v.n.Line, Column: v.n.Column}
		for j := i; j < to; j++ {
			m.taken[j] = true
		}
	}
}

// cutByComma reports a number of which a decimal comma made a value and the next key.
func (m *Mapping) cutByComma(v, next Node, whole string) {
	values := finding.With().Name("key", v.name)
	switch {
	case exact.MayBeThousands(v.n.Value, next.name):
		values = values.Quote("write", v.name+": "+whole).Quote("or", v.name+": "+v.n.Value+next.name)
	case strings.Trim(whole, "0123456789.") != "":
		values = values.Quote("write", v.name+": "+exact.InQuotes(whole))
	default:
		values = values.Quote("write", v.name+": "+whole)
	}
	m.R.Stop(codeUnknownKey, "comma", next.KeyPos(), Clip(next.name), values.Name("what", m.what))
}

// Pos returns the place of the group: its bracket or its first key.
func (m *Mapping) Pos() exact.Pos { return m.Place }

// Reader returns the reader the group belongs to.
func (m *Mapping) Reader() *Reader { return m.R }

// At returns the value of a key; the zero Node when it is absent.
func (m *Mapping) At(key string) Node {
	if !slices.Contains(m.asked, key) {
		m.asked = append(m.asked, key)
	}
	for i, p := range m.pairs {
		if p.name == key {
			m.taken[i] = true
			return p
		}
	}
	return Node{}
}

// Filled is At for a form that is filled in bit by bit: a key that stands there
// without a value counts as absent and is no mistake.
func (m *Mapping) Filled(key string) Node {
	if v := m.At(key); !v.Blank() {
		return v
	}
	return Node{}
}

// Need reports a key that has to be there and is not. line is what can be
// pasted.
func (m *Mapping) Need(key, line string) {
	if m.At(key).n != nil {
		return
	}
	m.R.Stop(codeMissingKey, "", m.Place, key, finding.With().Name("what", m.what).Quote("add", line))
}

// EachKey calls f for every key that was not asked for yet, in the order typed,
// where the maker chooses the keys.
func (m *Mapping) EachKey(f func(Node)) {
	for i, p := range m.pairs {
		if m.taken[i] {
			continue
		}
		m.taken[i] = true
		if p.Present() && !p.emptyValue() {
			f(p)
		}
	}
}

// Elsewhere says of keys that are none of this group where they belong.
func (m *Mapping) Elsewhere(place string, keys ...string) {
	for i, p := range m.pairs {
		if !m.taken[i] && slices.Contains(keys, p.name) && !slices.Contains(m.asked, p.name) {
			m.taken[i] = true
			m.R.Stop(codeUnknownKey, "elsewhere", p.KeyPos(), p.name, finding.With().Name("what", m.what).
				Name("place", place))
		}
	}
}

// Done reports the keys nobody asked for.
func (m *Mapping) Done() {
	for i, p := range m.pairs {
		if m.taken[i] {
			continue
		}
		m.R.Stop(codeUnknownKey, "", p.KeyPos(), Clip(p.name), m.unknown(p).Name("what", m.what))
	}
}

func endsInDigit(n *yaml.Node) bool {
	return n.Kind == yaml.ScalarNode && n.Value != "" && exact.Digits(n.Value[len(n.Value)-1:])
}

// unknown says what a key that means nothing may be meant as.
func (m *Mapping) unknown(p Node) finding.Values {
	if before, _, ok := strings.Cut(p.name, ":"); ok && slices.Contains(m.asked, before) {
		return finding.With().Name("before", before)
	}
	if near := Nearest(p.name, m.asked); near != "" {
		return finding.With().Name("near", near)
	}
	return finding.With().Names("keys", m.asked).Flag(m.flow && p.isNull() && p.untyped(), "cut-off")
}
