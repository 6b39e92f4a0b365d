package edit

import (
	"bytes"
	"slices"
	"strings"
)

// set replaces the value of entry i of a list or group.
func (f *File) set(parent *node, i int, v Value) ([]change, error) {
	old := parent.vals[i]
	switch {
	case old.blank():
		return f.fill(parent, i, v)
	case v.kind == scalar && v.mode == empty && old.kind == scalar:
		return f.emptied(parent, i), nil
	case old.kind == scalar && old.tall() && v.kind == scalar:
		return f.tallText(parent, old, v), nil
	case old.kind == scalar && v.kind == scalar:
		return []change{{span: span{old.start, old.end}, text: v.rewritten(old, parent.flow)}}, nil
	case old.flow || parent.flow || old.kind == scalar && !old.tall():
		return []change{{span: span{old.start, old.end}, text: v.inPlace(parent.flow)}}, nil
	}
	text := " " + v.inPlace(parent.flow) // a block goes up behind its colon or dash
	mark := parent.behind(i)
	if !f.firstInLine(old.start) {
		return []change{{span: span{old.start, old.end}, text: text[1:]}}, nil
	}
	from := mark
	if c := f.skipSpaces(mark); f.at(c) == '#' { // a comment behind the colon stays
		return []change{{span: span{from, from}, text: text},
			{span: span{f.lineEnd(mark), old.end}}}, nil
	}
	return []change{{span: span{from, old.end}, text: text}}, nil
}

func (v Value) inPlace(flow bool) string {
	if v.kind == scalar {
		return v.written(flow)
	}
	return v.flowText()
}

// tall says that a text is written with | or >.
func (n *node) tall() bool {
	return n.kind == scalar && n.end > n.start && n.style&(literal|folded) != 0
}

// tallText writes a text into the place of one written with | or >, at its indentation.
func (f *File) tallText(parent, old *node, v Value) []change {
	body := strings.TrimSuffix(v.text, "\n")
	if v.mode == empty || body == "" || strings.HasPrefix(body, " ") || strings.HasSuffix(body, "\n") ||
		!singleable(strings.ReplaceAll(body, "\n", "")) {
		return []change{{span: span{old.start, old.end}, text: v.written(parent.flow)}}
	}
	head := f.data[old.start:f.lineEnd(old.start)]
	sign := "|"
	if old.style&folded != 0 && !strings.Contains(body, "\n") {
		sign = ">"
	}
	if !strings.HasSuffix(v.text, "\n") {
		sign += "-"
	}
	if i := bytes.IndexAny(head, " \t"); i >= 0 { // a comment behind the sign
		sign += string(head[i:])
	}
	first := f.nextLine(old.start)
	for isBreak(f.at(first)) {
		first = f.nextLine(first)
	}
	indent := f.skipSpaces(first) - first
	return []change{{span: span{old.start, old.end}, text: sign + f.indented(body, indent)}}
}

func (f *File) indented(body string, indent int) string {
	var b strings.Builder
	for _, line := range strings.Split(body, "\n") {
		b.WriteString(f.eol)
		if line != "" {
			b.WriteString(strings.Repeat(" ", indent) + line)
		}
	}
	return b.String()
}

func (f *File) skipSpaces(i int) int {
	for isSpace(f.at(i)) {
		i++
	}
	return i
}

// behind returns the place behind the colon or dash of entry i; -1 where there is none.
func (n *node) behind(i int) int {
	if n.kind == list && n.marks[i] >= 0 {
		return n.marks[i] + 1
	}
	return n.marks[i]
}

// emptied takes the text of a value away: nothing is left where a single space stood
// before it, else the word null, so that a column of values stays one.
func (f *File) emptied(parent *node, i int) []change {
	old, mark := parent.vals[i], parent.behind(i)
	if mark < 0 || old.start != mark+1 || old.tall() || f.data[mark] != ' ' {
		return []change{{span: span{old.start, old.end}, text: "null"}}
	}
	from := old.start
	if !parent.flow && f.lineEnd(old.end) == old.end {
		from = mark
	}
	return []change{{span: span{from, old.end}}}
}

// fill writes a value behind a colon or dash that has none.
func (f *File) fill(parent *node, i int, v Value) ([]change, error) {
	if v.kind == scalar && v.mode == empty {
		return nil, nil
	}
	mark := parent.behind(i)
	if mark < 0 {
		return nil, refuse("odd-layout", parent.vals[i].start)
	}
	if parent.flow {
		at := mark
		if f.at(mark) == ' ' {
			at++
		}
		return []change{{span: span{at, at}, text: spaceBefore(f.at(at-1)) + v.inPlace(true)}}, nil
	}
	at := mark
	l := f.habits()
	var text string
	switch col := f.column(mark); {
	case v.kind == scalar:
		text = v.written(false)
	case l.oneLine(v, col) && !(parent.kind == mapping && v.long()):
		text = v.flowText()
	case parent.kind == mapping:
		return f.below(parent, i, v), nil
	default:
		text = v.flowText()
	}
	if f.at(mark) == ' ' {
		at++
	}
	return []change{{span: span{at, at}, text: spaceBefore(f.at(at-1)) + text}}, nil
}

func spaceBefore(b byte) string {
	if b == ' ' {
		return ""
	}
	return " "
}

// below writes a list or group on the lines under its key.
func (f *File) below(parent *node, i int, v Value) []change {
	l, col := f.habits(), f.column(parent.keys[i].start)
	at := f.lineEnd(parent.marks[i])
	if v.kind == list {
		return []change{{span: span{at, at}, text: l.br(col+l.dash) + l.list(v, col+l.dash)}}
	}
	return []change{{span: span{at, at}, text: l.br(col+2) + l.group(v, col+2)}}
}

// tail returns the end of the lines of a value in a block: with what stands behind it in
// its last line, and with the comments right below it that are deeper than col.
func (f *File) tail(n *node, col int) int {
	end := f.lineEnd(n.end)
	for next := f.nextLine(end); next < len(f.data); next = f.nextLine(next) {
		i := f.skipSpaces(next)
		if f.at(i) != '#' || i-next <= col {
			break
		}
		end = f.lineEnd(i)
	}
	return end
}

// head returns the start of a list entry with the comments directly above it, in the
// column of its dash.
func (f *File) head(dash int) int {
	if !f.firstInLine(dash) {
		return dash
	}
	start := dash
	for from := f.lineStart(dash); from > f.lines[0]; {
		from = f.lineStart(from - 1)
		i := f.skipSpaces(from)
		if f.at(i) != '#' || f.column(i) != f.column(dash) {
			break
		}
		start = i
	}
	return start
}

// insertKey writes a new key into a group.
func (f *File) insertKey(chain []*node, at []int, key string, v Value, here Path) ([]change, error) {
	n := chain[len(chain)-1]
	names := make([]string, len(n.keys))
	for i, k := range n.keys {
		names[i] = k.text
	}
	i := keyPlace(names, key, orderOf(f.Order, here))
	if n.flow {
		return f.flowInsert(n, i, keyText(key)+": "+v.inPlace(true))
	}
	col := f.column(n.start)
	text := f.habits().pair(key, v, col)
	if i == 0 {
		start := n.keys[0].start
		return []change{{span: span{start, start}, text: text + f.habits().br(col)}}, nil
	}
	end := f.tail(n.vals[i-1], col)
	return []change{{span: span{end, end}, text: f.habits().br(col) + text}}, nil
}

// insertItem writes a new entry into a list, the last node of the chain.
func (f *File) insertItem(chain []*node, i int, v Value, at []int) ([]change, error) {
	n := chain[len(chain)-1]
	if n.flow {
		if len(n.vals) == 0 && len(chain) > 1 && !v.short() {
			if parent := chain[len(chain)-2]; parent.kind == mapping && !parent.flow {
				k := at[len(chain)-2]
				cut := change{span: span{parent.marks[k], n.end}}
				return append(f.below(parent, k, List(v)), cut), nil
			}
		}
		return f.flowInsert(n, i, v.inPlace(true))
	}
	col := f.column(n.start)
	l := f.habits()
	flow := l.oneLine(v, col+2)
	for _, sister := range n.vals {
		if sister.kind == v.kind && v.kind != scalar && len(sister.vals) > 0 {
			flow = sister.flow
			break
		}
	}
	text := l.entry(v, col, flow)
	if i < len(n.vals) {
		start := f.head(n.marks[i])
		return []change{{span: span{start, start}, text: text + l.br(col)}}, nil
	}
	end := f.tail(n.vals[i-1], col)
	return []change{{span: span{end, end}, text: l.br(col) + text}}, nil
}

// long says that a list holds what is better read on lines of its own.
func (v Value) long() bool {
	return v.kind == list && slices.ContainsFunc(v.items, func(i Value) bool { return !i.short() })
}

// short says that a value may stand in a list in brackets.
func (v Value) short() bool { return v.kind == scalar && len(v.text) <= 30 }
