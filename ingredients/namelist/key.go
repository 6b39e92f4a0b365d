package namelist

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

// greek spells the letters that chemical names print as signs.
var greek = strings.NewReplacer("α", "alpha", "β", "beta", "γ", "gamma", "δ", "delta", "ε", "epsilon", "ω",
	"omega", "μ", "mu",
	".alpha.", "alpha", ".beta.", "beta", ".gamma.", "gamma", ".delta.", "delta", ".omega.", "omega")

// unfolded puts a name with signs beyond plain letters in small letters, accents
// apart and Greek letters spelled.
func unfolded(name string) string {
	return greek.Replace(strings.ToLower(norm.NFKD.String(strings.ToValidUTF8(name, "?"))))
}

// Key folds a name for comparison. Letter case, accents, spaces, hyphens, dots,
// brackets and apostrophes do not count; a slash does, and so does the break
// between two numbers (1,2 and 12 are different names).
func Key(name string) string {
	var room [96]byte
	return string(appendKey(room[:0], name))
}

// appendKey appends the key of a name to dst.
func appendKey(dst []byte, name string) []byte {
	if needsFolding(name) {
		name = unfolded(name)
	}
	start, gap := len(dst), false
	for _, r := range name {
		switch {
		case r == '/' || r == '⁄':
			dst, gap = append(dst, '/'), false
		case r < utf8.RuneSelf && isWord(byte(r)):
			if gap && isDigit(byte(r)) && len(dst) > start && isDigit(dst[len(dst)-1]) {
				dst = append(dst, '.')
			}
			dst, gap = append(dst, lower(byte(r))), false
		case r >= utf8.RuneSelf && (unicode.IsLetter(r) || unicode.IsDigit(r)):
			dst, gap = utf8.AppendRune(dst, unicode.ToLower(r)), false
		case unicode.Is(unicode.Mn, r):
		default:
			gap = true
		}
	}
	return dst
}

// appendKeyOf is [AppendKey] for a name in bytes.
func appendKeyOf(dst, name []byte) []byte {
	for _, c := range name {
		if c >= utf8.RuneSelf || c == '.' {
			return appendKey(dst, string(name))
		}
	}
	start, gap := len(dst), false
	for _, c := range name {
		switch {
		case isWord(c):
			if gap && isDigit(c) && len(dst) > start && isDigit(dst[len(dst)-1]) {
				dst = append(dst, '.')
			}
			dst, gap = append(dst, lower(c)), false
		case c == '/':
			dst, gap = append(dst, '/'), false
		default:
			gap = true
		}
	}
	return dst
}

// needsFolding says whether a name holds signs beyond plain letters.
func needsFolding(name string) bool {
	for i := range len(name) {
		if name[i] >= utf8.RuneSelf || name[i] == '.' {
			return true
		}
	}
	return false
}

func isDigit(c byte) bool { return '0' <= c && c <= '9' }

func isWord(c byte) bool { return isDigit(c) || 'a' <= c && c <= 'z' || 'A' <= c && c <= 'Z' }

func lower(c byte) byte {
	if 'A' <= c && c <= 'Z' {
		return c + 'a' - 'A'
	}
	return c
}

// words calls yield with each run of letters and digits of a name, folded.
func words(name string, yield func(word []byte)) {
	var room [64]byte
	word := room[:0]
	if needsFolding(name) {
		name = unfolded(name)
	}
	flush := func() {
		if len(word) > 0 {
			yield(word)
		}
		word = room[:0]
	}
	for _, r := range name {
		switch {
		case r < utf8.RuneSelf && isWord(byte(r)):
			word = append(word, lower(byte(r)))
		case r >= utf8.RuneSelf && (unicode.IsLetter(r) || unicode.IsDigit(r)):
			word = utf8.AppendRune(word, unicode.ToLower(r))
		case r == '\'' || r == '’' || r == '`' || unicode.Is(unicode.Mn, r):
		default:
			flush()
		}
	}
	flush()
}
