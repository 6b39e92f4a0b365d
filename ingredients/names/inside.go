package names

import "slices"

// inside is what the text of a bracket is read as.
type inside struct {
	one    attempt
	isOne  bool    // one substance, or one of several
	list   []Named // the substances it names
	choice bool    // the list is of several of which it is one
	known  bool    // every part of the text is a name
}

// rememberedInside bounds the memory of brackets, which are up to longestRead bytes long.
const rememberedInside = 2000

// readInside reads the text of a bracket, each text once: the reader comes to a bracket again
// for each way to part the name that it stands in, and to one in that bracket for each of those
// again. Without a memory the work would grow by a factor for each bracket in a bracket.
func (r *Resolver) readInside(text string) inside {
	r.mu.Lock()
	in, met := r.brackets[text]
	r.mu.Unlock()
	if !met {
		in = r.newInside(text)
		r.mu.Lock()
		if len(r.brackets) >= rememberedInside {
			clear(r.brackets)
		}
		r.brackets[text] = in
		r.mu.Unlock()
	}
	in.one.names = slices.Clone(in.one.names) // the reader of the name around it adds to them
	return in
}

func (r *Resolver) newInside(text string) inside {
	var in inside
	pieces := Read(text)
	if in.one, in.isOne = r.one(pieces); in.isOne {
		in.one = in.one.fixed()
		in.list, in.choice, in.known = in.one.names, len(in.one.names) > 1, true
		return in
	}
	parts, _, ok := r.segments(pieces)
	in.known = ok
	for _, a := range parts {
		in.list = append(in.list, a.fixed().names...)
	}
	in.list = slices.Clip(in.list)
	return in
}

// fixed is the attempt with lists of its own that have no room behind: what is appended to a
// copy of it no other sees.
func (a attempt) fixed() attempt {
	fixed := func(list []Named) []Named {
		list = slices.Clip(slices.Clone(list))
		for i := range list {
			list[i].Also, list[i].Qualifiers = slices.Clip(list[i].Also), slices.Clip(list[i].Qualifiers)
		}
		return list
	}
	a.names, a.within, a.asks = fixed(a.names), fixed(a.within), slices.Clip(a.asks)
	return a
}
