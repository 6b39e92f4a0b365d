package edit

import (
	"bytes"
	"sort"
	"strings"
	"unicode/utf8"

	"go.yaml.in/yaml/v3"
)

var bom = []byte("\ufeff")

// splitLines finds the line starts and the kind of line end. Line ends that the YAML
// library counts and text editors do not are refused, since places would differ.
func (f *File) splitLines() error {
	from := 0
	if bytes.HasPrefix(f.data, bom) {
		from = len(bom)
	}
	f.lines = []int{from}
	crlf := 0
	for i := from; i < len(f.data); i++ {
		switch f.data[i] {
		case '\n':
			f.lines = append(f.lines, i+1)
			if i > from && f.data[i-1] == '\r' {
				crlf++
			}
		case '\r':
			if i+1 == len(f.data) || f.data[i+1] != '\n' {
				return refuse("odd-lines", i)
			}
		}
	}
	if i := bytes.IndexAny(f.data, "\u0085\u2028\u2029"); i >= 0 {
		return refuse("odd-lines", i)
	}
	f.eol = "\n"
	if crlf > 0 && crlf*2 >= len(f.lines)-1 {
		f.eol = "\r\n"
	}
	return nil
}

// offset returns the byte of a place; line and col count from 1, col in characters.
func (f *File) offset(line, col int) int {
	if line < 1 || line > len(f.lines) {
		return len(f.data)
	}
	i := f.lines[line-1]
	for ; col > 1 && i < len(f.data); col-- {
		_, size := utf8.DecodeRune(f.data[i:])
		i += size
	}
	return i
}

// place returns line and column of a byte, both from 1.
func (f *File) place(offset int) (line, col int) {
	line = sort.SearchInts(f.lines, offset+1)
	if line == 0 {
		return 1, 1
	}
	return line, utf8.RuneCount(f.data[f.lines[line-1]:min(offset, len(f.data))]) + 1
}

// column returns the number of characters before a byte in its line.
func (f *File) column(offset int) int {
	_, col := f.place(offset)
	return col - 1
}

// at returns the byte at i; 0 behind the end.
func (f *File) at(i int) byte {
	if i < 0 || i >= len(f.data) {
		return 0
	}
	return f.data[i]
}

func isSpace(b byte) bool { return b == ' ' || b == '\t' }

func isBreak(b byte) bool { return b == '\n' || b == '\r' }

// skip returns the first byte from i on that is no space, line end or comment.
func (f *File) skip(i int) int {
	for i < len(f.data) {
		switch b := f.data[i]; {
		case isSpace(b) || isBreak(b):
			i++
		case b == '#' && f.commentAt(i):
			i = f.lineEnd(i)
		case i == 0 && bytes.HasPrefix(f.data, bom):
			i += len(bom)
		default:
			return i
		}
	}
	return i
}

// commentAt says whether a # outside a value starts a comment.
func (f *File) commentAt(i int) bool {
	return i == 0 || i == f.lines[0] || isSpace(f.data[i-1]) || isBreak(f.data[i-1])
}

// lineStart returns the start of the line of i.
func (f *File) lineStart(i int) int {
	line, _ := f.place(i)
	return f.lines[line-1]
}

// lineEnd returns the end of the line of i, before its line end.
func (f *File) lineEnd(i int) int {
	j := bytes.IndexByte(f.data[i:], '\n')
	if j < 0 {
		return len(f.data)
	}
	if j > 0 && f.data[i+j-1] == '\r' {
		j--
	}
	return i + j
}

// nextLine returns the start of the line behind that of i, or the end of the file.
func (f *File) nextLine(i int) int {
	if j := bytes.IndexByte(f.data[i:], '\n'); j >= 0 {
		return i + j + 1
	}
	return len(f.data)
}

// firstInLine says that only spaces stand before i in its line.
func (f *File) firstInLine(i int) bool {
	return strings.Trim(string(f.data[f.lineStart(i):i]), " \t") == ""
}

// locateScalar finds the end of a single value.
func (f *File) locateScalar(n *node, parent int) error {
	switch {
	case n.style&(yaml.DoubleQuotedStyle|yaml.SingleQuotedStyle) != 0:
		n.end = f.quoteEnd(n.start)
	case n.style&(yaml.LiteralStyle|yaml.FoldedStyle) != 0:
		n.end = f.blockEnd(n.start, parent)
	default:
		n.end = f.plainEnd(n.start, n.text)
	}
	if n.end < 0 {
		return refuse("odd-layout", n.start)
	}
	return nil
}

// quoteEnd returns the place behind the closing quote; -1 where there is none.
func (f *File) quoteEnd(i int) int {
	quote := f.at(i)
	if quote != '"' && quote != '\'' {
		return -1
	}
	for i++; i < len(f.data); i++ {
		switch b := f.data[i]; {
		case b == '\\' && quote == '"':
			i++
		case b == quote && quote == '\'' && f.at(i+1) == quote:
			i++
		case b == quote:
			return i + 1
		}
	}
	return -1
}

// blockEnd returns the end of a text written with | or >: all lines deeper than the key.
func (f *File) blockEnd(i, parent int) int {
	if b := f.at(i); b != '|' && b != '>' {
		return -1
	}
	end := f.lineEnd(i)
	keep := bytes.IndexByte(f.data[i:end], '+') >= 0
	for next := f.nextLine(i); next < len(f.data); next = f.nextLine(next) {
		line := f.data[next:f.lineEnd(next)]
		body := bytes.TrimLeft(line, " ")
		if len(body) > 0 && len(line)-len(body) <= parent {
			break
		}
		if len(body) > 0 || keep {
			end = f.lineEnd(next)
		}
	}
	return end
}

// plainEnd returns the end of a value without quotes, which may run over several lines;
// -1 where the bytes do not read as the text.
func (f *File) plainEnd(i int, text string) int {
	for len(text) > 0 {
		switch b := f.at(i); {
		case b == text[0] && !isBreak(b):
			i, text = i+1, text[1:]
			continue
		case !isSpace(b) && !isBreak(b):
			return -1
		}
		breaks := 0
		for isSpace(f.at(i)) || isBreak(f.at(i)) {
			if f.data[i] == '\n' {
				breaks++
			}
			i++
		}
		want := " "
		if breaks > 1 {
			want = strings.Repeat("\n", breaks-1)
		}
		var ok bool
		if text, ok = strings.CutPrefix(text, want); !ok || breaks == 0 {
			return -1
		}
	}
	return i
}

// commentsOutside finds the comments that stand outside the single values.
func (f *File) commentsOutside(values []span) []span {
	var found []span
	next := 0
	for i := 0; i < len(f.data); i++ {
		for next < len(values) && values[next].to <= i {
			next++
		}
		if next < len(values) && values[next].from <= i {
			i = values[next].to - 1
			continue
		}
		if f.data[i] == '#' && f.commentAt(i) {
			end := f.lineEnd(i)
			found = append(found, span{i, end})
			i = end - 1
		}
	}
	return found
}
