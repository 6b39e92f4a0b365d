package source

import (
	"strings"

	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
	"gallipot/ingredients/pattern"
)

// lint searches a text that does not parse for the mistakes people make in such
// files, so that the message can name the place and the remedy. It is a rough
// reading of YAML and runs only when the parser has refused the file.
type lint struct {
	src   *Source
	lines [][]rune
	at    int // index of the current line
	out   []finding.Finding

	levels  []level // open block levels, outermost first
	open    bool    // the last key or hyphen has no value yet, so a deeper level may follow
	opened  bool    // open before the current value was reached
	plain   bool    // the last value is unquoted text, which deeper lines may continue
	crooked bool    // an indentation was reported; the ones after it would only follow from it
}

// level is an open block: its column, from 0, and whether it is a list.
type level struct {
	col  int
	list bool
}

// lintText returns what it finds, in the order of the text.
func lintText(s *Source) []finding.Finding {
	l := &lint{src: s, open: true}
	for _, line := range s.Lines {
		l.lines = append(l.lines, []rune(line))
	}
	for l.at < len(l.lines) && len(l.out) < maxCharacterFindings {
		l.line()
		l.at++
	}
	return l.out
}

// found records a finding about the characters from..to of line at.
func (l *lint) found(at, from, to int, form string, values finding.Values) {
	pos := exact.Pos{File: l.src.Name, Line: at + 1, Col: from + 1, Len: max(to-from, 1)}
	l.out = append(l.out, l.src.stop(codeSyntax, form, pos, values))
}

func blank(line []rune) bool {
	t := strings.TrimSpace(string(line))
	return t == "" || t[0] == '#'
}

func indentOf(line []rune) int {
	i := 0
	for i < len(line) && line[i] == ' ' {
		i++
	}
	return i
}

// space returns the first index from i on that is no space or tab.
func space(line []rune, i int) int {
	for i < len(line) && (line[i] == ' ' || line[i] == '\t') {
		i++
	}
	return i
}

// ends says whether at i the line is over but for a comment.
func ends(line []rune, i int) bool {
	i = space(line, i)
	return i >= len(line) || line[i] == '#' && (i == 0 || line[i-1] == ' ' || line[i-1] == '\t')
}

// isDash says whether a list entry starts at i.
func isDash(line []rune, i int) bool {
	return i < len(line) && line[i] == '-' && (i+1 == len(line) || line[i+1] == ' ')
}

// isColon says whether the colon at i ends a key.
func isColon(line []rune, i int) bool {
	return i < len(line) && line[i] == ':' && (i+1 == len(line) || line[i+1] == ' ' || line[i+1] == '\t')
}

// line reads one line outside brackets and quotes.
func (l *lint) line() {
	line := l.lines[l.at]
	if blank(line) || strings.HasPrefix(string(line), "---") || line[0] == '%' && len(l.levels) == 0 {
		return
	}
	c := indentOf(line)
	if line[c] == '\t' {
		if l.plain && !strings.Contains(string(line), ":") {
			return
		}
		l.found(l.at, c, space(line, c), "tab", nil)
		return
	}
	entry := false
	for isDash(line, c) {
		l.place(c, true, entry)
		entry, l.open, l.plain = true, true, false
		if c = space(line, c+1); ends(line, c) {
			return
		}
	}
	l.value(c, c, true, entry)
}

// place checks that a key or hyphen may stand in column c and opens its level.
func (l *lint) place(c int, list, entry bool) {
	popped := false
	for n := len(l.levels); n > 0 && (l.levels[n-1].col > c || l.levels[n-1].col == c && l.levels[n-1].list &&
		!list); n-- {
		popped = popped || l.levels[n-1].col > c
		l.levels = l.levels[:n-1]
	}
	n := len(l.levels)
	switch {
	case n > 0 && l.levels[n-1].col == c && l.levels[n-1].list == list:
		return
	case entry || n == 0 && !popped || l.open && !popped:
		l.levels = append(l.levels, level{c, list})
		return
	}
	l.levels = append(l.levels, level{c, list})
	if l.crooked {
		return
	}
	l.crooked = true
	end := len(strings.TrimRight(string(l.lines[l.at]), " "))
	above := 0
	if n > 0 {
		above = l.levels[n-1].col
	}
	switch {
	case !popped && n > 0 && above == c:
		l.found(l.at, c, end, "entry-for-key", nil)
	case !popped && n > 0:
		l.found(l.at, c, end, "indented", nil)
	default:
		l.found(l.at, c, end, "column", finding.With().Count("column", c+1))
	}
}

var keyLine = pattern.New(`^\s*(- +)*[\pL_][\pL\pN_-]*:(\s|$)`)

// value reads from column c on: a key with its value, or a value alone. start
// is the column the key would open a level in; key says whether a key may
// stand here, entry whether a hyphen opened this place.
func (l *lint) value(c, start int, key, entry bool) {
	line := l.lines[l.at]
	l.opened, l.open, l.plain = l.open, false, false
	switch r := line[c]; {
	case r == '"' || r == '\'':
		at, end, ok := l.quote(l.at, c)
		if !ok {
			return
		}
		l.at, line = at, l.lines[at]
		l.behind(space(line, end), start, key, entry, "behind-quote")
	case r == '[' || r == '{':
		end := l.flow(c, start)
		if end >= 0 {
			l.behind(end, start, false, entry, "behind-bracket")
		}
	case r == '|' || r == '>':
		l.block(c)
	case r == '%' || r == '@' || r == '`' || r == ',' || r == ']' || r == '}' ||
		r == '*' && c+1 < len(line) && !isColon(line, c+1):
		l.quoteIt(l.at, c, len(line), string(r))
	case r == '!' || r == '&':
		// a tag or mark; refused once the file parses
	case !key && isDash(line, c):
		l.found(l.at, c, textEnd(line, c, len(line)), "entry-behind-colon", nil)
	case r == '?' && (c+1 == len(line) || line[c+1] == ' '):
		l.quoteIt(l.at, c, len(line), "?")
	default:
		l.text(c, start, key, entry)
	}
}

// quoteIt says that a text cannot start as it does without quotes.
func (l *lint) quoteIt(at, from, to int, first string) {
	line := l.lines[at]
	end := textEnd(line, from, to)
	text := string(line[from:end])
	if x, err := exact.Spell(text); err == nil && x.IsRange() {
		text = x.Plain()
	}
	l.found(at, from, end, "needs-quotes",
		finding.With().Quote("first", first).Quote("write", exact.InQuotes(text)))
}

// textEnd returns the end of the text that starts at from, without a comment
// and trailing spaces.
func textEnd(line []rune, from, to int) int {
	end := to
	for i := from + 1; i < to; i++ {
		if line[i] == '#' && (line[i-1] == ' ' || line[i-1] == '\t') {
			end = i
			break
		}
	}
	for end > from && (line[end-1] == ' ' || line[end-1] == '\t') {
		end--
	}
	return end
}

// behind checks what follows a quoted text or a bracketed group.
func (l *lint) behind(c, start int, key, entry bool, form string) {
	line := l.lines[l.at]
	switch {
	case ends(line, c):
	case key && isColon(line, c):
		l.key(c, start, entry)
	default:
		end := textEnd(line, c, len(line))
		l.found(l.at, c, end, form, finding.With().Quote("typed", Clip(string(line[c:end]))))
	}
}

// key takes the colon at c as the end of a key and reads its value.
func (l *lint) key(c, start int, entry bool) {
	l.open = l.opened
	l.place(start, false, entry)
	l.open = false
	line := l.lines[l.at]
	if next := space(line, c+1); ends(line, c+1) {
		l.open = true
	} else {
		l.value(next, start, false, false)
	}
}

// text reads unquoted text: a key, or a value to the end of the line.
func (l *lint) text(c, start int, key, entry bool) {
	line := l.lines[l.at]
	end := textEnd(line, c, len(line))
	colon := -1
	for i := c; i < end && colon < 0; i++ {
		if isColon(line, i) {
			colon = i
		}
	}
	switch {
	case key && colon >= 0:
		l.key(colon, start, entry)
		return
	case colon >= 0:
		l.found(l.at, c, end, "colon", finding.With().Quote("write", exact.InQuotes(string(line[c:end]))))
	case key && !entry && !l.continues(c):
		values := finding.With()
		if i := strings.IndexRune(string(line[c:end]), ':'); i > 0 {
			nonBreaking := strings.HasPrefix(string(line[c:end])[i+1:], "\u00a0")
			values = values.Flag(nonBreaking, "non-breaking").Flag(!nonBreaking, "no-space")
		}
		l.found(l.at, c, end, "no-key", values)
	}
	l.plain = true
}

// continues says whether text in column c can belong to the value above.
func (l *lint) continues(c int) bool {
	n := len(l.levels)
	return n > 0 && c > l.levels[n-1].col
}

var blockHeader = pattern.New(`^[|>]([+-]?[1-9]?|[1-9]?[+-]?)\s*(\s#.*)?$`)

// block reads text that is announced by | or > and stands on deeper lines.
func (l *lint) block(c int) {
	line, parent := l.lines[l.at], -1
	if n := len(l.levels); n > 0 {
		parent = l.levels[n-1].col
	}
	if !blockHeader.MatchString(string(line[c:])) {
		l.quoteIt(l.at, c, len(line), string(line[c]))
		return
	}
	for l.at+1 < len(l.lines) {
		next := l.lines[l.at+1]
		if strings.TrimSpace(string(next)) != "" && indentOf(next) <= parent {
			return
		}
		l.at++
	}
}

// quote finds the end of the quoted text that starts at line at, column c. A
// quote that would close only behind a line that looks like a key was
// forgotten, not meant: it is reported.
func (l *lint) quote(at, c int) (endAt, end int, ok bool) {
	if end := quoteEnd(l.lines[at], c); end > 0 {
		l.escapes(at, c, end)
		return at, end, true
	}
	q := l.lines[at][c]
	for i := at + 1; i < len(l.lines); i++ {
		if keyLine.MatchString(string(l.lines[i])) {
			break
		}
		if end := quoteEnd(append([]rune{q}, l.lines[i]...), 0); end > 0 {
			return i, end - 1, true
		}
	}
	line := l.lines[at]
	l.found(at, c, textEnd(line, c, len(line)), "open-quote", finding.With().Quote("quote", string(q)))
	return 0, 0, false
}

// escapes reports a backslash in double quotes that stands for nothing, as in
// the path of a file.
func (l *lint) escapes(at, c, end int) {
	line := l.lines[at]
	for i := c + 1; i < end && line[c] == '"'; i++ {
		if line[i] != '\\' {
			continue
		}
		if i++; !strings.ContainsRune("0abt\tnvfre \"/\\N_LPxuU", line[i]) {
			l.found(at, i-1, i+1, "backslash", finding.With().Quote("typed", string(line[i-1:i+1])))
		}
	}
}
