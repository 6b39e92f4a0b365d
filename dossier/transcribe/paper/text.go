package paper

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode"
	"unicode/utf16"
	"unicode/utf8"

	"gallipot/dossier/transcribe/lexicon"

	"gallipot/ingredients/pattern"
	"golang.org/x/text/encoding/charmap"
)

// decode turns bytes into text: by the mark at their start, as UTF-8 where they
// are valid, otherwise as Windows-1252, or as its Polish sister where its letters say so.
// ok is false for what is no text.
func decode(data []byte) (text string, ok bool) {
	switch {
	case bytes.HasPrefix(data, []byte{0xef, 0xbb, 0xbf}):
		data = data[3:]
	case bytes.HasPrefix(data, []byte{0xff, 0xfe}), bytes.HasPrefix(data, []byte{0xfe, 0xff}):
		units := make([]uint16, 0, len(data)/2)
		for i := 2; i+1 < len(data); i += 2 {
			if data[0] == 0xff {
				units = append(units, uint16(data[i])|uint16(data[i+1])<<8)
			} else {
				units = append(units, uint16(data[i+1])|uint16(data[i])<<8)
			}
		}
		return unifiedLines(string(utf16.Decode(units))), true
	}
	if bytes.IndexByte(data, 0) >= 0 {
		return "", false
	}
	if utf8.Valid(cutRune(data)) {
		return unifiedLines(string(data)), true
	}
	out, err := charmap.Windows1252.NewDecoder().Bytes(data)
	text = string(out)
	if withinWord.MatchString(text) {
		text = polish.Replace(text)
	}
	return unifiedLines(text), err == nil
}

// withinWord are signs that stand inside no word: there they are Polish letters of
// Windows-1250, and polish gives what that has where Windows-1252 has another letter.
var (
	withinWord = pattern.New(`\pL[¹³¿]\p{Ll}`)
	polish     = strings.NewReplacer("¹", "ą", "³", "ł", "¿", "ż", "ê", "ę", "æ", "ć", "ñ", "ń", "œ", "ś", "Ÿ", "ź",
		"¥", "Ą", "£", "Ł", "¯", "Ż", "Ê", "Ę", "Æ", "Ć", "Ñ", "Ń", "Œ", "Ś", "\u008f", "Ź")
)

// cutRune leaves out a letter that is cut in two at the end.
func cutRune(data []byte) []byte {
	for i := 1; i <= 3 && i <= len(data); i++ {
		if b := data[len(data)-i]; utf8.RuneStart(b) {
			if !utf8.FullRune(data[len(data)-i:]) {
				return data[:len(data)-i]
			}
			break
		}
	}
	return data
}

func unifiedLines(s string) string {
	return strings.ReplaceAll(strings.ReplaceAll(s, "\r\n", "\n"), "\r", "\n")
}

var separators = []rune{';', '\t', ',', '|'}

// separator finds the sign that parts the fields: the one that reads without
// error and gives the steadiest number of fields above one. ok is false where no
// sign does.
func separator(text string) (sep rune, lazy, ok bool) {
	best := 0.0
	for _, lax := range []bool{false, true} {
		for _, s := range separators {
			if score := steadiness(text, s, lax); score > best {
				best, sep, lazy = score, s, lax
			}
		}
		if best > 0.5 {
			break
		}
	}
	return sep, lazy, best > 0
}

// steadiness says how well a sign parts the fields: the share of rows that have
// the commonest number of fields above one.
func steadiness(text string, sep rune, lazy bool) float64 {
	rows, err := fields(text, sep, lazy)
	if err != nil || len(rows) == 0 {
		return 0
	}
	counts := map[int]int{}
	for _, r := range rows {
		counts[len(r)]++
	}
	score := 0.0
	for n, times := range counts {
		if n > 1 {
			score = max(score, float64(times)/float64(len(rows))+0.001*float64(min(n, 20)))
		}
	}
	return score
}

func newFields(text string, sep rune, lazy bool) *csv.Reader {
	r := csv.NewReader(strings.NewReader(text))
	r.Comma, r.FieldsPerRecord, r.LazyQuotes = sep, -1, lazy
	return r
}

func fields(text string, sep rune, lazy bool) ([][]string, error) {
	return newFields(text, sep, lazy).ReadAll()
}

// looksSeparated says whether a text without the name of a table is one: most
// lines part into the same number of fields, and the fields are short.
func looksSeparated(data []byte) bool {
	text, ok := decode(data[:min(len(data), 1<<16)])
	if !ok {
		return false
	}
	if i := strings.LastIndexByte(text, '\n'); i > 0 && len(data) > 1<<16 {
		text = text[:i]
	}
	for _, s := range []rune{';', '\t'} {
		rows, err := fields(text, s, true)
		if err != nil || len(rows) < 3 {
			continue
		}
		many := 0
		for _, r := range rows {
			if len(r) > 2 {
				many++
			}
		}
		if many*10 >= len(rows)*7 {
			return true
		}
	}
	return false
}

// readTable reads separated values. Rows keep the line of the file at which they
// begin.
func readTable(f *File, data []byte, lim Limits) error {
	text, ok := decode(data)
	if !ok {
		return trouble("unknown-form", "")
	}
	from, lazy := 0, true
	var sep rune
	if first, rest, _ := strings.Cut(text, "\n"); len(first) == 5 &&
		strings.HasPrefix(strings.ToLower(first), "sep=") {
		sep, text, from = rune(first[4]), rest, 1
	} else if sep, lazy, ok = separator(text); !ok {
		sep = ';'
	}
	page := Page{Number: 1}
	r := newFields(text, sep, lazy)
	for {
		row, err := r.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil { // stray quotes: read the lines as they stand
			f.Form = Text
			return readText(f, data, lim)
		}
		if len(page.Lines) >= lim.Lines {
			f.caution("lines-left", 1, "", fmt.Sprint(lim.Lines))
			break
		}
		at, _ := r.FieldPos(0)
		line := Line{Number: at + from, Grid: 1}
		for i, field := range row {
			line.Cells = append(line.Cells, Cell{Text: strings.TrimSpace(field), Col: i, Span: 1})
		}
		page.Lines = append(page.Lines, line)
	}
	f.Pages = []Page{page}
	return nil
}

// readText reads plain text and mail: each line parts into cells where two blanks,
// a tab or an upright bar stand.
func readText(f *File, data []byte, lim Limits) error {
	text, ok := decode(data)
	if !ok {
		return trouble("unknown-form", "")
	}
	if f.Form == Mail {
		if body, isWeb, ok := mailBody(f, text); ok {
			if isWeb {
				return readWeb(f, []byte(body), lim)
			}
			text = body
		}
	}
	page := Page{Number: 1}
	quotedFrom := -1
	all := strings.Split(text, "\n")
	blocks := separatedBlocks(all)
	for i, s := range all {
		if i >= lim.Lines {
			f.caution("lines-left", 1, "", fmt.Sprint(lim.Lines))
			break
		}
		line := Line{Number: i + 1}
		if f.Form == Mail {
			s, line.Quote = unquote(s)
			if quotedFrom < 0 && i > 0 && forwarded().MatchString(s) {
				quotedFrom = i
			}
			if quotedFrom >= 0 && line.Quote == 0 {
				line.Quote = 1
			}
		}
		line.Raw = s
		if b, ok := blocks[i]; ok && line.Quote == 0 {
			line.Cells, line.Grid = b.cells(s), b.number
		} else {
			line.Cells = textCells(s)
		}
		if len(line.Cells) > 0 {
			page.Lines = append(page.Lines, line)
		}
	}
	if f.Form == Mail {
		markOlder(page.Lines)
	}
	f.Pages = []Page{page}
	return nil
}

// block is a run of lines of a text that one sign parts into the same number of
// fields: a table with separators, pasted into a text.
type block struct {
	number int
	sep    string
}

func (b block) cells(s string) []Cell {
	var out []Cell
	for i, field := range strings.Split(s, b.sep) {
		out = append(out, Cell{Text: strings.Trim(strings.TrimSpace(field), `"`), Col: i, Span: 1})
	}
	return out
}

// separatedBlocks finds the blocks of a text, by line: three lines or more with the
// same number of at least three fields.
func separatedBlocks(lines []string) map[int]block {
	out := map[int]block{}
	number := 0
	for i := 0; i < len(lines); {
		n, sep := blockAt(lines[i:])
		if n == 0 {
			i++
			continue
		}
		number++
		for k := range n {
			out[i+k] = block{number, sep}
		}
		i += n
	}
	return out
}

// blockAt says how many lines from the first belong to one block, and its sign.
func blockAt(lines []string) (n int, sep string) {
	for _, sep := range []string{";", ","} {
		fields := strings.Count(lines[0], sep)
		if fields < 2 || strings.Contains(lines[0], sep+" ") {
			continue
		}
		n := 1
		for n < len(lines) && strings.Count(lines[n], sep) == fields && !strings.Contains(lines[n], sep+" ") {
			n++
		}
		if n >= 3 {
			return n, sep
		}
	}
	return 0, ""
}

// forwarded is the line above an older mail that is not marked line by line.
var forwarded = lexicon.Pattern(`(?i)^\s*(-{2,} ?<<forwarded>>.*|_{10,})$`)

// unquote takes the marks of quoted mail from the start of a line and counts them.
func unquote(s string) (string, int) {
	n := 0
	for {
		t := strings.TrimLeft(s, " ")
		if !strings.HasPrefix(t, ">") {
			return s, n
		}
		s, n = t[1:], n+1
	}
}

var barRow = pattern.New(`^[\s|+:=─━┼│-]*$`)

// textCells parts a line of text. Positions are counted in letters.
func textCells(s string) []Cell {
	if barRow.MatchString(s) && strings.ContainsAny(s, "-=─━") && strings.TrimLeft(s, " ") != "-" {
		return nil // a rule drawn with signs
	}
	rs := []rune(expandTabs(s))
	var cells []Cell
	start, blanks := -1, 0
	flush := func(end int) {
		if start >= 0 {
			text := strings.TrimSpace(string(rs[start:end]))
			cells = append(cells, Cell{Text: text, X0: float64(start), X1: float64(start + len([]rune(text))),
				Col: len(cells), Span: 1})
		}
		start, blanks = -1, 0
	}
	for i, r := range rs {
		switch {
		case r == '|' || r == '│' || r == '\t':
			flush(i)
		case unicode.IsSpace(r):
			if blanks++; blanks == 2 {
				flush(i - 1)
			}
		default:
			if start < 0 {
				start = i
			}
			blanks = 0
		}
	}
	flush(len(rs))
	return slices.DeleteFunc(splitLeaders(cells), func(c Cell) bool { return c.Text == "" })
}

func expandTabs(s string) string {
	if !strings.Contains(s, "\t") {
		return s
	}
	var b strings.Builder
	n := 0
	for _, r := range s {
		if r != '\t' {
			b.WriteRune(r)
			n++
			continue
		}
		for first := true; first || n%8 != 0 || strings.HasSuffix(b.String(), " ") &&
			!strings.HasSuffix(b.String(), "  "); first = false {
			b.WriteByte(' ')
			n++
		}
	}
	return b.String()
}

var leaders = pattern.New(`\s*(\.{4,}| \.{3} |(\. ){3,}\.?|…{2,}|_{4,})\s*`)

func splitLeaders(cells []Cell) []Cell {
	var out []Cell
	for _, c := range cells {
		at := leaders.FindStringIndex(c.Text)
		if at == nil {
			c.Col = len(out)
			out = append(out, c)
			continue
		}
		before, after := c.Text[:at[0]], c.Text[at[1]:]
		if before != "" {
			out = append(out, Cell{Text: before, X0: c.X0, X1: c.X0 + float64(utf8.RuneCountInString(before)),
				Col: len(out), Span: 1})
		}
		if after != "" {
			out = append(out, Cell{Text: after, X0: c.X1 - float64(utf8.RuneCountInString(after)), X1: c.X1,
				Col: len(out), Span: 1})
		}
	}
	return out
}
