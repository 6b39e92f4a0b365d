package names

import (
	"strings"
	"unicode"
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
	for _, word := range []string{"w/w", "w/v", "v/v", "min.", "min", "max.", "max", "ca.", "approx.", "approx"} {
		text = strings.ReplaceAll(text, word, "")
	}
	text = strings.TrimSpace(text)
	return strings.HasSuffix(text, "%") && strings.IndexFunc(text, unicode.IsDigit) >= 0 &&
		strings.Trim(text, "0123456789.,-–<>=≥≤~±% ") == ""
}

// dropQualifiers takes qualifiers from the head and the end of a name and its
// brackets, and returns what is left with the words taken.
func (v *vocabulary) dropQualifiers(pieces []Piece) (rest []Piece, taken []string) {
	for _, p := range pieces {
		if p.Kind == Bracket && v.isQualifier(p.Inside()) {
			taken = append(taken, p.Inside())
			continue
		}
		rest = append(rest, p)
	}
	rest = trim(rest)
	for again := true; again && len(rest) > 0; {
		again = false
		for n := min(2*v.longest-1, len(rest)-1); n > 0 && !again; n-- {
			if head := rest[:n]; wordsOnly(head) && v.isQualifier(textOf(head)) && edge(rest[n]) {
				taken, rest, again = append(taken, textOf(head)), trimJoints(rest[n:]), true
			} else if end := rest[len(rest)-n:]; wordsOnly(end) && v.isQualifier(textOf(end)) && edge(rest[len(rest)-n-1]) {
				taken, rest, again = append(taken, textOf(end)), trimJoints(rest[:len(rest)-n]), true
			}
		}
		if !again && len(rest) > 0 {
			again = v.dropPrefix(rest, &taken)
		}
	}
	return rest, taken
}

// dropPrefix takes a sign of an optical form from the head of the first word:
// d-Limonene, (+)-Limonene.
func (v *vocabulary) dropPrefix(rest []Piece, taken *[]string) bool {
	if rest[0].Kind != Text {
		return false
	}
	low := strings.ToLower(rest[0].Text)
	for _, sign := range []string{"d-", "l-", "dl-", "d,l-", "d/l-", "(+)-", "(-)-", "(±)-", "(+/-)-", "(r)-", "(s)-", "r-", "s-", "(+)", "(-)", "(±)"} {
		if strings.HasPrefix(low, sign) && len(low) > len(sign)+2 {
			*taken = append(*taken, sign)
			rest[0] = Piece{Text, rest[0].Text[len(sign):]}
			return true
		}
	}
	return false
}

// edge says whether a name may end beside a piece.
func edge(p Piece) bool { return p.Kind != Text }

func wordsOnly(pieces []Piece) bool {
	for _, p := range pieces {
		if p.Kind == Bracket {
			return false
		}
	}
	return pieces[0].Kind == Text && pieces[len(pieces)-1].Kind == Text
}

func trimJoints(pieces []Piece) []Piece {
	for pieces = trim(pieces); len(pieces) > 0 && isComma(pieces[0]); pieces = trim(pieces[1:]) {
	}
	for len(pieces) > 0 && isComma(pieces[len(pieces)-1]) {
		pieces = trim(pieces[:len(pieces)-1])
	}
	return pieces
}

func isComma(p Piece) bool {
	return p.Kind == Joint && (p.Text == "," || p.Text == ";" || p.Text == "/")
}

// materialWords returns the words of part and preparation that end a name.
func (v *vocabulary) materialWords(name string) string {
	words := strings.Fields(name)
	from := len(words)
	for from > 1 {
		for _, w := range strings.FieldsFunc(strings.ToLower(words[from-1]), func(r rune) bool { return r == '/' }) {
			if _, ok := v.plant[w]; !ok {
				return strings.Join(words[from:], " ")
			}
		}
		from--
	}
	return strings.Join(words[from:], " ")
}
