package names

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// display writes an official name, kept in capitals, as it is printed: capitals
// at the head of each word, abbreviations in capitals.
func (v *vocabulary) display(official string) string {
	var out strings.Builder
	word := func(w string) {
		switch {
		case w == "":
		case v.capitals[w], !strings.ContainsAny(w, "AEIOUY"), strings.ContainsFunc(w, unicode.IsDigit):
			out.WriteString(w)
		default:
			_, first := utf8.DecodeRuneInString(w)
			out.WriteString(w[:first] + strings.ToLower(w[first:]))
		}
	}
	start := 0
	for i, r := range official {
		if !unicode.IsLetter(r) && !unicode.IsDigit(r) && r != '\'' && r != '’' {
			word(official[start:i])
			out.WriteRune(r)
			start = i + len(string(r))
		}
	}
	word(official[start:])
	return out.String()
}
