package rows

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Word is one word that decides how a wording of a sheet, a product or an INCI
// name is read.
//
// Source: words.csv. Most rest on common practice without a source.
type Word struct {
	Row
	List  string // the list it belongs to, one of the Words constants
	Word  string // in lower case; a hyphen of the text counts as a space for phrases
	Match WordMatch
	Means string // what it stands for; empty: that the list applies
	Rank  int    // of several words of a list that fit, the lowest rank counts
}

// WordMatch says where in a text a word must stand.
type WordMatch string

// The places.
const (
	MatchPart    WordMatch = "part"    // anywhere, also inside another word
	MatchStart   WordMatch = "start"   // the text begins with it
	MatchWord    WordMatch = "word"    // a word of the text
	MatchFirst   WordMatch = "first"   // the first word
	MatchLast    WordMatch = "last"    // the text ends with a space and it
	MatchLater   WordMatch = "later"   // a word behind a space begins with it
	MatchEarlier WordMatch = "earlier" // a word before a space ends with it
	MatchPhrase  WordMatch = "phrase"  // some words, the last of them may go on
	MatchWhole   WordMatch = "whole"   // some words, whole ones
)

var wordMatches = []string{string(MatchPart), string(MatchStart), string(MatchWord), string(MatchFirst),
	string(MatchLast), string(MatchLater), string(MatchEarlier),
	string(MatchPhrase), string(MatchWhole)}

// The lists of words.
const (
	wordsFunction            = "function"             // what a function of a sheet means for the conditions
	WordsScenting            = "scenting"             // functions of what scents
	WordsColouring           = "colouring"            // functions of what colours
	WordsScrubbing           = "scrubbing"            // functions of solid particles that scrub or cleanse
	WordsCritical            = "critical"             // functions of which the amount decides protection or effect
	WordsCriticalUnless      = "critical-unless"      // and which not
	WordsBotanical           = "botanical"            // in names of mixtures won from plants
	WordsBotanicalUnless     = "botanical-unless"     // in names of oils and waters that no plant gives
	wordsPreparation         = "preparation"          // in names of one preparation of a plant
	WordsStandardPreparation = "standard-preparation" // that tell Standards of one plant apart
	WordsSoapFat             = "soap-fat"             // in names of what takes up lye
	WordsFatEnding           = "fat-ending"           // that end the names of fats
	WordsMelting             = "melting"              // in names of what melts when heated
	WordsMeltingUnless       = "melting-unless"       // and which not
	WordsWater               = "water"                // that end the names of plant waters
	WordsMicrobes            = "microbes"             // in names of materials in which microbes come along
	WordsMicrobesUnless      = "microbes-unless"      // forms without water and without germs to speak of
	// in names of what comes from a plant, an animal, a mineral or a culture
	WordsNatural          = "natural"
	WordsNaturalUnless    = "natural-unless"       // and which not
	WordsNotAlcohol       = "not-meant-by-alcohol" // that begin names of alcohols nobody means by the word
	WordsClaim            = "claim"                // claims of the conditions in a product's own words
	WordsDenial           = "denial"               // that stand before what is not claimed
	WordsFurocoumarinFree = "furocoumarin-free"    // in names of oils without furocoumarins
	WordsExpressed        = "expressed"            // in names of expressed oils
	WordsDevelopmentStudy = "development-study"    // studies that last as long as they need to
	WordsStudyRoute       = "study-route"          // route of a study in a maker's words
	WordsHumanStudy       = "human-study"          // studies with people
	WordsPoDType          = "pod-type"             // what a type of toxicological value is
	WordsAbsence          = "absence"              // that say in claims that something is not there
	WordsAbsenceEnd       = "absence-end"          // that end a list of what is not there
)

var WordLists = []string{
	wordsFunction, WordsScenting, WordsColouring, WordsScrubbing, WordsCritical, WordsCriticalUnless, WordsBotanical,
	WordsBotanicalUnless, wordsPreparation, WordsStandardPreparation, WordsSoapFat, WordsFatEnding, WordsMelting,
	WordsMeltingUnless, WordsWater, WordsMicrobes, WordsMicrobesUnless, WordsNatural, WordsNaturalUnless,
	WordsNotAlcohol, WordsClaim, WordsDenial, WordsFurocoumarinFree, WordsExpressed, WordsDevelopmentStudy,
	WordsStudyRoute, WordsHumanStudy, WordsPoDType, WordsAbsence, WordsAbsenceEnd,
}

var WordColumns = Columns{Meaning: []string{"key", "list", "word", "match", "means", "rank", "seen"},
	Remarks: []string{"source", "note"}}

func ReadWords(file string, text string) ([]*Word, error) {
	return ReadTable(file, text, WordColumns, func(r *Record) *Word {
		w := &Word{Row: r.Head(r.Text("key")), List: r.Word("list", WordLists...), Word: r.Must("word"),
			Match: WordMatch(r.Word("match", wordMatches...)),
			Means: r.Text("means"), Rank: r.Whole("rank")}
		if w.Word != strings.ToLower(w.Word) {
			r.Fail("word: %q is not in lower case", w.Word)
		}
		return w
	})
}

// WordList is one list of words.
type WordList struct {
	Words           []*Word
	Tokens, Phrases bool // words of the text, and the text with hyphens as spaces, are looked at
}

// In says whether a word of the list stands in a text.
func (l *WordList) In(text string) bool {
	_, ok := l.Means(text)
	return ok
}

// Means returns what the first word of the list that stands in a text means.
func (l *WordList) Means(text string) (means string, ok bool) {
	t := l.read(text)
	for _, w := range l.Words {
		if w.at(t) >= 0 {
			return w.Means, true
		}
	}
	return "", false
}

// Found is a word of a list in a text.
type Found struct {
	Means  string
	Before string // the text before it, in lower case
}

// All returns every word of the list that stands in a text, each once, by rank.
func (l *WordList) All(text string) []Found {
	t := l.read(text)
	var out []Found
	for _, w := range l.Words {
		if at := w.at(t); at >= 0 {
			out = append(out, Found{w.Means, t.lower[:at]})
		}
	}
	return out
}

// wordText is a text made ready for looking up words.
type wordText struct {
	lower  string
	spaced string   // hyphens as spaces; the same length
	words  []string // runs of letters and digits
}

// plainHyphens prints the hyphens and blanks that suppliers' papers use as the common ones.
var plainHyphens = strings.NewReplacer("\u2010", "-", "\u2011", "-", "\u2012", "-", "\u2013", "-",
	"\u00ad", "", "\u00a0", " ", "\u202f", " ")

// read makes a text ready as far as the words of the list ask for.
func (l *WordList) read(text string) wordText {
	t := wordText{lower: strings.ToLower(text)}
	// a replacer copies what it does not change
	if strings.ContainsFunc(t.lower, func(r rune) bool { return r >= utf8.RuneSelf }) {
		t.lower = plainHyphens.Replace(t.lower)
	}
	if l.Tokens {
		t.words = strings.FieldsFunc(t.lower, func(r rune) bool {
			return r != '_' && !unicode.IsLetter(r) &&
				!unicode.IsDigit(r)
		})
	}
	if l.Phrases {
		t.spaced = strings.ReplaceAll(t.lower, "-", " ")
	}
	return t
}

// at returns the first place of the word in a text, in bytes, -1 where it is not.
func (w *Word) at(t wordText) int {
	switch w.Match {
	case MatchPart:
		return strings.Index(t.lower, w.Word)
	case MatchLater:
		return strings.Index(t.lower, " "+w.Word)
	case MatchEarlier:
		return strings.Index(t.lower, w.Word+" ")
	case MatchPhrase, MatchWhole:
		return phraseAt(t.spaced, w.Word, w.Match == MatchWhole)
	}
	var found bool
	switch w.Match {
	case MatchStart:
		found = strings.HasPrefix(t.lower, w.Word)
	case MatchFirst:
		found = len(t.words) > 0 && t.words[0] == w.Word
	case MatchLast:
		found = strings.HasSuffix(t.lower, " "+w.Word)
	case MatchWord:
		found = slices.Contains(t.words, w.Word)
	}
	if !found {
		return -1
	}
	return strings.Index(t.lower, w.Word)
}

// phraseAt finds a phrase that begins where a word does; whole asks that it ends
// where one does.
func phraseAt(text, phrase string, whole bool) int {
	for from := 0; ; {
		i := strings.Index(text[from:], phrase)
		if i < 0 {
			return -1
		}
		at, end := from+i, from+i+len(phrase)
		if (at == 0 || !wordByte(text[at-1])) && (!whole || end == len(text) || !wordByte(text[end])) {
			return at
		}
		from = at + 1
	}
}

func wordByte(b byte) bool {
	return b == '_' || b >= 'a' && b <= 'z' || b >= '0' && b <= '9' || b >= 0x80
}
