package words

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// Printable returns s without what a terminal or a page would obey or choke on:
// control characters, bytes that are no UTF-8, signs of no width.
func Printable(s string) string {
	if IsPlain(s) {
		return s
	}
	var b strings.Builder
	for _, r := range strings.ToValidUTF8(s, "?") {
		switch {
		case r == '\n':
			b.WriteRune(r)
		case r == '\t':
			b.WriteByte(' ')
		case r == '\r' || ZeroWidth(r):
		case unicode.IsControl(r):
			b.WriteByte('?')
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}

func IsPlain(s string) bool {
	for i := 0; i < len(s); i++ {
		if s[i] < ' ' || s[i] >= 0x7F {
			return false
		}
	}
	return utf8.ValidString(s)
}

// ZeroWidth says whether r has no width of its own and no meaning in print:
// joiners, variation selectors, direction marks, soft hyphen.
func ZeroWidth(r rune) bool {
	switch {
	case r == 0xAD, r == 0x2060, r == 0xFEFF, r >= 0x200B && r <= 0x200F,
		r >= 0x202A && r <= 0x202E, r >= 0x2066 && r <= 0x2069, r >= 0xFE00 && r <= 0xFE0F:
		return true
	}
	return false
}

// Harmless keeps a spreadsheet from running a maker's or supplier's text: one
// that starts like a formula gets an apostrophe.
func Harmless(cell string) string {
	if cell != "" && strings.ContainsRune("=+-@\t\r\n", rune(cell[0])) {
		return "'" + cell
	}
	return cell
}
