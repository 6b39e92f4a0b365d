package lexicon

import (
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

var spelled = strings.NewReplacer(
	"α", "alpha ", "β", "beta ", "γ", "gamma ", "δ", "delta ", "Α", "alpha ", "Β", "beta ", "ß", "ss",
	"œ", "oe", "æ", "ae", "ø", "o", "ł", "l", "ı", "i", "’", " ", "º", " ", "°", " ", "™", "", "®", "",
	"©", "")

// Fold is the form in which words are compared: small letters without accents,
// every run of other signs one blank, Greek letters spelled out.
func Fold(s string) string {
	if plain(s) {
		return s
	}
	if s = strings.ToLower(s); !isASCII(s) {
		s = norm.NFKD.String(spelled.Replace(s))
	}
	var b strings.Builder
	gap := false
	for _, r := range s {
		switch {
		case unicode.Is(unicode.Mn, r):
		case unicode.IsLetter(r) || unicode.IsDigit(r):
			if gap && b.Len() > 0 {
				b.WriteByte(' ')
			}
			gap = false
			b.WriteRune(r)
		default:
			gap = true
		}
	}
	return b.String()
}

// plain says whether a text is folded already: small letters and figures of the plain
// alphabet, one blank between words. Most texts that are looked up are.
func plain(s string) bool {
	for i := range len(s) {
		switch c := s[i]; {
		case c >= 'a' && c <= 'z' || c >= '0' && c <= '9':
		case c == ' ' && i > 0 && i+1 < len(s) && s[i-1] != ' ':
		default:
			return false
		}
	}
	return true
}

func isASCII(s string) bool {
	for i := range len(s) {
		if s[i] >= 0x80 {
			return false
		}
	}
	return true
}
