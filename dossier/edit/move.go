package edit

import (
	"slices"

	"go.yaml.in/yaml/v3"
)

const (
	literal = yaml.LiteralStyle
	folded  = yaml.FoldedStyle
)

// part returns the bytes of entry i of a list that move with it.
func (f *File) part(n *node, i int) span {
	if n.flow {
		return span{n.vals[i].start, n.vals[i].end}
	}
	return span{f.head(n.marks[i]), f.tail(n.vals[i], f.column(n.start))}
}

// move gives an entry another index: the parts change places, what is between them stays.
func (f *File) move(n *node, from, to int) ([]change, error) {
	order := make([]int, len(n.vals))
	for i := range order {
		order[i] = i
	}
	order = slices.Insert(slices.Delete(order, from, from+1), to, from)
	var changes []change
	for i, j := range order {
		if i != j {
			p := f.part(n, j)
			changes = append(changes, change{span: f.part(n, i), text: string(f.data[p.from:p.to])})
		}
	}
	return changes, nil
}

// remove takes out the entry at the end of the indices; chain ends with its list or group.
func (f *File) remove(chain []*node, at []int) ([]change, error) {
	n, i := chain[len(chain)-1], at[len(at)-1]
	if n.bare {
		return nil, refuse("odd-layout", n.start)
	}
	if n.flow {
		return f.flowRemove(n, i), nil
	}
	start := n.marks[i]
	if n.kind == mapping {
		start = n.keys[i].start
	}
	if len(n.vals) == 1 {
		return f.removeOnly(chain, at, start)
	}
	end := f.tail(n.vals[i], f.column(n.start))
	if !f.firstInLine(start) {
		next := n.marks[1]
		if n.kind == mapping {
			next = n.keys[1].start
		}
		out := span{start, f.lineEnd(n.vals[i].end)}
		return []change{{span: span{start, next}, out: out}}, nil
	}
	return []change{f.withoutLines(start, end)}, nil
}

// withoutLines takes out whole lines, from that of start to that of end.
func (f *File) withoutLines(start, end int) change {
	cut := span{f.lineStart(start), f.nextLine(end)}
	if cut.to == len(f.data) && f.at(cut.to-1) != '\n' { // the file ends without a line end
		cut.from = f.before(cut.from)
	}
	return change{span: cut, out: cut}
}

// before returns the place before the line end that ends at i.
func (f *File) before(i int) int {
	if i > f.lines[0] && f.at(i-1) == '\n' {
		i--
		if i > f.lines[0] && f.at(i-1) == '\r' {
			i--
		}
	}
	return i
}

// removeOnly takes out the only entry of a list or group and leaves [] or {}.
func (f *File) removeOnly(chain []*node, at []int, start int) ([]change, error) {
	n := chain[len(chain)-1]
	text := "[]"
	if n.kind == mapping {
		text = "{}"
	}
	end := f.tail(n.vals[0], f.column(n.start))
	if len(chain) == 1 { // the root
		cut := f.withoutLines(start, end)
		line := span{cut.from, end}
		return []change{{span: line, text: text, out: line}}, nil
	}
	if !f.firstInLine(start) {
		return []change{{span: span{start, n.end}, text: text, out: span{n.end, f.lineEnd(n.end)}}}, nil
	}
	mark := chain[len(chain)-2].behind(at[len(at)-2])
	return []change{{span: span{mark, mark}, text: " " + text}, f.withoutLines(start, end)}, nil
}
