package names

import (
	"regexp"
	"slices"
	"strings"
)

// isQualifier says whether a text says how a substance is and not what it is:
// words of the table, and percentages and purities.
func (v *vocabulary) isQualifier(text string) bool {
	text = foldWords(text)
	if text == "" {
		return true
	}
	if v.qualifiers[text] != "" || isContent(text) {
		return true
	}
	for _, cut := range []string{",", ";", " and ", " "} {
		if parts := strings.Split(text, cut); len(parts) > 1 && allOf(parts, v.isQualifier) {
			return true
		}
	}
	return false
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
// >99.5%, 70% w/w, min. 98 %, E422.
func isContent(text string) bool {
	text = strings.TrimSpace(text)
	if n, ok := strings.CutPrefix(text, "e"); ok && len(n) >= 3 {
		n = strings.TrimLeft(n, " -")
		if len(n) >= 3 && strings.Trim(n[:3], "0123456789") == "" && strings.Trim(n[3:], "abcdefgiv()") == "" {
			return true
		}
	}
	for _, word := range []string{"w/w", "w/v", "v/v", "min.", "min", "max.", "max", "ca.", "approx.",
		"approx"} {
		text = strings.ReplaceAll(text, word, "")
	}
	return contentForm.MatchString(strings.TrimSpace(text))
}

// contentForm matches one content or one range of contents. A number before it is
// part of the name: CI 77820 99 %.
var contentForm = regexp.MustCompile(`^[<>≤≥=~±]*\s*\d+(?:[.,]\d+)?(?:\s*%?\s*(?:[-–]|to)\s*\d+(?:[.,]\d+)?)?\s*%$`)

// dropQualifiers takes all qualifiers from the head and the end of a name and its
// brackets, and returns what is left with the words taken.
func (v *vocabulary) dropQualifiers(pieces []piece) (rest []piece, taken []string) {
	rest = trim(pieces)
	for {
		less, word, ok := v.dropOne(rest)
		if !ok {
			return rest, taken
		}
		rest, taken = less, append(taken, word)
	}
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
func (r *Resolver) without(pieces []piece, drop func([]piece) ([]piece, string,
	bool)) (a attempt, n int, ok bool) {
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

// dropOne takes one qualifier: a bracket, words at the end, words at the head, a
// sign before the first word; the first of these that there is.
func (v *vocabulary) dropOne(pieces []piece) (rest []piece, taken string, ok bool) {
	for i, p := range pieces {
		if p.Kind == Bracket && v.isQualifier(p.Inside()) {
			rest = trimJoints(slices.Delete(slices.Clone(pieces), i, i+1))
			return rest, p.Inside(), len(rest) > 0
		}
	}
	last := len(pieces)
	most := min(2*v.longest-1, last-1)
	for n := 1; n <= most; n++ {
		if end := pieces[last-n:]; wordsOnly(end) && edge(pieces[last-n-1]) && v.isQualifier(textOf(end)) {
			if rest, ok = remainder(pieces[:last-n]); ok {
				return rest, textOf(end), true
			}
		}
	}
	if rest, taken, ok = v.dropHead(pieces); ok {
		return rest, taken, true
	}
	return v.dropPrefix(pieces)
}

// dropHead takes one qualifier from the head.
func (v *vocabulary) dropHead(pieces []piece) (rest []piece, taken string, ok bool) {
	most := min(2*v.longest-1, len(pieces)-1)
	for n := 1; n <= most; n++ {
		if head := pieces[:n]; wordsOnly(head) && edge(pieces[n]) && v.isQualifier(textOf(head)) {
			if rest, ok = remainder(pieces[n:]); ok {
				return rest, textOf(head), true
			}
		}
	}
	return pieces, "", false
}

// remainder is what is left beside a qualifier; it does not begin or end with a
// joint, for then the qualifier was part of a name: crude and refined coal tars.
func remainder(pieces []piece) ([]piece, bool) {
	rest := trimJoints(pieces)
	return rest, len(rest) > 0 && rest[0].Kind != Joint && rest[len(rest)-1].Kind != Joint
}

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
			rest[0] = piece{Text, pieces[0].Text[len(sign):]}
			return rest, sign, true
		}
	}
	return pieces, "", false
}

// edge says whether a name may end beside a piece.
func edge(p piece) bool { return p.Kind != Text }

func wordsOnly(pieces []piece) bool {
	for _, p := range pieces {
		if p.Kind == Bracket {
			return false
		}
	}
	return pieces[0].Kind == Text && pieces[len(pieces)-1].Kind == Text
}

func trimJoints(pieces []piece) []piece {
	for pieces = trim(pieces); len(pieces) > 0 && isComma(pieces[0]); pieces = trim(pieces[1:]) {
	}
	for len(pieces) > 0 && isComma(pieces[len(pieces)-1]) {
		pieces = trim(pieces[:len(pieces)-1])
	}
	return pieces
}

func isComma(p piece) bool {
	return p.Kind == Joint && (p.Text == "," || p.Text == ";" || p.Text == "/")
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
