// Package sign is the one list of characters that a text of a workshop cannot
// hold: those that a terminal or a program would obey, and those that nobody sees.
// What reads files refuses them, however they got there; what prints takes them
// out (package words).
//
// # Decisions
//
// 2026-11-29, zero-width joiners and variation selectors are refused like the rest,
// though some scripts and pictures use them: a name of a raw material, a supplier or
// a product that differs from another in nothing to be seen is worse than a picture
// that falls into its parts.
package sign

import (
	"strings"
	"unicode"
)

// Control says whether a terminal, a printer or a program could obey r: control
// characters, and the separators of lines and paragraphs that few programs show.
// A tab and the end of a line count too; callers that allow those say so.
func Control(r rune) bool { return unicode.IsControl(r) || r == 0x2028 || r == 0x2029 }

// Invisible says whether r takes no room, or shows nothing where a letter could
// stand, so that two names which look the same would differ: joiners, direction
// marks, soft hyphens, variation selectors, tags, fillers, the blank braille cell.
//
// Source: the Unicode Standard, property Default_Ignorable_Code_Point (UAX #44),
// with the annotation marks U+FFF9 to U+FFFB, and without the marks that are
// printed in front of a number.
func Invisible(r rune) bool {
	switch {
	case r < 0xAD:
		return false
	case unicode.Is(unicode.Prepended_Concatenation_Mark, r):
		return false
	}
	return r == 0x2800 || unicode.Is(unicode.Cf, r) ||
		unicode.In(r, unicode.Other_Default_Ignorable_Code_Point, unicode.Variation_Selector)
}

// Refused says whether no text of a workshop can hold r. A tab and a line feed can
// be held.
func Refused(r rune) bool { return r != '\t' && r != '\n' && Control(r) || Invisible(r) }

// Shown returns a text with a question mark for each character that something could obey.
func Shown(s string) string {
	return strings.Map(func(r rune) rune {
		if Control(r) {
			return '?'
		}
		return r
	}, s)
}
