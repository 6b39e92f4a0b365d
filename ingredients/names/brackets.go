package names

import (
	"slices"
	"strings"
)

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
	if a, ok := r.slashed(pieces); ok {
		return a, true
	}
	for i, text := range inside {
		a, known := r.one(Read(text))
		if !known {
			continue
		}
		outer := textOf(outside)
		a.names[0].alsoAll(outer)
		if outer != "" {
			a.asks = append(a.asks, Ask{Code: AskByBracket, Name: outer, Others: namesOf(a.names)})
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
	if last < 3 || pieces[last].Kind != Bracket {
		return attempt{}, false
	}
	head := trim(pieces[:last])
	if head[len(head)-1].Kind != Bracket {
		return attempt{}, false
	}
	a, ok := r.lookUp(textOf(head))
	if ok {
		r.alias(&a, pieces[last].Inside(), head)
	}
	return a, ok
}

// slashed reads names of one substance with a slash between them, where a bracket
// belongs to one of them.
func (r *Resolver) slashed(pieces []piece) (attempt, bool) {
	var list []attempt
	from := 0
	for i := 0; i <= len(pieces); i++ {
		if i < len(pieces) && (pieces[i].Kind != Joint || pieces[i].Text != "/") {
			continue
		}
		if from == 0 && i == len(pieces) {
			return attempt{}, false
		}
		a, ok := r.one(pieces[from:i])
		if !ok {
			return attempt{}, false
		}
		list, from = append(list, a), i+1
	}
	if len(r.distinct(list)) != 1 {
		return attempt{}, false
	}
	return merged(list), true
}

// glued reads a name with a bracket set close: Aqua(Water). The name before it has
// to be known, for brackets are part of many chemical names.
func (r *Resolver) glued(pieces []piece) (attempt, bool) {
	text := textOf(pieces)
	open := strings.IndexAny(text, "([")
	if open <= 0 || text[open-1] == ' ' || !strings.ContainsAny(text[len(text)-1:], ")]") {
		return attempt{}, false
	}
	apart := Read(text[:open] + " " + text[open:])
	if _, ok := r.plain(trim(Read(text[:open]))); !ok || len(apart) == 0 {
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
	if list, _, ok := r.segments(pieces); ok && len(list) > 0 && len(r.distinct(list)) == 1 {
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
	if n.CI == "" {
		n.CI = colourIndex(text)
	}
	inner, choice, known := r.oneOrMore(text)
	switch {
	case known && len(main.names) == 1 && (r.allSame(*n, inner) || choice && r.anySame(*n, inner)):
		for _, in := range inner {
			if r.same(*n, in) {
				n.alsoAll(in.Name)
				n.alsoAll(in.Also...)
			}
		}
		n.alsoAll(text)
	case known && len(main.names) > 1: // Iron Oxides (CI 77491): the bracket says which
		for _, m := range main.names {
			if r.allSame(m, inner) {
				main.names = []Named{m}
				return
			}
		}
		main.asks = append(main.asks, Ask{Code: AskBracket, Name: textOf(outside), Others: namesOf(inner)})
		main.names = append(main.names, inner...)
	case r.commonName(*n, text, outside):
		n.alsoAll(text)
	case known:
		main.asks = append(main.asks, Ask{Code: AskBracket, Name: n.Name, Others: namesOf(inner)})
		main.within = append(main.within, inner...)
	default:
		main.asks = append(main.asks, Ask{Code: AskBracketUnknown, Name: n.Name, Others: []string{text}})
	}
}

// oneOrMore reads the text of a bracket: one substance, one of several (choice),
// or several names.
func (r *Resolver) oneOrMore(text string) (list []Named, choice, ok bool) {
	pieces := Read(text)
	if a, ok := r.one(pieces); ok {
		return a.names, len(a.names) > 1, true
	}
	parts, _, ok := r.segments(pieces)
	for _, a := range parts {
		list = append(list, a.names...)
	}
	return list, false, ok
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
		return r.allSame(n, a.names) || a.names[0].Plant == nil
	}
	for _, w := range strings.Fields(strings.ToLower(text)) {
		if !isLetters(w) {
			return false
		}
	}
	_, law := r.whole(text)
	return !law
}

func isLetters(w string) bool {
	return strings.Trim(strings.ToLower(w), "abcdefghijklmnopqrstuvwxyzàâäéèêëîïôöûüç-'’.,") == ""
}
