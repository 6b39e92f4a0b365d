package words

import (
	"strings"
	"unicode/utf8"

	"gallipot/ingredients/sign"
)

// This file decides what may be printed, for every output: Printable for documents
// of any kind, Shown for what goes to a terminal as it stands, Cell for CSV. Which
// characters are meant is one list, in package sign. JSON escapes them
// (store.WriteIndented).

// ByteOrderMark stands at the head of a CSV file that is meant for a spreadsheet,
// which otherwise takes UTF-8 for the code page of the country.
const ByteOrderMark = "\ufeff"

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
		case sign.Control(r):
			b.WriteByte('?')
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}

// Shown keeps what would move the cursor, turn the direction of writing or stand
// there unseen, as in the name of a file, from reaching a terminal: each is shown as
// U+FFFD, so that it is seen that something is there.
func Shown(s string) string {
	return strings.Map(func(r rune) rune {
		if sign.Refused(r) {
			return utf8.RuneError
		}
		return r
	}, s)
}

// IsPlain says whether s is printable ASCII alone.
func IsPlain(s string) bool {
	for i := 0; i < len(s); i++ {
		if s[i] < ' ' || s[i] >= 0x7F {
			return false
		}
	}
	return utf8.ValidString(s)
}

// ZeroWidth says whether r has no width of its own and no meaning in print.
func ZeroWidth(r rune) bool { return sign.Invisible(r) }

// Cell makes a maker's or supplier's text fit for a cell of CSV: printable, on one
// line, and nothing that a spreadsheet would run: a text that starts like a formula
// gets an apostrophe.
func Cell(s string) string {
	s = strings.Join(strings.Fields(Printable(s)), " ")
	if strings.IndexAny(s, "=+-@＝＋－＠") == 0 {
		return "'" + s
	}
	return s
}
