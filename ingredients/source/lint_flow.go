package source

import (
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// bracket is an open [ or {.
type bracket struct {
	r       rune
	at, col int
}

func closes(open, close rune) bool {
	return open == '[' && close == ']' || open == '{' && close == '}'
}

// flowLint reads one bracketed group, which may run over several lines.
type flowLint struct {
	*lint
	open   []bracket
	c      int  // next character
	fresh  bool // a value may start here
	colons int  // in the current entry
	from   int  // where the current value starts
}

// flow reads the group that starts at column c of the current line and returns
// the column behind it, on what is then the current line, or -1 when something
// stands in the way. start is the column of the group's key.
func (l *lint) flow(c, start int) int {
	f := &flowLint{lint: l, c: c, fresh: true, from: c}
	before := len(l.out)
	for {
		line := l.lines[l.at]
		if ends(line, f.c) {
			if !f.next(start) {
				return -1
			}
			continue
		}
		if !f.step(line) {
			return -1
		}
		if len(f.open) == 0 {
			if len(l.out) > before {
				return -1
			}
			return f.c
		}
	}
}

// next goes to the next line. A line that is no deeper than the key of the
// group, or that looks like a list entry, shows that a bracket was forgotten.
func (f *flowLint) next(start int) bool {
	at := f.at + 1
	for at < len(f.lines) && blank(f.lines[at]) {
		at++
	}
	if at < len(f.lines) {
		line := f.lines[at]
		c := space(line, 0)
		if (c > start || line[c] == ']' || line[c] == '}') && !isDash(line, c) {
			f.at, f.c, f.from = at, c, c
			return true
		}
	}
	b := f.open[len(f.open)-1]
	line := f.lines[b.at]
	want := map[rune]string{'[': "]", '{': "}"}[b.r]
	end := textEnd(line, b.col, len(line))
	f.found(b.at, b.col, end, "open-bracket", finding.With().Quote("bracket", string(b.r)).Quote("write", want).
		Flag(ends(line, end) && space(line, end) < len(line), "comment"))
	return false
}

// step reads one token.
func (f *flowLint) step(line []rune) bool {
	switch r := line[f.c]; {
	case r == ' ' || r == '\t':
		f.c++
	case r == '[' || r == '{':
		if !f.fresh {
			f.found(f.at, f.from, f.valueEnd(line), "bracket", finding.With().
				Quote("write", exact.InQuotes(string(line[f.from:f.valueEnd(line)]))))
			f.c = max(f.valueEnd(line), f.c+1)
			return true
		}
		f.open = append(f.open, bracket{r, f.at, f.c})
		f.start(f.c + 1)
		f.colons = 0
	case r == ']' || r == '}':
		b := f.open[len(f.open)-1]
		if !closes(b.r, r) {
			f.found(f.at, f.c, f.c+1, "brackets", finding.With().Quote("close", string(r)).Quote("open", string(b.r)))
		}
		f.open = f.open[:len(f.open)-1]
		f.c++
		f.fresh = false
	case r == ',':
		f.start(f.c + 1)
		f.colons = 0
	case r == ':' && (isColon(line, f.c) || f.c+1 < len(line) && (line[f.c+1] == ',' || line[f.c+1] == '}' ||
		line[f.c+1] == ']')):
		if f.colons++; f.colons == 2 {
			end := f.valueEnd(line)
			f.found(f.at, f.from, end, "colon", finding.With().
				Quote("write", exact.InQuotes(string(line[f.from:end]))))
			f.c = max(end, f.c+1)
			return true
		}
		f.start(f.c + 1)
	case f.fresh && (r == '"' || r == '\''):
		return f.quoted()
	case f.fresh && (r == '|' || r == '>' || r == '%' || r == '@' || r == '`' || r == '*'):
		end := f.valueEnd(line)
		f.quoteIt(f.at, f.c, end, string(r))
		f.c, f.fresh = max(end, f.c+1), false
	default:
		if f.fresh {
			f.from, f.fresh = f.c, false
		}
		f.c++
	}
	return true
}

// start says that a value may start from column c on.
func (f *flowLint) start(c int) { f.c, f.from, f.fresh = c, c, true }

// valueEnd returns the end of the current entry on this line.
func (f *flowLint) valueEnd(line []rune) int {
	i := max(f.c, f.from)
	depth := 0
	for ; i < len(line); i++ {
		switch r := line[i]; {
		case r == '[' || r == '{':
			depth++
		case (r == ']' || r == '}') && depth > 0:
			depth--
		case (r == ',' || r == ']' || r == '}') && depth == 0:
			return textEnd(line, f.from, i)
		}
	}
	return textEnd(line, f.from, i)
}

// quoted reads a quoted text inside brackets.
func (f *flowLint) quoted() bool {
	at, end, ok := f.quote(f.at, f.c)
	if !ok {
		return false
	}
	f.at, f.c, f.fresh = at, end, false
	line := f.lines[at]
	c := space(line, end)
	if ends(line, c) {
		return true
	}
	switch line[c] {
	case ',', ']', '}', ':':
		return true
	}
	f.from = c
	to := f.valueEnd(line)
	f.found(at, c, to, "behind-quote", finding.With().Quote("typed", Clip(string(line[c:to]))))
	f.c = max(to, c+1)
	return true
}
