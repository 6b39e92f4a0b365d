package names

import (
	"slices"
	"strings"
)

// Resolve says what a printed name means. cas and ec are the numbers printed
// beside it, "" for none. It never fails: what is not understood comes back under
// the printed name, with what must be asked.
func (r *Resolver) Resolve(printed, cas, ec string) Reading {
	q := question{printed, cas, ec}
	r.mu.Lock()
	reading, met := r.memory[q]
	r.mu.Unlock()
	if met {
		return reading
	}
	reading = r.resolve(printed, cas, ec)
	r.mu.Lock()
	if len(r.memory) >= remembered {
		clear(r.memory)
	}
	r.memory[q] = reading
	r.mu.Unlock()
	return reading
}

func (r *Resolver) resolve(printed, cas, ec string) Reading {
	reading := Reading{Printed: printed}
	pieces := Read(printed)
	if a, ok := r.one(pieces); ok && !r.isJoined(a, pieces) {
		reading.Names, reading.Within, reading.Asks = a.names[:1], a.within, a.asks
		switch {
		case a.all:
			reading.Names = a.names
			reading.Asks = append(reading.Asks, Ask{Code: AskSeveral, Name: printed, Others: namesOf(a.names)})
		case len(a.names) > 1:
			reading.Within = append(a.within, a.names...)
			reading.Names = []Named{r.asPrinted(pieces)}
			reading.Asks = append(reading.Asks, Ask{Code: AskWhich, Name: printed, Others: namesOf(a.names)})
		}
		return reading
	}
	if r.joined(&reading, pieces) {
		return reading
	}
	reading.Names = []Named{r.asPrinted(pieces)}
	list := []number{{cas, ec}}
	if cas == "" && ec == "" {
		_, list = withNumbers(printed)
	}
	r.byNumber(&reading, list)
	if !reading.First().Known() {
		reading.Within = append(reading.Within, r.hidden(printed)...)
	}
	return reading
}

// isJoined says whether a text that only its bracket makes a name holds several names
// with joints between them: Aqua and Saussurea Lappa (costus) root oil, or BHA (salicylic
// acid) / Salicylic Acid, which are one.
func (r *Resolver) isJoined(a attempt, pieces []piece) bool {
	if !a.byBracket() {
		return false
	}
	list, _ := r.segments(withoutMarks(pieces))
	return len(list) > 1 && !slices.ContainsFunc(list, attempt.byBracket)
}

// asPrinted is the substance of a text that is in no list.
func (r *Resolver) asPrinted(pieces []piece) Named {
	rest, nano := dropNano(pieces)
	n := Named{Name: strings.Join(strings.Fields(textOf(rest)), " "), Source: inNone, Nano: nano}
	if n.Name == "" {
		n.Name = strings.TrimSpace(textOf(pieces))
	}
	plain := withoutBrackets(n.Name)
	n.alsoAll(plain)
	n.Plant = r.words.plantIn(n.Name)
	n.CI = colourIndex(n.Name)
	return n
}

// one reads a text as the name of one substance: as a whole, then without what
// says nothing of the substance, then by its brackets. A name of a prohibited
// substance with brackets is read by them where they leave nothing to ask.
func (r *Resolver) one(pieces []piece) (attempt, bool) {
	pieces = trim(pieces)
	if a, ok := r.lookUp(textOf(pieces)); ok {
		return r.mark(a, pieces), true
	}
	rest, nano := dropNano(withoutMarks(pieces))
	a, ok := r.lookUp(textOf(rest))
	if !ok {
		a, ok = r.qualified(rest)
	}
	if !ok {
		a, ok = r.salted(rest)
	}
	if !ok {
		a, ok = r.bracketed(rest)
	}
	if !ok {
		a, ok = r.glued(rest)
	}
	if !ok {
		a, ok = r.byPrintedNumber(rest)
	}
	if !ok || len(a.asks) > 0 {
		if f, listed := r.prohibited(textOf(rest)); listed {
			a, ok = attempt{names: f.names}, true
		}
	}
	if ok && nano {
		for i := range a.names {
			a.names[i].Nano = true
		}
	}
	return a, ok
}

// mark notes the nano form of a name that is listed with it.
func (r *Resolver) mark(a attempt, pieces []piece) attempt {
	if _, nano := dropNano(pieces); nano {
		for i := range a.names {
			a.names[i].Nano = true
		}
	}
	return a
}

// lookUp asks the lists for a text as it stands, then in the spelling of the
// inventory, then by the official form of a German salt.
func (r *Resolver) lookUp(text string) (attempt, bool) {
	if f, ok := r.whole(text); ok {
		return attempt{names: f.names, all: f.all}, true
	}
	for _, other := range []string{respelled(text), r.words.salts.german(text)} {
		if f, ok := r.whole(other); ok {
			for i := range f.names {
				f.names[i].alsoAll(text)
			}
			return attempt{names: f.names}, true
		}
	}
	return attempt{}, false
}

// bracketed reads a name by what stands outside and inside its brackets.
func (r *Resolver) bracketed(pieces []piece) (attempt, bool) {
	var outside []piece
	var inside []string
	for _, p := range pieces {
		if p.Kind == Bracket {
			inside = append(inside, p.Inside())
		} else {
			outside = append(outside, p)
		}
	}
	if len(inside) == 0 {
		return attempt{}, false
	}
	if a, ok := r.listedWithBracket(pieces); ok {
		return a, true
	}
	outside = trim(outside)
	main, ok := r.plain(outside)
	if ok {
		for _, text := range inside {
			r.alias(&main, text, outside)
		}
		return main, true
	}
	outer := textOf(outside)
	for i, text := range inside {
		if outer != "" && r.words.streams[foldWords(text)] {
			continue // Distillates (petroleum), hydrotreated light: won from petroleum, not petroleum
		}
		in := r.readInside(text)
		if !in.isOne {
			continue
		}
		a := in.one
		a.names[0].alsoAll(outer)
		if outer != "" {
			a.asks = append(a.asks, Ask{Code: AskByBracket, Name: outer, Others: namesOf(a.names)})
			for _, n := range r.hidden(outer) { // Xyzol Hydroquinone (Water): no bracket hides it
				if !r.anySame(n, a.names) {
					a.within = append(a.within, n)
				}
			}
		}
		for _, other := range slices.Delete(slices.Clone(inside), i, i+1) {
			r.alias(&a, other, nil)
		}
		return a, true
	}
	return attempt{}, false
}

// listedWithBracket reads a name that a list has with its bracket, and a further
// bracket behind it: BHA (salicylic acid) (Salicylic Acid).
func (r *Resolver) listedWithBracket(pieces []piece) (attempt, bool) {
	last := len(pieces) - 1
	if pieces[last].Kind != Bracket {
		return attempt{}, false
	}
	head := trim(pieces[:last])
	a, ok := r.lookUp(textOf(head))
	if ok {
		r.alias(&a, pieces[last].Inside(), head)
	}
	return a, ok
}

// glued reads a name with a bracket set close: Aqua(Water). The name before it has
// to be known, for brackets are part of many chemical names.
func (r *Resolver) glued(pieces []piece) (attempt, bool) {
	text := textOf(pieces)
	open := strings.IndexAny(text, "([")
	if open <= 0 || !strings.ContainsAny(text[len(text)-1:], ")]") {
		return attempt{}, false
	}
	apart := Read(text[:open] + " " + text[open:])
	if _, ok := r.plain(trim(Read(text[:open]))); !ok {
		return attempt{}, false
	}
	return r.bracketed(apart)
}

// plain reads a text without brackets: as a whole, without qualifiers, or as
// several names of one substance.
func (r *Resolver) plain(pieces []piece) (attempt, bool) {
	if a, ok := r.lookUp(textOf(pieces)); ok {
		return a, true
	}
	if a, ok := r.qualified(pieces); ok {
		return a, true
	}
	if list, ok := r.segments(pieces); ok && len(r.distinct(list)) == 1 {
		return merged(list), true
	}
	return attempt{}, false
}

// alias reads a bracket beside a name that is known: the same substance under
// another name, a word about it, the plant's common name, or something else.
func (r *Resolver) alias(main *attempt, text string, outside []piece) {
	n := &main.names[0]
	if r.words.isQualifier(text) {
		n.Qualifiers = append(n.Qualifiers, text)
		return
	}
	if name, list := withNumbers(text); name == "" {
		r.checkNumbers(main, list)
		return
	}
	if n.CI == "" {
		n.CI = colourIndex(text)
	}
	in := r.readInside(text)
	inner, known := in.list, in.known
	switch {
	case known && len(main.names) == 1 && (r.allSame(*n, inner) || in.isOne && r.anySame(*n, inner)):
		for _, in := range inner {
			if r.same(*n, in) {
				n.alsoAll(in.Name)
				n.alsoAll(in.Also...)
			}
		}
		n.alsoAll(text)
	case known && len(main.names) > 1: // Iron Oxides (CI 77491): the bracket says which
		for _, m := range main.names {
			if !main.all && r.allSame(m, inner) {
				main.names = []Named{m}
				return
			}
		}
		others := slices.DeleteFunc(slices.Clone(inner), func(o Named) bool { return r.anySame(o, main.names) })
		if main.all && len(others) == 0 {
			return // one of a mixture, all of which is asked about
		}
		main.asks = append(main.asks, Ask{Code: AskBracket, Name: textOf(outside), Others: namesOf(inner)})
		main.names = append(main.names, others...)
	case r.commonName(*n, text, outside):
		n.alsoAll(text)
	case known:
		main.asks = append(main.asks, Ask{Code: AskBracket, Name: n.Name, Others: namesOf(inner)})
		main.within = append(main.within, inner...)
	default:
		main.asks = append(main.asks, Ask{Code: AskBracketUnknown, Name: n.Name, Others: []string{text}})
		main.within = append(main.within, r.hidden(text)...)
	}
}

func (r *Resolver) anySame(n Named, others []Named) bool {
	return slices.ContainsFunc(others, func(o Named) bool { return r.same(n, o) })
}

func (r *Resolver) allSame(n Named, others []Named) bool {
	return !slices.ContainsFunc(others, func(o Named) bool { return !r.same(n, o) })
}

// commonName says whether a bracket gives the common name of a plant or animal
// material: (Coconut) in Cocos Nucifera (Coconut) Oil. With the words behind the
// bracket it is a name of the same material or of none.
func (r *Resolver) commonName(n Named, text string, outside []piece) bool {
	if n.Plant == nil {
		return false
	}
	behind := r.words.materialWords(textOf(outside))
	if a, ok := r.lookUp(text + " " + behind); ok {
		return r.allSame(n, a.names)
	}
	for _, w := range strings.Fields(strings.ToLower(text)) {
		if !isLetters(w) {
			return false
		}
	}
	_, law := r.whole(text)
	return !law
}

// segments cuts a text at its joints so that as few parts as possible are left,
// each a name of its own. It fails where no cut makes all parts names; then list
// has the parts that are.
func (r *Resolver) segments(pieces []piece) (list []attempt, ok bool) {
	var parts [][]piece // text between joints
	var joints []piece
	part := []piece{}
	for _, p := range pieces {
		if p.Kind == Joint {
			parts, joints, part = append(parts, part), append(joints, p), []piece{}
		} else {
			part = append(part, p)
		}
	}
	parts = append(parts, part)
	if len(parts) < 2 {
		return nil, false
	}
	return r.cover(parts, joints)
}

const longestSegment = 6 // joints inside one name of a list

// cover finds the fewest names that cover all parts; failing that, the most parts.
func (r *Resolver) cover(parts [][]piece, joints []piece) ([]attempt, bool) {
	n := len(parts)
	type step struct {
		unknown, names, from int
		read                 *attempt
	}
	best := make([]step, n+1)
	for to := 1; to <= n; to++ {
		best[to] = step{unknown: 1 << 30}
		for from := max(0, to-longestSegment); from < to; from++ {
			seg := slices.Clone(parts[from])
			for k := from + 1; k < to; k++ {
				seg = append(append(seg, joints[k-1]), parts[k]...)
			}
			s := step{best[from].unknown, best[from].names + 1, from, nil}
			switch a, ok := r.one(seg); {
			case to-from > 1 && a.byBracket(): // the bracket belongs to one of the parts
				continue
			case len(trim(seg)) == 0 && to-from == 1: // nothing between two joints
			case ok:
				s.read = &a
			case to-from > 1:
				continue
			default:
				s.unknown++
			}
			if s.unknown < best[to].unknown || s.unknown == best[to].unknown && s.names < best[to].names {
				best[to] = s
			}
		}
	}
	var list []attempt
	for to := n; to > 0; to = best[to].from {
		if a := best[to].read; a != nil {
			list = append(list, *a)
		}
	}
	slices.Reverse(list)
	return list, best[n].unknown == 0 && len(list) > 0
}

// distinct returns the substances of several readings, each once.
func (r *Resolver) distinct(list []attempt) []Named {
	var out []Named
	for _, a := range list {
		for _, n := range a.names {
			if i := slices.IndexFunc(out, func(o Named) bool { return r.same(o, n) }); i >= 0 {
				out[i].alsoAll(n.Name)
				out[i].alsoAll(n.Also...)
				out[i].Nano = out[i].Nano || n.Nano
				continue
			}
			out = append(out, n)
		}
	}
	return out
}

// joined reads a text of several parts into the reading; false where no part is
// a name.
func (r *Resolver) joined(reading *Reading, pieces []piece) bool {
	pieces = withoutMarks(pieces)
	list, all := r.segments(pieces)
	if len(list) == 0 {
		return false
	}
	for _, a := range list {
		reading.Asks = append(reading.Asks, a.asks...)
		reading.Within = append(reading.Within, a.within...)
	}
	distinct := r.distinct(list)
	switch {
	case all && len(distinct) == 1:
		reading.Names = merged(list).names
	case all:
		reading.Names = distinct
		reading.Asks = append([]Ask{{Code: AskSeveral, Name: reading.Printed, Others: namesOf(distinct)}},
			reading.Asks...)
	default:
		reading.Names = []Named{r.asPrinted(pieces)}
		reading.Within = append(reading.Within, distinct...)
		for _, n := range r.hidden(reading.Printed) {
			if !r.anySame(n, distinct) {
				reading.Within = append(reading.Within, n)
			}
		}
		reading.Asks = append([]Ask{{Code: AskPart, Name: reading.Printed, Others: namesOf(distinct)}},
			reading.Asks...)
	}
	return true
}
