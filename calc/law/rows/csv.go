package rows

import (
	"errors"
	"io"
	"strings"
)

// errNotPlain says that a table has to be read with encoding/csv.
var errNotPlain = errors.New("not plain")

// plainly gives the records of a table as encoding/csv reads them, without a copy of each
// cell. It leaves to it what is faulty or has a carriage return in the midst of a line.
func plainly(text string) records {
	if text = strings.ReplaceAll(text, "\r\n", "\n"); strings.IndexByte(text, '\r') >= 0 {
		return func(*Record) ([]string, error) { return nil, errNotPlain }
	}
	p := plain{rest: text, line: 1}
	return func(r *Record) ([]string, error) {
		err := p.next()
		r.text, r.line = p.text, p.first
		return p.cells, err
	}
}

// plain goes through a text record by record.
type plain struct {
	rest  string
	line  int      // on which rest begins
	text  string   // of the record read last
	first int      // line on which it begins
	cells []string // of it
}

// next reads a record.
//
// Errors: io.EOF at the end; errNotPlain.
func (p *plain) next() error {
	for p.rest != "" && p.rest[0] == '\n' {
		p.rest, p.line = p.rest[1:], p.line+1
	}
	if p.rest == "" {
		return io.EOF
	}
	left, cells := p.rest, p.cells[:0]
	p.first = p.line
	for {
		for left != "" && left[0] == ',' { // most cells of wide tables are empty
			cells, left = append(cells, ""), left[1:]
		}
		cell, rest, breaks, ok := nextCell(left)
		if !ok {
			return errNotPlain
		}
		cells, left, p.line = append(cells, cell), rest, p.line+breaks
		if left == "" || left[0] != ',' {
			break
		}
		left = left[1:]
	}
	p.text, p.rest, p.cells = p.rest[:len(p.rest)-len(left)], left, cells
	return nil
}

// nextCell reads one cell up to the comma, the line break or the end behind it. breaks are
// the line breaks inside.
func nextCell(text string) (cell, rest string, breaks int, ok bool) {
	if text == "" || text[0] != '"' {
		end, ok := 0, true
		for ; end < len(text) && text[end] != ',' && text[end] != '\n'; end++ {
			ok = ok && text[end] != '"'
		}
		return text[:end], text[end:], 0, ok
	}
	for from := 1; ; {
		end := strings.IndexByte(text[from:], '"')
		if end < 0 {
			return "", "", 0, false
		}
		end += from
		if end+1 < len(text) && text[end+1] == '"' {
			from = end + 2
			continue
		}
		cell, rest = text[1:end], text[end+1:]
		if strings.IndexByte(cell, '"') >= 0 {
			cell = strings.ReplaceAll(cell, `""`, `"`)
		}
		return cell, rest, strings.Count(text[:end], "\n"), rest == "" || rest[0] == ',' || rest[0] == '\n'
	}
}
