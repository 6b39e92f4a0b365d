package law

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"gallipot/ingredients"
)

// Row is what every table row carries, whatever its subject.
type Row struct {
	Key    string // id of the row, unique in its table
	Source string // document and entry
	Seen   string // seen, partly, memory or none, as the table says
	Note   string // remark of the table, in its own words
	File   string // table the row stands in
	Line   int    // line of the row in that table, from 1
}

// FromMemory says whether the row's figures were not, or not wholly, read in
// their source: a figure that rests on such a row says so in the pack.
func (r *Row) FromMemory() bool { return r.Seen != "seen" }

// Figure is a number that is no percentage, with its text as printed in the
// table. The unit stands in the name of the field that holds it.
type Figure struct {
	Value float64
	Text  string
}

// TableError says which line of which table cannot be used, and why.
type TableError struct {
	File string
	Line int
	Col  int // first character of the cell at fault, from 1; 0 for the whole line
	Len  int // characters of that cell
	What string
	Fix  string // one thing to do, or empty
}

// Error returns file:line: what.
func (e *TableError) Error() string {
	s := fmt.Sprintf("%s:%d: %s", e.File, e.Line, e.What)
	if e.Fix != "" {
		s += ": " + e.Fix
	}
	return s
}

var seenWords = []string{"seen", "partly", "memory", "none"}

// record is one line of a table while it is being read.
type record struct {
	table *sheet
	line  int
	cells []string
	cols  []int // where each cell starts in its line, in characters from 1
	// filled holds cells that were taken from other cells of the row.
	filled map[string]string
}

// sheet is a table while it is being read.
type sheet struct {
	file string
	col  map[string]int
	errs []error
	// sourceless: rows may lack a source; the reader then checks that such a
	// row bears no figure.
	sourceless bool
}

// columns are those of one table.
type columns struct {
	meaning []string // what figures, verdicts and findings rest on
	remarks []string // words for people: no code reads them but to print them
}

func (c columns) all() []string { return slices.Concat(c.meaning, c.remarks) }

func (r *record) fail(what string, args ...any) {
	r.table.errs = append(r.table.errs, &TableError{File: r.table.file, Line: r.line, What: fmt.Sprintf(what, args...)})
}

// failIn reports a fault of one cell. An error that knows a remedy gives it.
func (r *record) failIn(col string, err error) {
	e := &TableError{File: r.table.file, Line: r.line, What: col + ": " + err.Error()}
	if i, ok := r.table.col[col]; ok {
		e.Col, e.Len = r.cols[i], max(utf8.RuneCountInString(r.cells[i]), 1)
	}
	var v *ingredients.ValueError
	if errors.As(err, &v) {
		e.What, e.Fix = col+": "+v.What, v.Fix
	}
	r.table.errs = append(r.table.errs, e)
}

// text returns a cell without the spaces around it; empty for a column that the
// table may lack and does.
func (r *record) text(col string) string {
	if s, ok := r.filled[col]; ok {
		return s
	}
	if i, ok := r.table.col[col]; ok {
		return strings.TrimSpace(r.cells[i])
	}
	return ""
}

// must returns a cell that may not be empty.
func (r *record) must(col string) string {
	s := r.text(col)
	if s == "" {
		r.fail("%s is empty", col)
	}
	return s
}

// list returns the items of a cell joined by semicolons.
func (r *record) list(col string) []string { return splitList(r.text(col)) }

func splitList(cell string) []string {
	var out []string
	for item := range strings.SplitSeq(cell, ";") {
		if item = strings.TrimSpace(item); item != "" {
			out = append(out, item)
		}
	}
	return out
}

// num returns a decimal cell, nil for an empty one: empty is not stated, zero
// is zero.
func (r *record) num(col string) *ingredients.Num {
	s := r.text(col)
	if s == "" {
		return nil
	}
	n, err := ingredients.ParseNum(s)
	if err == nil && n.Sign() < 0 {
		err = errors.New(s + " is negative")
	}
	if err != nil {
		r.failIn(col, err)
		return nil
	}
	return &n
}

// pct returns a percentage cell, which lies between 0 and 100.
func (r *record) pct(col string) *ingredients.Num {
	n := r.num(col)
	if n != nil && ingredients.Int(100).Less(*n) {
		r.failIn(col, errors.New(r.text(col)+" is above 100 %"))
	}
	return n
}

// figure returns a float cell, nil for an empty one.
func (r *record) figure(col string) *Figure {
	s := r.text(col)
	if s == "" {
		return nil
	}
	f, ok := parseFigure(s)
	if !ok {
		r.failIn(col, fmt.Errorf("%q is not a number", s))
		return nil
	}
	return &f
}

func parseFigure(s string) (Figure, bool) {
	if strings.Trim(s, "-0123456789.") != "" {
		return Figure{}, false // ParseFloat would take "inf", "0x1" and "1_000"
	}
	f, err := strconv.ParseFloat(s, 64)
	return Figure{Value: f, Text: s}, err == nil
}

// date returns a day, the zero Date for an empty cell.
func (r *record) date(col string) ingredients.Date {
	s := r.text(col)
	if s == "" {
		return 0
	}
	d, err := ingredients.ParseDate(s)
	if err != nil {
		r.failIn(col, err)
	}
	return d
}

// word returns a cell that must be one of the given words.
func (r *record) word(col string, allowed ...string) string {
	s := r.text(col)
	if !slices.Contains(allowed, s) {
		r.failIn(col, fmt.Errorf("%q is none of %s", s, strings.Join(allowed, ", ")))
	}
	return s
}

// yes returns a cell that is yes or no.
func (r *record) yes(col string) bool { return r.word(col, "yes", "no") == "yes" }

// mark returns a cell that is yes or empty.
func (r *record) mark(col string) bool { return r.word(col, "", "yes") == "yes" }

// head fills the part all rows have in common.
func (r *record) head(key string) Row {
	if key == "" {
		r.fail("the row has no key")
	}
	source := r.text("source")
	if source == "" && !r.table.sourceless {
		r.fail("source is empty")
	}
	return Row{
		Key: key, Source: source, Seen: r.word("seen", seenWords...), Note: r.text("note"),
		File: r.table.file, Line: r.line,
	}
}

// readTable reads a table with exactly the given columns. All faulty lines are
// reported, not the first alone.
func readTable[T any](file string, data []byte, cols columns, parse func(*record) T) ([]T, error) {
	return readLacking(file, data, cols, nil, parse)
}

// readLacking reads a table that may lack some of its columns.
func readLacking[T any](file string, data []byte, known columns, mayLack []string, parse func(*record) T) ([]T, error) {
	columns := known.all()
	t := &sheet{file: file, col: map[string]int{}}
	cr := csv.NewReader(bytes.NewReader(bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))))
	cr.FieldsPerRecord = -1
	lines, cols, rows, err := allRecords(cr, bytes.TrimPrefix(data, []byte("\xef\xbb\xbf")))
	if err != nil {
		var pe *csv.ParseError
		if errors.As(err, &pe) {
			return nil, &TableError{File: file, Line: pe.Line, What: pe.Err.Error()}
		}
		return nil, &TableError{File: file, Line: 1, What: err.Error()}
	}
	if len(rows) == 0 {
		return nil, &TableError{File: file, Line: 1, What: "the table is empty", Fix: "start with the header line " + strings.Join(columns, ",")}
	}
	if err := t.header(rows[0], columns, mayLack); err != nil {
		return nil, err
	}
	var out []T
	for i, cells := range rows[1:] {
		rec := &record{table: t, line: lines[i+1], cells: cells, cols: cols[i+1]}
		if len(cells) != len(rows[0]) {
			rec.fail("%d cells, the header has %d", len(cells), len(rows[0]))
			continue
		}
		faults := len(t.errs)
		if row := parse(rec); len(t.errs) == faults {
			out = append(out, row) // a faulty row is reported and left out
		}
	}
	return out, errors.Join(t.errs...)
}

// allRecords reads every record with the line it starts on and the character
// each of its cells starts at.
func allRecords(cr *csv.Reader, data []byte) (lines []int, cols [][]int, rows [][]string, err error) {
	text := bytes.Split(data, []byte("\n"))
	for {
		cells, err := cr.Read()
		if cells == nil {
			if err != nil && !errors.Is(err, io.EOF) {
				return nil, nil, nil, err
			}
			return lines, cols, rows, nil
		}
		if err != nil {
			return nil, nil, nil, err
		}
		at := make([]int, len(cells))
		counted, from, chars := 0, 0, 0 // in line counted, up to byte from
		for i := range cells {
			line, to := cr.FieldPos(i)
			if line != counted {
				counted, from, chars = line, 0, 0
			}
			chars += utf8.RuneCount(text[line-1][from : to-1])
			from, at[i] = to-1, chars+1
		}
		line, _ := cr.FieldPos(0)
		lines, cols, rows = append(lines, line), append(cols, at), append(rows, cells)
	}
}

// header checks that the columns are the known ones, in any order, and that none
// is missing but those that may.
func (t *sheet) header(cells, columns, mayLack []string) error {
	for i, c := range cells {
		c = strings.TrimSpace(c)
		if !slices.Contains(columns, c) {
			fix := "use these columns: " + strings.Join(columns, ",")
			if near := ingredients.Nearest(c, columns); near != "" {
				fix = "did you mean " + near + "?"
			}
			return &TableError{File: t.file, Line: 1, What: fmt.Sprintf("unknown column %q", c), Fix: fix}
		}
		if _, twice := t.col[c]; twice {
			return &TableError{File: t.file, Line: 1, What: fmt.Sprintf("column %q stands twice", c), Fix: "remove one"}
		}
		t.col[c] = i
	}
	for _, c := range columns {
		if _, ok := t.col[c]; !ok && !slices.Contains(mayLack, c) {
			return &TableError{File: t.file, Line: 1, What: fmt.Sprintf("column %q is missing", c), Fix: "add it; its cells may be empty where the value is not stated"}
		}
	}
	return nil
}
