package names

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"gallipot/ingredients/pattern"
)

// pieceKind says what a piece of a printed name is.
type pieceKind int

// The kinds of pieces.
const (
	Text    pieceKind = iota // letters, digits and what stands among them
	Bracket                  // a bracket of its own with what is in it: (Water), [nano]
	Joint                    // what may join two names: (and), &, +, /, a comma
	Mark                     // signs that say nothing of the substance: *, ®, ™, a full stop at the end
	space
)

// piece is a run of a printed name. The texts of all pieces, one after another,
// are the printed name.
type piece struct {
	Kind pieceKind
	Text string
}

// Inside is what a bracket holds, or the text of any other piece.
func (p piece) Inside() string {
	if p.Kind != Bracket {
		return p.Text
	}
	_, open := utf8.DecodeRuneInString(p.Text)
	_, end := utf8.DecodeLastRuneInString(p.Text)
	return strings.TrimSpace(p.Text[open : len(p.Text)-end])
}

// joinWords are the words that join two names, in the languages of supplier
// papers; in brackets too.
var joinWords = map[string]bool{"and": true, "&": true, "+": true, "et": true, "und": true, "y": true,
	"e": true, "with": true, "or": true, "and/or": true, "plus": true, "containing": true, "oder": true,
	"ou": true, "mit": true, "avec": true, "con": true, "och": true, "og": true, "aka": true, "a.k.a.": true}

// marks are signs that say nothing of the substance.
const marks = "®™©*†‡§¹²³"

// dashes join two names where they stand between spaces: Phenoxyethanol – Glycerin.
const dashes = "-–—=\\"

var closing = map[rune]rune{'(': ')', '[': ']', '{': '}', '（': '）'}

// Read cuts a printed name into pieces. A bracket is a piece of its own where it
// stands free; one set close to letters, such as that of
// 2-(4-tert-butylbenzyl)propionaldehyde, is part of the text.
//
// A text of more than 4,000 bytes is no name, nor is one with brackets in brackets eight deep:
// it comes back as one piece.
func Read(printed string) []piece {
	if len(printed) > longestRead || deeper(printed, deepestRead) {
		return []piece{{Text, printed}}
	}
	p := pieces{rest: printed, mixed: strings.ToUpper(printed) != printed}
	for p.rest != "" {
		r, size := utf8.DecodeRuneInString(p.rest)
		switch {
		case unicode.IsSpace(r):
			p.take(space, len(p.rest)-len(strings.TrimLeftFunc(p.rest, unicode.IsSpace)))
		case closing[r] != 0 && p.atEdge() && p.bracket() > 0:
			n := p.bracket()
			kind := Bracket
			if p.joins(strings.TrimSpace(p.rest[size:n-utf8.RuneLen(closing[r])]), p.rest[n:]) {
				kind = Joint
			}
			p.take(kind, n)
		case strings.ContainsRune(marks, r), r == utf8.RuneError && size == 1:
			p.take(Mark, size)
		case r == '.' && strings.TrimSpace(p.rest[size:]) == "":
			p.take(Mark, size)
		case p.joint(r) > 0:
			p.take(Joint, p.joint(r))
		default:
			p.take(Text, p.word())
		}
	}
	return p.list
}

// Bounds of what is read into pieces. The longest name of the lists has 2,046 bytes, the
// deepest brackets of one are seven.
const (
	longestRead = 4000
	deepestRead = 8
)

// deeper says whether more than so many brackets of a text are open at once.
func deeper(text string, most int) bool {
	open := 0
	for _, r := range text {
		switch {
		case closing[r] != 0:
			if open++; open > most {
				return true
			}
		case open > 0 && strings.ContainsRune(")]}）", r):
			open--
		}
	}
	return false
}

type pieces struct {
	list  []piece
	rest  string
	mixed bool // the text has small letters
}

func (p *pieces) take(kind pieceKind, n int) {
	if last := len(p.list) - 1; kind == Text && last >= 0 && p.list[last].Kind == Text {
		p.list[last].Text += p.rest[:n]
	} else {
		p.list = append(p.list, piece{kind, p.rest[:n]})
	}
	p.rest = p.rest[n:]
}

// atEdge says whether a name could end before the rest.
func (p *pieces) atEdge() bool {
	return len(p.list) == 0 || p.list[len(p.list)-1].Kind != Text
}

// bracket is the length of a bracket of its own at the head of the rest; 0 where
// it is not closed, is empty, or belongs to the text around it.
func (p *pieces) bracket() int {
	n := closed(p.rest)
	if n == 0 {
		return 0
	}
	next, _ := utf8.DecodeRuneInString(p.rest[n:])
	free := n == len(p.rest) || unicode.IsSpace(next) || strings.ContainsRune(",;/&+*®™.)", next) ||
		closing[next] != 0
	if !free || strings.HasPrefix(p.rest[n:], ".") && strings.TrimSpace(p.rest[n+1:]) != "" {
		return 0
	}
	return n
}

// closed is the length of the bracket that a text begins with; 0 where it is never
// closed.
func closed(text string) int {
	open, _ := utf8.DecodeRuneInString(text)
	depth := 0
	for i, r := range text {
		if r == open {
			depth++
		} else if r == closing[open] {
			if depth--; depth == 0 {
				return i + utf8.RuneLen(r)
			}
		}
	}
	return 0
}

// joint is the length of a joint at the head of the rest; 0 for none.
func (p *pieces) joint(r rune) int {
	switch r {
	case ';', '|', '•', '·', '/', '⁄':
		return utf8.RuneLen(r)
	case ',': // not between digits: 1,2-hexanediol
		if next, _ := utf8.DecodeRuneInString(p.rest[1:]); unicode.IsDigit(next) && !p.atEdge() &&
			endsInDigit(p.list) {
			return 0
		}
		return 1
	case '&', '+':
		if strings.HasPrefix(p.rest, "&amp;") && len(p.rest) > len("&amp;") {
			return len("&amp;") // of a web page
		}
		if p.free(1) || p.betweenWords() {
			return 1
		}
		return 0
	case ':':
		if !p.atEdge() && len(p.list) > 0 && p.spaceAt(1) {
			return 1
		}
		return 0
	}
	if n := utf8.RuneLen(r); strings.ContainsRune(dashes, r) {
		if p.free(n) && len(p.list) > 0 || r == '\\' {
			return n
		}
		return 0
	}
	if p.atEdge() && !p.besideJoint() {
		word := p.rest
		if i := strings.IndexFunc(word, unicode.IsSpace); i >= 0 && p.joins(word[:i], word[i:]) &&
			len(p.list) > 0 && !eNumber.MatchString(word) {
			return i
		}
	}
	return 0
}

// joins says whether a word joins two names. MIT is a preservative and, in small
// letters, a German word: in a text that has small letters the capitals are the name,
// and in any text the word behind which nothing stands to be joined.
func (p *pieces) joins(word, rest string) bool {
	low := strings.ToLower(word)
	if low != "mit" {
		return joinWords[low]
	}
	next := strings.Fields(rest)
	return !(p.mixed && word == "MIT") && len(next) > 0 && !joinWords[strings.ToLower(next[0])] &&
		!strings.ContainsAny(next[0][:1], ",;/+&|.)")
}

// besideJoint says whether a joint stands close before the rest: the MIT of CMIT/MIT
// 3:1 is a name, and no German word.
func (p *pieces) besideJoint() bool { return len(p.list) > 0 && p.list[len(p.list)-1].Kind == Joint }

// free says whether n bytes at the head of the rest stand alone between spaces.
func (p *pieces) free(n int) bool { return p.atEdge() && (p.spaceAt(n) || len(p.rest) == n) }

func (p *pieces) spaceAt(n int) bool {
	next, _ := utf8.DecodeRuneInString(p.rest[n:])
	return unicode.IsSpace(next)
}

// shortestWord is how many letters a word needs on each side of a sign set close to
// be joined by it: Glycerin+Phenoxyethanol, but not FD&C Red.
const shortestWord = 4

// betweenWords says whether the sign at the head of the rest is set close between
// two words.
func (p *pieces) betweenWords() bool {
	if p.atEdge() {
		return false
	}
	before := strings.TrimRightFunc(p.list[len(p.list)-1].Text, unicode.IsLetter)
	after := strings.TrimLeftFunc(p.rest[1:], unicode.IsLetter)
	return len(p.list[len(p.list)-1].Text)-len(before) >= shortestWord &&
		len(p.rest)-1-len(after) >= shortestWord
}

// eNumber matches the number of a food additive, whose letter joins nothing: E 211.
var eNumber = pattern.New(`^[eE]\s+\d`)

func endsInDigit(list []piece) bool {
	last, _ := utf8.DecodeLastRuneInString(list[len(list)-1].Text)
	return unicode.IsDigit(last)
}

// word is the length of the text at the head of the rest, up to a space, a joint,
// a mark or a bracket of its own.
func (p *pieces) word() int {
	depth := 0
	for i, r := range p.rest {
		if i == 0 {
			if closing[r] != 0 && closed(p.rest) > 0 {
				depth++
			}
			continue
		}
		switch {
		case unicode.IsSpace(r) && depth <= 0, strings.ContainsRune(marks+";|•·⁄", r) && depth <= 0:
			return i
		case strings.ContainsRune(",/&+.:\\", r) && depth <= 0:
			return i
		case closing[r] != 0:
			if closed(p.rest[i:]) > 0 {
				depth++
			}
		case r == ')' || r == ']' || r == '}' || r == '）':
			depth--
		}
	}
	return len(p.rest)
}

// trim takes spaces and marks from both ends.
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

// trimJoints takes the joints beside a name from both ends too.
func trimJoints(pieces []piece) []piece {
	for pieces = trim(pieces); len(pieces) > 0 && joins(pieces[0]); pieces = trim(pieces[1:]) {
	}
	for len(pieces) > 0 && joins(pieces[len(pieces)-1]) {
		pieces = trim(pieces[:len(pieces)-1])
	}
	return pieces
}

// joins says whether a piece is a joint of signs, not a word.
func joins(p piece) bool {
	return p.Kind == Joint && strings.Contains(",;/:"+dashes, p.Text)
}
