package source

import (
	"bytes"
	"fmt"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"

	"go.yaml.in/yaml/v3"

	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
	"gallipot/ingredients/sign"
)

// MaxFileBytes is the size above which a sheet or product is not read. A long
// product file has some 20 kB.
const MaxFileBytes = 1 << 20

// Source is one of the maker's files as typed: its name and its bytes. It never
// changes, so that excerpts and fingerprints show what was read. Read it
// through a [Reader].
type Source struct {
	Name  string // relative to the workshop, forward slashes
	Bytes []byte

	Lines []string
	// long holds the characters of long lines by number, so that they are not
	// counted anew for each of the values on them.
	long sync.Map
	// short holds those of all other lines that were asked for while parsed is kept.
	short [][]rune
	// parsed is the outcome of parsing, kept between Keep and Release: one reading
	// of a file asks for it more than once.
	parsed *parsed
	// canonical holds what Canonical returned while parsed was kept, by the keys
	// left out.
	canonical map[string][]byte
}

type parsed struct {
	root     *yaml.Node
	findings []finding.Finding
}

// Keep parses the file and keeps the outcome until Release: readers and
// [Source.Canonical] then need not parse it again. Neither may run while others
// use the source.
func (s *Source) Keep() {
	root, findings := s.parse()
	s.parsed, s.canonical, s.short = &parsed{root, findings}, map[string][]byte{}, make([][]rune, len(s.Lines))
}

// Release gives back what [Source.Keep] holds, save for the canonical forms that
// were asked for meanwhile.
func (s *Source) Release() { s.parsed, s.short = nil, nil }

// NewSource returns the source of the given name and content. It does not look
// at the content; a [Reader] does.
func NewSource(name string, data []byte) *Source {
	s := &Source{Name: name, Bytes: data}
	text := strings.TrimPrefix(string(data), "\ufeff")
	text = strings.ReplaceAll(text, "\r\n", "\n")
	text = strings.ReplaceAll(text, "\r", "\n")
	s.Lines = strings.Split(strings.TrimSuffix(text, "\n"), "\n")
	return s
}

// Line returns line n, counted from 1, without its line end; "" outside the file.
func (s *Source) Line(n int) string {
	if n < 1 || n > len(s.Lines) {
		return ""
	}
	return s.Lines[n-1]
}

// longLine is from how many bytes on the characters of a line are kept.
const longLine = 2000

// runes returns the characters of line n.
func (s *Source) runes(n int) []rune {
	line := s.Line(n)
	switch {
	case len(line) >= longLine:
	case s.short == nil || line == "":
		return []rune(line)
	default:
		if s.short[n-1] == nil {
			s.short[n-1] = []rune(line)
		}
		return s.short[n-1]
	}
	if kept, ok := s.long.Load(n); ok {
		return kept.([]rune)
	}
	kept, _ := s.long.LoadOrStore(n, []rune(line))
	return kept.([]rune)
}

// Widths of an excerpt, in characters.
const (
	excerptWidth  = 100
	excerptBefore = 40 // kept left of the place when a line is cut
)

// Excerpt returns the line of a place as the maker typed it and a second line
// with carets under the place. Tabs stay tabs in both, so that they line up. A
// line of more than 100 characters is cut around the place and shows it with
// "…". Both are empty where the file has no such line.
func (s *Source) Excerpt(pos exact.Pos) (line, caret string) {
	if pos.Line < 1 || pos.Line > len(s.Lines) {
		return "", ""
	}
	text := s.runes(pos.Line)
	from, to := 0, len(text)
	if to > excerptWidth {
		from = min(max(pos.Col-1-excerptBefore, 0), len(text)-1)
		to = min(from+excerptWidth, len(text))
	}
	var top, under strings.Builder
	if from > 0 {
		top.WriteRune('…')
		under.WriteByte(' ')
	}
	start := max(pos.Col-1, 0)
	end := start + max(pos.Len, 1)
	for i := from; i < to; i++ {
		top.WriteRune(printable(text[i]))
		switch {
		case i >= start && i < end:
			under.WriteByte('^')
		case i >= end || unicode.Is(unicode.Mn, text[i]):
		case text[i] == '\t':
			under.WriteByte('\t')
		default:
			under.WriteByte(' ')
		}
	}
	if start >= to { // a place behind the last character
		under.WriteByte('^')
	}
	if to < len(text) {
		top.WriteRune('…')
	}
	return top.String(), under.String()
}

// printable keeps control characters in a file from reaching the terminal.
func printable(r rune) rune {
	if sign.Refused(r) {
		return '\ufffd'
	}
	return r
}

// maxCharacterFindings bounds the findings of one kind of trouble that fills a
// whole file, such as a wrong encoding.
const maxCharacterFindings = 10

// CheckCharacters reports the characters that no file of a workshop can hold: for
// files that are not YAML, which a [Reader] checks itself.
func (s *Source) CheckCharacters() []finding.Finding {
	fs, _ := s.checkCharacters()
	return fs
}

// checkCharacters reports every character that a file of ours cannot hold, and
// says whether what is left can be parsed.
func (s *Source) checkCharacters() (fs []finding.Finding, parse bool) {
	if bytes.HasPrefix(s.Bytes, []byte{0xFF, 0xFE}) || bytes.HasPrefix(s.Bytes, []byte{0xFE, 0xFF}) {
		return []finding.Finding{s.stop(codeBadCharacter, "utf-16", exact.Pos{File: s.Name, Line: 1, Col: 1,
			Len: 1}, nil)}, false
	}
	parse = true
	for i, line := range s.Lines {
		col := 0
		for rest := line; rest != ""; {
			r, size := utf8.DecodeRuneInString(rest)
			col++
			pos := exact.Pos{File: s.Name, Line: i + 1, Col: col, Len: 1}
			var f finding.Finding
			switch {
			case r == utf8.RuneError && size == 1:
				f = s.stop(codeBadCharacter, "not-utf-8", pos,
					finding.With().Name("byte", fmt.Sprintf("%#02x", rest[0])))
				parse = false
			case r != '\t' && sign.Control(r):
				f = s.stop(codeBadCharacter, "control", pos, finding.With().Name("character", fmt.Sprintf("%U", r)))
				parse = false
			case sign.Invisible(r):
				f = s.stop(codeBadCharacter, "invisible", pos, finding.With().Name("character", fmt.Sprintf("%U", r)))
			}
			if f.Code != "" {
				if fs = append(fs, f); len(fs) == maxCharacterFindings {
					return fs, false
				}
			}
			rest = rest[size:]
		}
	}
	return fs, parse
}

// stop makes a finding that says the file cannot be read as it stands.
func (s *Source) stop(code, form string, pos exact.Pos, values finding.Values) finding.Finding {
	f := finding.NewFinding(finding.Stop, code, pos, values).As(form).By(finding.TheMaker)
	f.Unread = true
	return f
}

// pos returns the place of a node with the length to underline.
func (s *Source) pos(n *yaml.Node) exact.Pos {
	return exact.Pos{File: s.Name, Line: n.Line, Col: n.Column, Len: s.extent(n)}
}

// extent counts the characters a node takes on its first line. The parser gives
// no end of a value, so it is found in the text.
func (s *Source) extent(n *yaml.Node) int {
	line := s.runes(n.Line)
	if n.Column-1 >= len(line) || n.Column < 1 {
		return 1
	}
	rest := line[n.Column-1:]
	switch {
	case n.Style&(yaml.LiteralStyle|yaml.FoldedStyle) != 0:
		return 1
	case n.Kind == yaml.ScalarNode && (rest[0] == '"' || rest[0] == '\''):
		if end := quoteEnd(rest, 0); end > 0 {
			return end
		}
	case n.Kind == yaml.ScalarNode && n.Value != "" &&
		strings.HasPrefix(string(rest[:min(len(rest), len(n.Value))]), n.Value):
		return utf8.RuneCountInString(n.Value)
	case n.Kind == yaml.ScalarNode && n.Value == "" && n.Style&yaml.TaggedStyle == 0:
		return 1
	case n.Kind == yaml.MappingNode && n.Style&yaml.FlowStyle == 0 && len(n.Content) > 0 &&
		n.Content[0].Kind == yaml.ScalarNode:
		return s.extent(n.Content[0])
	case n.Kind == yaml.SequenceNode && n.Style&yaml.FlowStyle == 0:
		return 1
	case n.Style&yaml.FlowStyle != 0:
		if end := bracketEnd(rest[:min(len(rest), longLine)]); end > 0 {
			return end
		}
	}
	text := string(rest[:min(len(rest), longLine)])
	if i := strings.Index(text, " #"); i > 0 {
		text = text[:i]
	}
	return max(utf8.RuneCountInString(strings.TrimRight(text, " \t")), 1)
}

// quoteEnd returns the index behind the quote that closes the one at start, or
// 0 when the line does not close it.
func quoteEnd(line []rune, start int) int {
	q := line[start]
	for i := start + 1; i < len(line); i++ {
		switch {
		case q == '"' && line[i] == '\\':
			i++
		case line[i] == q && q == '\'' && i+1 < len(line) && line[i+1] == q:
			i++
		case line[i] == q:
			return i + 1
		}
	}
	return 0
}

// bracketEnd returns the index behind the bracket that closes the one at 0, or
// 0 when the line does not close it.
func bracketEnd(line []rune) int {
	depth := 0
	for i := 0; i < len(line); i++ {
		switch line[i] {
		case '[', '{':
			depth++
		case ']', '}':
			if depth--; depth == 0 {
				return i + 1
			}
		case '"', '\'':
			if i > 0 && strings.ContainsRune(" [{,", line[i-1]) {
				if end := quoteEnd(line, i); end > 0 {
					i = end - 1
				}
			}
		}
	}
	return 0
}

// Clip shortens a maker's text for a message.
func Clip(text string) string {
	const limit = 60
	if r := []rune(text); len(r) > limit {
		return string(r[:limit]) + "…"
	}
	return text
}
