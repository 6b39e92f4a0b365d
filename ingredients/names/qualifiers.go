package names

import (
	"slices"
	"strings"

	"gallipot/ingredients/pattern"
)

// isQualifier says whether a text says how a substance is and not what it is:
// words of the table, and percentages and purities.
func (v *vocabulary) isQualifier(text string) bool {
	text = strings.TrimRight(foldWords(text), ": ")
	if text == "" {
		return true
	}
	if v.qualifiers[text] != "" || v.qualifiers[text+"."] != "" || isContent(text) || v.isEdition(text) {
		return true
	}
	for _, cut := range []string{",", ";", " and ", " "} {
		if parts := strings.Split(text, cut); len(parts) > 1 && allOf(parts, v.isQualifier) {
			return true
		}
	}
	return false
}

// isEdition says whether a text is a book of grades with the number of its edition:
// USP 32, Ph. Eur. 10.0.
func (v *vocabulary) isEdition(text string) bool {
	book := strings.TrimRight(text, digits+". ")
	return book != text && (v.qualifiers[book] == "grade" || v.qualifiers[book+"."] == "grade")
}

func allOf(parts []string, is func(string) bool) bool {
	for _, p := range parts {
		if strings.TrimSpace(p) == "" || !is(p) {
			return false
		}
	}
	return true
}

// isContent says whether a text is a content, a purity or an E number: 99 %,
// >99.5%, 70% w/w, min. 98 %, 37 percent, E422.
func isContent(text string) bool {
	if n, ok := strings.CutPrefix(text, "e"); ok && len(n) >= 3 {
		n = strings.TrimLeft(n, " -")
		if len(n) >= 3 && strings.Trim(n[:3], digits) == "" && strings.Trim(n[3:], "abcdefgiv()") == "" {
			return true
		}
	}
	for _, word := range []string{"w/w", "w/v", "v/v", "min.", "min", "max.", "max", "ca.", "approx.",
		"approx"} {
		text = strings.ReplaceAll(text, word, "")
	}
	for _, word := range []string{"percent", "per cent", "prozent", "vol.%", "vol%", "pct"} {
		text = strings.ReplaceAll(text, word, "%")
	}
	text = strings.TrimSpace(text)
	return contentForm.MatchString(text) || ratioOrPotency.MatchString(text)
}

// contentForm matches one content or one range of contents. A number before it is
// part of the name: CI 77820 99 %.
var contentForm = pattern.New(`^[<>≤≥=~±]*\s*\d+(?:[.,]\d+)?(?:\s*%?\s*(?:[-–]|to)\s*\d+(?:[.,]\d+)?)?\s*%$`)

// ratioOrPotency matches the ratio of a mixture and a potency: 3:1, 1.0 MIU/g,
// 1 700 000 IU.
var ratioOrPotency = pattern.New(`^(?:\d+:\d+|\d[\d.,\s]*\s*(?:m|mio\.?|million)?\s*i\.?[ue]\.?\s*(?:/\s*g)?)$`)

// dropQualifiers takes all qualifiers from the head and the end of a name and its
// brackets.
func (v *vocabulary) dropQualifiers(pieces []piece) []piece {
	s := unqualified{rest: trim(pieces)}
	for {
		less := v.drops(s)
		if len(less) == 0 {
			return s.rest
		}
		s = less[0]
	}
}

// qualified reads a name with words around it that say how and not what. It takes
// away as few of them as make a name, and of these the shortest: Organic Aluminum
// Acetate Solution is organic, and no solution.
func (r *Resolver) qualified(pieces []piece) (attempt, bool) {
	states := []unqualified{{rest: trim(pieces)}}
	met := map[string]bool{}
	for len(states) > 0 && len(met) < mostUnqualified {
		var next []unqualified
		for _, s := range states {
			for _, less := range r.words.drops(s) {
				if text := textOf(less.rest); !met[text] {
					met[text] = true
					next = append(next, less)
				}
			}
		}
		slices.SortStableFunc(next, func(a, b unqualified) int {
			return len(textOf(b.rest)) - len(textOf(a.rest))
		})
		for _, s := range next {
			if a, ok := r.lookUp(textOf(s.rest)); ok {
				for i := range a.names {
					a.names[i].Qualifiers = append(a.names[i].Qualifiers, s.taken...)
				}
				return a, true
			}
		}
		states = next
	}
	return r.ground(pieces)
}

// mostUnqualified bounds how many ways a name is tried without its qualifiers.
const mostUnqualified = 60

// unqualified is what is left of a name without the words taken.
type unqualified struct {
	rest  []piece
	taken []string
}

// ground reads the name of a substance that is no plant with the word powder behind
// it; behind that of a plant, powder is the preparation.
func (r *Resolver) ground(pieces []piece) (attempt, bool) {
	rest := trim(pieces)
	last := len(rest) - 1
	if last < 1 || rest[last].Kind != Text || r.words.plant[foldWords(rest[last].Text)].class != "powder" {
		return attempt{}, false
	}
	word := rest[last].Text
	rest = trimJoints(rest[:last])
	a, ok := r.lookUp(textOf(rest))
	if !ok {
		a, ok = r.qualified(rest)
	}
	if !ok || r.words.plantIn(textOf(rest)) != nil || a.names[0].Plant != nil {
		return attempt{}, false
	}
	for i := range a.names {
		a.names[i].Qualifiers = append(a.names[i].Qualifiers, word)
	}
	return a, true
}

// drops returns every way to take one qualifier away: a bracket, words at the end,
// words at the head, a sign before the first word.
func (v *vocabulary) drops(s unqualified) []unqualified {
	pieces := s.rest
	var out []unqualified
	add := func(rest []piece, word string) {
		if rest = trimJoints(rest); len(rest) > 0 && rest[0].Kind != Joint && rest[len(rest)-1].Kind != Joint {
			out = append(out, unqualified{rest, append(slices.Clone(s.taken), word)})
		}
	}
	for i, p := range pieces {
		if p.Kind == Bracket && v.isQualifier(p.Inside()) {
			add(slices.Delete(slices.Clone(pieces), i, i+1), p.Inside())
		}
	}
	last := len(pieces)
	for n := 1; n <= min(longestDrop, last); n++ {
		if end := textOf(pieces[last-n:]); v.isQualifier(end) {
			add(pieces[:last-n], end)
		}
		head := textOf(pieces[:n])
		if v.isQualifier(head) || listNumber.MatchString(head) {
			add(pieces[n:], head)
		}
	}
	if rest, sign, ok := v.dropPrefix(pieces); ok {
		add(rest, sign)
	}
	return out
}

// longestDrop is how many pieces, spaces among them, are taken away at once at most: those
// of a content such as 0.5 - 1 % w/w. No qualifier of the table has as many.
const longestDrop = 11

// listNumber matches the number of a line in a list: 1. or 1).
var listNumber = pattern.New(`^\d{1,2}[.)]$`)

// dropPrefix takes a sign of an optical form from the head of the first word:
// d-Limonene, (+)-Limonene.
func (v *vocabulary) dropPrefix(pieces []piece) (rest []piece, taken string, ok bool) {
	if len(pieces) == 0 || pieces[0].Kind != Text {
		return pieces, "", false
	}
	low := strings.ToLower(pieces[0].Text)
	for _, sign := range []string{"d-", "l-", "dl-", "d,l-", "d/l-", "(+)-", "(-)-", "(±)-", "(+/-)-", "(r)-",
		"(s)-", "r-", "s-", "(+)", "(-)", "(±)"} {
		if strings.HasPrefix(low, sign) && len(low) > len(sign)+2 {
			rest = slices.Clone(pieces)
			rest[0].Text = pieces[0].Text[len(sign):]
			return rest, sign, true
		}
	}
	return pieces, "", false
}

// materialWords returns the words of part and preparation that end a name.
func (v *vocabulary) materialWords(name string) string {
	words := strings.Fields(name)
	from := len(words)
	for from > 1 {
		for _, w := range strings.FieldsFunc(strings.ToLower(words[from-1]),
			func(r rune) bool { return r == '/' }) {
			if _, ok := v.plant[w]; !ok {
				return strings.Join(words[from:], " ")
			}
		}
		from--
	}
	return strings.Join(words[from:], " ")
}
