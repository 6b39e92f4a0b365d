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

// Inside is what a bracket holds.
func (p piece) Inside() string {
	_, open := utf8.DecodeRuneInString(p.Text)
	_, end := utf8.DecodeLastRuneInString(p.Text)
	return strings.TrimSpace(p.Text[open : len(p.Text)-end])
}

// joinWords are the words that join two names, in the languages of supplier
// papers; in brackets too. MIT is one of them at times, see [pieces.joins].
var joinWords = map[string]bool{"and": true, "&": true, "+": true, "et": true, "und": true, "y": true,
	"e": true, "with": true, "or": true, "and/or": true, "plus": true, "containing": true, "oder": true,
	"ou": true, "avec": true, "con": true, "och": true, "og": true, "aka": true, "a.k.a.": true}

// marks are signs that say nothing of the substance.
const marks = "®™©*†‡§¹²³"

// dashes join two names where they stand between spaces: Phenoxyethanol – Glycerin.
const dashes = "-–—=\\"

var closing = map[rune]rune{'(': ')', '[': ']', '{': '}', '（': '）'}

// brackets are those that may be closed.
const brackets = "([{（"

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
		switch sign, bracket := p.rest[:size], p.bracket(); {
		case unicode.IsSpace(r):
			p.take(space, strings.TrimSuffix(p.rest, strings.TrimLeftFunc(p.rest, unicode.IsSpace)))
		case bracket != "":
			kind := Bracket
			if p.joins(piece{Bracket, bracket}.Inside(), p.rest[len(bracket):]) {
				kind = Joint
			}
			p.take(kind, bracket)
		case strings.ContainsRune(marks, r), sign != string(r), // no letter of UTF-8
			r == '.' && strings.TrimSpace(p.rest[size:]) == "":
			p.take(Mark, sign)
		default:
			if joint := p.joint(r); joint != "" {
				p.take(Joint, joint)
			} else {
				p.take(Text, p.word())
			}
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

// take makes a piece of the head of the rest.
func (p *pieces) take(kind pieceKind, head string) {
	if kind == Text && !p.atEdge() {
		p.list[len(p.list)-1].Text += head
	} else {
		p.list = append(p.list, piece{kind, head})
	}
	p.rest = strings.TrimPrefix(p.rest, head)
}

// atEdge says whether a name could end before the rest.
func (p *pieces) atEdge() bool {
	return len(p.list) == 0 || p.list[len(p.list)-1].Kind != Text
}

// bracket is the bracket of its own at the head of the rest; "" where it is not
// closed, or belongs to the text around it.
func (p *pieces) bracket() string {
	bracket := closed(p.rest)
	behind := strings.TrimPrefix(p.rest, bracket)
	next, _ := utf8.DecodeRuneInString(behind)
	free := behind == "" || unicode.IsSpace(next) || strings.ContainsRune(",;/&+*®™.)", next) ||
		closing[next] != 0
	if !free || strings.HasPrefix(behind, ".") && strings.TrimSpace(behind) != "." {
		return ""
	}
	return bracket
}

// closed is the bracket that a text begins with; "" for none, or one that is never closed.
func closed(text string) string {
	open, _ := utf8.DecodeRuneInString(text)
	end, isBracket := closing[open]
	if !isBracket {
		return ""
	}
	depth := 0
	for i, r := range text {
		switch r {
		case open:
			depth++
		case end:
			if depth--; depth == 0 {
				return text[:i+utf8.RuneLen(end)]
			}
		}
	}
	return ""
}

// joint is the joint at the head of the rest; "" for none.
func (p *pieces) joint(r rune) string {
	sign := p.rest[:utf8.RuneLen(r)]
	switch r {
	case ';', '|', '•', '·', '/', '⁄', '\\':
		return sign
	case ',': // not between digits: 1,2-hexanediol
		if next, _ := utf8.DecodeRuneInString(p.rest[1:]); !unicode.IsDigit(next) || p.atEdge() ||
			!endsInDigit(p.list) {
			return sign
		}
	case '&', '+':
		if web := "&amp;"; strings.HasPrefix(p.rest, web) && p.rest != web {
			return web
		}
		if p.free(sign) || p.betweenWords() {
			return sign
		}
	case ':':
		if !p.atEdge() && p.spaceBehind(sign) {
			return sign
		}
	}
	if len(p.list) == 0 {
		return ""
	}
	if strings.ContainsRune(dashes, r) && p.free(sign) {
		return sign
	}
	if i := strings.IndexFunc(p.rest, unicode.IsSpace); i >= 0 && p.atEdge() && !p.besideJoint() &&
		p.joins(p.rest[:i], p.rest[i:]) && !eNumber.MatchString(p.rest) {
		return p.rest[:i]
	}
	return ""
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
		strings.TrimLeft(next[0], ",;/+&|.)") == next[0]
}

// besideJoint says whether a joint stands close before the rest: the MIT of CMIT/MIT
// 3:1 is a name, and no German word. There is a piece before the rest.
func (p *pieces) besideJoint() bool { return p.list[len(p.list)-1].Kind == Joint }

// free says whether a sign at the head of the rest stands alone between spaces.
func (p *pieces) free(sign string) bool { return p.atEdge() && (p.spaceBehind(sign) || p.rest == sign) }

func (p *pieces) spaceBehind(sign string) bool {
	next, _ := utf8.DecodeRuneInString(strings.TrimPrefix(p.rest, sign))
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
	before, after := p.list[len(p.list)-1].Text, p.rest[1:]
	return len(before)-len(strings.TrimRightFunc(before, unicode.IsLetter)) >= shortestWord &&
		len(after)-len(strings.TrimLeftFunc(after, unicode.IsLetter)) >= shortestWord
}

// eNumber matches the number of a food additive, whose letter joins nothing: E 211.
var eNumber = pattern.New(`^[eE]\s+\d`)

func endsInDigit(list []piece) bool {
	last, _ := utf8.DecodeLastRuneInString(list[len(list)-1].Text)
	return unicode.IsDigit(last)
}

// word is the text at the head of the rest, up to a space, a joint or a mark that is in
// no bracket; a letter at least.
func (p *pieces) word() string {
	depth := 0
	for i, r := range p.rest {
		switch {
		case depth == 0 && i > 0 && (unicode.IsSpace(r) || strings.ContainsRune(marks+";|•·⁄,/&+.:\\", r)):
			return p.rest[:i]
		case closed(p.rest[i:]) != "":
			depth++
		case depth > 0 && strings.ContainsRune(")]}）", r):
			depth--
		}
	}
	return p.rest
}

// trim takes spaces and marks from both ends.
func trim(pieces []piece) []piece {
	blank := func(p piece) bool { return p.Kind == space || p.Kind == Mark }
	switch last := len(pieces) - 1; {
	case last < 0:
	case blank(pieces[0]):
		return trim(pieces[1:])
	case blank(pieces[last]):
		return trim(pieces[:last])
	}
	return pieces
}

func withoutMarks(pieces []piece) []piece {
	return slices.DeleteFunc(slices.Clone(pieces), func(p piece) bool { return p.Kind == Mark })
}

// trimJoints takes the joints beside a name from both ends too.
func trimJoints(pieces []piece) []piece {
	pieces = trim(pieces)
	switch last := len(pieces) - 1; {
	case last < 0:
	case joins(pieces[0]):
		return trimJoints(pieces[1:])
	case joins(pieces[last]):
		return trimJoints(pieces[:last])
	}
	return pieces
}

// joins says whether a piece is a joint of signs, not a word.
func joins(p piece) bool {
	return p.Kind == Joint && strings.Contains(",;/:"+dashes, p.Text)
}
