package pieces

import (
	"strings"
	"unicode"

	"gallipot/dossier/transcribe/lexicon"
	"gallipot/ingredients/pattern"
)

var spaces = pattern.New(`[ \t]+`)

// OneBlank gives a text with one blank for each gap.
func OneBlank(t string) string { return spaces.ReplaceAllString(t, " ") }

// OneLine joins the lines of a cell: a line that ends with a hyphen goes on without
// a blank.
func OneLine(t string) string {
	lines := strings.Split(t, "\n")
	out := strings.TrimSpace(lines[0])
	for _, l := range lines[1:] {
		l = strings.TrimSpace(l)
		if l == "" {
			continue
		}
		if strings.HasSuffix(out, "-") || strings.HasSuffix(out, "/") || out == "" {
			out += l
		} else {
			out += " " + l
		}
	}
	return spaces.ReplaceAllString(out, " ")
}

// Printed is a cell as it stands, on one line.
func Printed(t string) string {
	return strings.TrimSpace(spaces.ReplaceAllString(strings.ReplaceAll(t, "\n", " "), " "))
}

var bracketed = pattern.New(`\s*[\[(][^\])]*[\])]`)

// InBrackets gives what stands in brackets, with them.
func InBrackets(s string) []string { return bracketed.FindAllString(s, -1) }

// PlainName is a name without what stands in brackets.
func PlainName(s string) string { return strings.TrimSpace(bracketed.ReplaceAllString(s, "")) }

var nameEdges = pattern.New(`^[\s,;:/|·•*-]+|[\s,;:/|·•-]+$`)

var emptyBrackets = pattern.New(`\(\s*[,;/]*\s*\)|\[\s*\]`)

// CleanName takes what is left of a name when numbers were taken out of it.
func CleanName(s string) string {
	s = emptyBrackets.ReplaceAllString(OneLine(s), " ")
	s = spaces.ReplaceAllString(s, " ")
	s = strings.TrimSpace(nameEdges.ReplaceAllString(strings.TrimSpace(s), ""))
	if bare, open := strings.CutSuffix(s, "("); open { // what stood in the bracket was taken
		return CleanName(bare)
	}
	return s
}

var (
	raisedMark = pattern.New(`\s*[⁰¹²³⁴⁵⁶⁷⁸⁹]+(?:[,;] ?[⁰¹²³⁴⁵⁶⁷⁸⁹]+)*\)?$`)
	markWithin = pattern.New(`\pL([⁰¹²³⁴⁵⁶⁷⁸⁹]+\)?),`)
	raisedUnit = pattern.New(`(?:^|[^\pL])[cdkmµ]?m[²³]$`)
)

// WithoutMark gives a name without the raised mark of a footnote behind it or before its comma; a
// unit such as g/cm³ keeps its figure.
func WithoutMark(s string) (name string, marked bool) {
	if m := markWithin.FindStringSubmatchIndex(s); m != nil && !raisedUnit.MatchString(s[:m[1]-1]) {
		s, marked = s[:m[2]]+s[m[3]:], true
	}
	at := raisedMark.FindStringIndex(s)
	if at == nil || at[0] == 0 || raisedUnit.MatchString(s) {
		return s, marked
	}
	return s[:at[0]], true
}

// listMark is the letter or number of a line in a list: "(k) ", "b) ", "(iv) ".
var listMark = pattern.New(`^\s*(?:\(?[a-z]\)|\((?:i{1,3}|i?v|vi{1,3}|i?x|\d{1,2})\))\s+(\pL)`)

// Unlisted is a line of a list without its letter or number.
func Unlisted(t string) string { return listMark.ReplaceAllString(t, "$1") }

// Word is a word of a text, folded, with its place.
type Word struct {
	Folded     string
	Start, End int
}

// Words gives the words of a text with their places.
func Words(s string) []Word {
	var out []Word
	start := -1
	for i, r := range s + " " {
		if unicode.IsLetter(r) || unicode.IsDigit(r) || unicode.Is(unicode.Mn, r) {
			if start < 0 {
				start = i
			}
			continue
		}
		if start >= 0 {
			out = append(out, Word{lexicon.Fold(s[start:i]), start, i})
			start = -1
		}
	}
	return out
}

// FirstWord is what stands before the first blank.
func FirstWord(s string) string {
	if f := strings.Fields(s); len(f) > 0 {
		return f[0]
	}
	return ""
}

var sentenceEnd = pattern.New(`[.?!]\s+(?:[A-Z]|$)`)

// Sentences parts a text behind the signs that end a sentence. What is as short as
// "Cat." ends none.
func Sentences(t string) []string {
	var out []string
	from := 0
	for _, m := range sentenceEnd.FindAllStringIndex(t, -1) {
		if before := t[from:m[0]]; len(before) > 0 && len(before) <= 4 { // "Cat. 4"
			continue
		}
		out = append(out, t[from:m[0]+1])
		from = m[0] + 1
	}
	return append(out, t[from:])
}
