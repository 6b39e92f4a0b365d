package words

import (
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// and joins words by commas and "and".
func and(words []string) string { return join(words, " and ") }

// or joins words by commas and "or".
func or(words []string) string { return join(words, " or ") }

func join(words []string, last string) string {
	n := len(words) - 1
	if n < 1 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:n], ", ") + last + words[n]
}

// Count is a number with its noun: 1 pack, 3 packs.
func Count(n int, one, many string) string { return strconv.Itoa(n) + " " + plural(n, one, many) }

// plural is the word that goes with a number.
func plural(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return many
}

// withArticle is a noun with "a" or "an" before it.
func withArticle(noun string) string {
	if noun != "" && strings.ContainsRune("aeioAEIO", rune(noun[0])) || strings.HasPrefix(noun, "un") &&
		!strings.HasPrefix(noun, "uni") {
		return "an " + noun
	}
	return "a " + noun
}

// capital begins a text with a capital letter.
func capital(s string) string {
	r, size := utf8.DecodeRuneInString(s)
	if size == 0 {
		return s
	}
	return string(unicode.ToUpper(r)) + s[size:]
}
