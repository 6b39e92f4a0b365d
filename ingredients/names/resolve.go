package names

import (
	"slices"
	"strings"

	"gallipot/ingredients/namelist"
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

// attempt is the outcome of reading one name that joins nothing.
type attempt struct {
	names  []Named // one, or several of which it is one
	within []Named // what a bracket names besides
	asks   []Ask
}

func (r *Resolver) resolve(printed, cas, ec string) Reading {
	reading := Reading{Printed: printed}
	pieces := Read(printed)
	if a, ok := r.one(pieces); ok {
		reading.Names, reading.Within, reading.Asks = a.names[:1], a.within, a.asks
		if len(a.names) > 1 {
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
	r.byNumber(&reading, cas, ec)
	return reading
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
	n.Plant = r.words.plantOf(plain)
	n.CI = colourIndex(n.Name)
	return n
}

func namesOf(list []Named) []string {
	var out []string
	for _, n := range list {
		out = appendNew(out, n.Name)
	}
	return out
}

func textOf(pieces []piece) string {
	var b strings.Builder
	for _, p := range pieces {
		b.WriteString(p.Text)
	}
	return b.String()
}

// one reads a text as the name of one substance: as a whole, then without what
// says nothing of the substance, then by its brackets. A name of a prohibited
// substance with brackets is read by them where they leave nothing to ask.
func (r *Resolver) one(pieces []piece) (attempt, bool) {
	pieces = trim(pieces)
	if len(pieces) == 0 {
		return attempt{}, false
	}
	if a, ok := r.lookUp(textOf(pieces)); ok {
		return r.mark(a, pieces), true
	}
	rest, nano := dropNano(withoutMarks(pieces))
	rest = trim(rest)
	a, ok := r.lookUp(textOf(rest))
	if !ok {
		a, ok = r.qualified(rest)
	}
	if !ok {
		a, ok = r.bracketed(rest)
	}
	if !ok {
		a, ok = r.glued(rest)
	}
	if !ok || len(a.asks)+len(a.within) > 0 {
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
// inventory.
func (r *Resolver) lookUp(text string) (attempt, bool) {
	if f, ok := r.whole(text); ok {
		return attempt{names: f.names}, true
	}
	if other, differs := r.words.respelled(text); differs {
		if f, ok := r.whole(other); ok {
			for i := range f.names {
				f.names[i].alsoAll(text)
			}
			return attempt{names: f.names}, true
		}
	}
	return attempt{}, false
}

// qualified reads a name with words around it that say how and not what, taking
// one after another until what is left is a name. Where several had to go, those at
// the head alone may do with fewer: Organic Aluminum Acetate Solution.
func (r *Resolver) qualified(pieces []piece) (attempt, bool) {
	a, n, ok := r.without(pieces, r.words.dropOne)
	if n < 2 {
		return a, ok
	}
	if fewer, m, also := r.without(pieces, r.words.dropHead); also && m < n {
		return fewer, true
	}
	return a, ok
}

// without takes words with drop until a list has what is left, and counts them.
func (r *Resolver) without(pieces []piece, drop func([]piece) ([]piece, string, bool)) (a attempt, n int, ok bool) {
	var words []string
	for rest := trim(pieces); ; {
		less, word, ok := drop(rest)
		if !ok {
			return attempt{}, len(words), false
		}
		rest, words = less, append(words, word)
		if a, ok := r.lookUp(textOf(rest)); ok {
			for i := range a.names {
				a.names[i].Qualifiers = append(a.names[i].Qualifiers, words...)
			}
			return a, len(words), true
		}
	}
}

// segments cuts a text at its joints so that as few parts as possible are left,
// each a name of its own. It fails where no cut makes all parts names; then list
// has the parts that are.
func (r *Resolver) segments(pieces []piece) (list []attempt, texts []string, ok bool) {
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
		return nil, nil, false
	}
	return r.cover(parts, joints)
}

const longestSegment = 6 // joints inside one name of a list

// cover finds the fewest names that cover all parts; failing that, the most parts.
func (r *Resolver) cover(parts [][]piece, joints []piece) ([]attempt, []string, bool) {
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
			case len(trim(seg)) == 0 && to-from == 1: // nothing between two joints
				s.names--
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
	var texts []string
	for to := n; to > 0; to = best[to].from {
		if a := best[to].read; a != nil {
			list = append(list, *a)
			texts = append(texts, textOf(trim(parts[best[to].from])))
		}
	}
	slices.Reverse(list)
	slices.Reverse(texts)
	return list, texts, best[n].unknown == 0 && len(list) > 0
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

// merged makes one reading of several names of one substance.
func merged(list []attempt) attempt {
	a := attempt{names: list[0].names[:1]}
	for _, o := range list {
		a.asks, a.within = append(a.asks, o.asks...), append(a.within, o.within...)
		for _, n := range o.names {
			a.names[0].alsoAll(n.Name)
			a.names[0].alsoAll(n.Also...)
			a.names[0].Nano = a.names[0].Nano || n.Nano
			if a.names[0].CI == "" {
				a.names[0].CI = n.CI
			}
		}
	}
	return a
}

// joined reads a text of several parts into the reading; false where no part is
// a name.
func (r *Resolver) joined(reading *Reading, pieces []piece) bool {
	pieces = withoutMarks(pieces)
	list, _, all := r.segments(pieces)
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
		reading.Asks = append([]Ask{{Code: AskSeveral, Name: reading.Printed, Others: namesOf(distinct)}}, reading.Asks...)
	default:
		reading.Names = []Named{r.asPrinted(pieces)}
		reading.Within = append(reading.Within, distinct...)
		reading.Asks = append([]Ask{{Code: AskPart, Name: reading.Printed, Others: namesOf(distinct)}}, reading.Asks...)
	}
	return true
}

func trim(pieces []piece) []piece {
	blank := func(p piece) bool { return p.Kind == space || p.Kind == Mark }
	for len(pieces) > 0 && blank(pieces[0]) {
		pieces = pieces[1:]
	}
	for len(pieces) > 0 && blank(pieces[len(pieces)-1]) {
		pieces = pieces[:len(pieces)-1]
	}
	return pieces
}

func withoutMarks(pieces []piece) []piece {
	return slices.DeleteFunc(slices.Clone(pieces), func(p piece) bool { return p.Kind == Mark })
}

// dropNano takes the mark of a nano form from a name: (nano), [nano], or the word
// at its head or end.
func dropNano(pieces []piece) ([]piece, bool) {
	nano := false
	isNano := func(text string) bool {
		k := namelist.Key(text)
		return k == "nano" || k == "nanoform" || k == "nanomaterial"
	}
	out := slices.DeleteFunc(slices.Clone(pieces), func(p piece) bool {
		if p.Kind == Bracket && isNano(p.Inside()) {
			nano = true
			return true
		}
		return false
	})
	out = trim(out)
	for i, p := range out {
		if p.Kind == Text && isNano(p.Text) && len(out) > 1 && (i == 0 || i == len(out)-1) {
			return trim(slices.Delete(out, i, i+1)), true
		}
	}
	return out, nano
}
