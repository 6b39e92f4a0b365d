package rows

import (
	"errors"
	"io"
	"strings"
	"sync"
)

// Later is a table of which each row is read when it is first asked for. It is for tables
// inside the program: whether all rows can be read, the tests find out.
type Later[T any] struct {
	parse func(*Record) T
	lines []string // a row each

	mu    sync.Mutex
	table *sheet
	one   plain // in room that each row uses again
	rows  []T
	read  []bool
}

// ReadLater opens a table with exactly the given columns.
//
// Errors: a header that is wrong; a table in which a row is not one line.
func ReadLater[T any](file, text string, cols Columns, parse func(*Record) T) (*Later[T], error) {
	l := &Later[T]{parse: parse, table: &sheet{file: file, Col: map[string]int{}, meaning: cols.Meaning, text: text}}
	if strings.IndexByte(text, '\r') >= 0 {
		return nil, errNotPlain
	}
	l.lines = make([]string, 0, strings.Count(text, "\n"))
	for line := range strings.Lines(text) {
		if line == "\n" || strings.Count(line, `"`)%2 != 0 {
			return nil, errNotPlain
		}
		l.lines = append(l.lines, line)
	}
	if len(l.lines) == 0 {
		return nil, io.ErrUnexpectedEOF
	}
	head, err := l.split(0)
	if err == nil {
		err = l.table.header(head.cells, cols.All(), nil)
	}
	if err != nil {
		return nil, err
	}
	l.lines = l.lines[1:]
	l.rows, l.read = make([]T, len(l.lines)), make([]bool, len(l.lines))
	return l, nil
}

// split reads the cells of a line.
func (l *Later[T]) split(i int) (*plain, error) {
	l.one.rest = l.lines[i]
	err := l.one.next()
	return &l.one, err
}

// Len is how many rows there are.
func (l *Later[T]) Len() int { return len(l.lines) }

// Row returns a row by its place. It panics on one that cannot be read.
func (l *Later[T]) Row(i int) T {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.read[i] {
		return l.rows[i]
	}
	line, err := l.split(i)
	const head = 2 // lines are counted from 1, and the first is the header
	rec := &Record{Table: l.table, line: i + head, text: line.text}
	if err == nil && len(line.cells) != len(l.table.Col) {
		rec.Fail("%d cells, the header has %d", len(line.cells), len(l.table.Col))
	}
	if err == nil && len(l.table.errs) == 0 {
		l.table.cells, l.table.next = line.cells, 0
		l.rows[i], l.read[i] = l.parse(rec), true
	}
	if err = errors.Join(append(l.table.errs, err)...); err != nil {
		panic("law: " + err.Error())
	}
	return l.rows[i]
}
