package claims

import (
	"errors"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"gallipot/calc/law/rows"
)

// ClaimToken is one word of a text, in lower case, with its place.
type ClaimToken struct {
	Word     string
	from, to int // bytes
}

// ClaimTokens cuts a text into words: runs of letters or digits, and the sign
// for per cent. A hyphen parts words, an apostrophe does not.
func ClaimTokens(text string) []ClaimToken {
	var out []ClaimToken
	var room [32]byte
	word, open := room[:0], -1
	finish := func(at int) {
		if open >= 0 {
			w := text[open:at]
			if w != string(word) {
				w = string(word)
			}
			out, word, open = append(out, ClaimToken{w, open, at}), word[:0], -1
		}
	}
	var digit bool
	for i, r := range text {
		switch {
		case unicode.IsLetter(r), unicode.IsDigit(r):
			if open >= 0 && unicode.IsDigit(r) != digit {
				finish(i) // "24h" reads as "24 h"
			}
			digit = unicode.IsDigit(r)
			if open < 0 {
				open = i
			}
			word = appendFolded(word, r)
		case r == '\'' || r == '’':
		case r == '%':
			finish(i)
			out = append(out, ClaimToken{"%", i, i + 1})
		default:
			finish(i)
		}
	}
	finish(len(text))
	return out
}

// appendFolded adds a letter in lower case without its accent, as far as label English has
// them.
func appendFolded(word []byte, r rune) []byte {
	switch r = unicode.ToLower(r); r {
	case 'à', 'á', 'â', 'ä':
		return append(word, 'a')
	case 'è', 'é', 'ê', 'ë':
		return append(word, 'e')
	case 'œ':
		return append(word, "oe"...)
	case 'æ':
		return append(word, "ae"...)
	}
	return utf8.AppendRune(word, r)
}

// ClaimPattern is a wording to look for.
//
//	heal                      the word and its simple inflections
//	=cure                     this very word
//	anti*                     any word that begins so
//	treat/relieve             one of several
//	treat ... eczema          with up to four words between
//	~paraben*                 said to be absent: free from, without, no, zero, 0 %, … or followed by free
type ClaimPattern struct {
	Steps  []claimStep
	absent bool
}

// claimStep is one word of a pattern, or one of several.
type claimStep struct {
	words []claimWord
	gap   bool // other words may stand before it
}

type claimWord struct {
	text          string
	exact, prefix bool
}

// claimGap is how many words "..." may stand for.
const claimGap = 4

func parseClaimPattern(text string) (ClaimPattern, error) {
	var p ClaimPattern
	text, p.absent = strings.CutPrefix(strings.TrimSpace(text), "~")
	var gap bool
	for field := range strings.FieldsSeq(text) {
		if field == "..." {
			if gap || len(p.Steps) == 0 {
				return p, errors.New("... stands between two words")
			}
			gap = true
			continue
		}
		step := claimStep{gap: gap}
		gap = false
		for alt := range strings.SplitSeq(field, "/") {
			w := claimWord{}
			alt, w.exact = strings.CutPrefix(alt, "=")
			w.text, w.prefix = strings.CutSuffix(alt, "*")
			if tokens := ClaimTokens(w.text); len(tokens) != 1 || tokens[0].Word != w.text || w.exact && w.prefix {
				return p, errors.New("a word is in lower case, without hyphen or accent")
			}
			step.words = append(step.words, w)
		}
		p.Steps = append(p.Steps, step)
	}
	if len(p.Steps) == 0 || gap {
		return p, errors.New("... stands between two words")
	}
	return p, nil
}

// All returns every place of the pattern in a text, as token numbers from and
// behind.
func (p ClaimPattern) All(tokens []ClaimToken, absence AbsenceWords) (spans [][2]int) {
	for i := range tokens {
		end, ok := p.at(tokens, i)
		if !ok {
			continue
		}
		from := i
		if p.absent {
			if from, end, ok = absence.of(tokens, i, end); !ok {
				continue
			}
		}
		spans = append(spans, [2]int{from, end})
	}
	return spans
}

// at says whether the pattern stands at a token, and where it ends.
func (p ClaimPattern) at(tokens []ClaimToken, i int) (end int, ok bool) {
	if !p.Steps[0].Is(tokens[i]) {
		return 0, false
	}
	i++
	for _, s := range p.Steps[1:] {
		reach := 0
		if s.gap {
			reach = claimGap
		}
		for reach > 0 && i < len(tokens) && !s.Is(tokens[i]) {
			i++
			reach--
		}
		if i >= len(tokens) || !s.Is(tokens[i]) {
			return 0, false
		}
		i++
	}
	return i, true
}

func (s claimStep) Is(t ClaimToken) bool {
	for i := range s.words {
		if s.words[i].is(t.Word) {
			return true
		}
	}
	return false
}

func (w claimWord) is(token string) bool {
	switch {
	case w.prefix:
		return strings.HasPrefix(token, w.text)
	case token == w.text:
		return true
	case w.exact || len(w.text) < 3:
		return false
	}
	ending, ok := strings.CutPrefix(token, w.text)
	if ok && slices.Contains([]string{"s", "es", "d", "ed", "ing"}, ending) {
		return true
	}
	last := w.text[len(w.text)-1]
	switch {
	case ok && (ending == string(last)+"ed" || ending == string(last)+"ing"): // banned, clotting
		return true
	case last == 'e' && token == w.text[:len(w.text)-1]+"ing": // relieving
		return true
	case last == 'y' && (token == w.text[:len(w.text)-1]+"ies" || token == w.text[:len(w.text)-1]+"ied"): // remedies
		return true
	}
	return false
}

// AbsenceWords are the wordings that say that something is not there, as their
// words, the longest first, and the words that end a list of such things.
type AbsenceWords struct {
	Said [][]string
	Ends *rows.WordList
}

// absenceReach is how many words of a list may stand between "free from" and
// the substance named.
const absenceReach = 8

// of says whether the words from i to end are said to be absent, and
// returns the whole of the saying.
func (a AbsenceWords) of(tokens []ClaimToken, i, end int) (from, to int, ok bool) {
	if end < len(tokens) && tokens[end].Word == "free" &&
		!(end+1 < len(tokens) && slices.Contains([]string{"from", "of"}, tokens[end+1].Word)) {
		return i, end + 1, true // "paraben-free", but not the oil of "an oil free from lead"
	}
	for back := i; back >= 0 && i-back <= absenceReach; back-- {
		for _, words := range a.Said {
			if back+len(words) > i || !follows(tokens[back:], words) {
				continue
			}
			if a.endIn(tokens[back+len(words) : i]) {
				return 0, 0, false
			}
			return back, end, true
		}
	}
	return 0, 0, false
}

// follows says whether tokens, of which there are enough, begin with the words.
func follows(tokens []ClaimToken, words []string) bool {
	for k, w := range words {
		if tokens[k].Word != w {
			return false
		}
	}
	return true
}

// endIn says whether the words between an absence and a substance end the list of
// what is absent: "without parabens, contains natural preservatives".
func (a AbsenceWords) endIn(tokens []ClaimToken) bool {
	return slices.ContainsFunc(tokens, func(t ClaimToken) bool { return a.Ends.In(t.Word) })
}
