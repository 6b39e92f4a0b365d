package edit

// flowInsert writes an entry into a list or group in brackets.
func (f *File) flowInsert(n *node, i int, text string) ([]change, error) {
	if n.bare {
		return nil, refuse("odd-layout", n.start)
	}
	switch {
	case len(n.vals) == 0:
		return []change{{span: span{n.start + 1, n.start + 1}, text: text}}, nil
	case i < len(n.vals):
		at := f.entry(n, i).from
		return []change{{span: span{at, at}, text: text + ", "}}, nil
	}
	last := f.behind(n, len(n.vals)-1)
	return []change{{span: span{last, last}, text: ", " + text}}, nil
}

// entry returns the bytes of entry i of a list or group in brackets.
func (f *File) entry(n *node, i int) span {
	if n.kind == mapping {
		return span{n.keys[i].start, n.vals[i].end}
	}
	return span{n.vals[i].start, n.vals[i].end}
}

// behind returns the end of entry i, with the space of a key that has no value.
func (f *File) behind(n *node, i int) int {
	end := n.vals[i].end
	if n.vals[i].blank() && f.at(end) == ' ' {
		end++
	}
	return end
}

// flowRemove takes an entry out of brackets, with the comma behind it or, from the last
// one, the comma before it.
func (f *File) flowRemove(n *node, i int) []change {
	e := f.entry(n, i)
	switch {
	case i+1 < len(n.vals):
		next := f.entry(n, i+1).from
		if line := f.lineEnd(e.from); line < next { // what follows stands on another line
			comma := f.skip(e.to) + 1
			if f.firstInLine(e.from) && f.skipSpaces(comma) == f.lineEnd(comma) {
				return []change{f.withoutLines(e.from, comma)}
			}
			next = comma
		}
		return []change{{span: span{e.from, next}}}
	case i > 0:
		return []change{{span: span{f.behind(n, i-1), e.to}}}
	}
	return []change{{span: e}}
}
