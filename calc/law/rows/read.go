package rows

import (
	"crypto/sha256"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"gallipot/ingredients/exact"
)

// Row is what every table row carries, whatever its subject.
type Row struct {
	Key    string // id of the row, unique in its table
	Source string // document and entry
	Seen   string // seen, partly, memory or none, as the table says
	Note   string // remark of the table, in its own words: for a reader alone
	File   string // table the row stands in
	Line   int    // line of the row in that table, from 1

	cells *Record // what the row was read from; nil for a row that stands in no table
}

// Remarks is the remark of the row, for a reader: none or one. Nothing is decided by it: whether
// there is one changes what is printed and no figure or verdict.
func (r *Row) Remarks() []string {
	if r.Note == "" {
		return nil
	}
	return []string{r.Note}
}

// Digest is a hash of what a row means: its cells in the columns that mean
// something, and not its source, its note or its place.
type Digest [sha256.Size]byte

// Meaning returns the digest of the row; the zero Digest for one of no table.
func (r *Row) Meaning() Digest {
	if r.cells == nil {
		return Digest{}
	}
	return sha256.Sum256(r.cells.appendMeaning(nil))
}

// Meanings returns the digest of each row.
func Meanings(rows []*Row) []Digest {
	var room []byte
	out := make([]Digest, len(rows))
	for i, r := range rows {
		if r.cells != nil {
			room = r.cells.appendMeaning(room[:0])
			out[i] = sha256.Sum256(room)
		}
	}
	return out
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

var SeenWords = []string{"seen", "partly", "memory", "none"}

// Record is one line of a table. Of its cells it keeps none but the text they stand in.
type Record struct {
	Table *sheet
	line  int
	text  string
	cells []string // of a table that was not split plainly; nil: split text
	// filled holds cells that were taken from other cells of the row.
	Filled map[string]string
}

// all returns the cells of a record.
func (r *Record) all() []string {
	if r.cells != nil {
		return r.cells
	}
	p := plain{rest: r.text, cells: make([]string, 0, len(r.Table.Col))}
	p.next()
	return p.cells
}

func (r *Record) Fail(what string, args ...any) {
	r.Table.errs = append(r.Table.errs, &TableError{File: r.Table.file, Line: r.line,
		What: fmt.Sprintf(what, args...)})
}

// FailIn reports a fault of one cell. An error that knows a remedy gives it.
func (r *Record) FailIn(col string, err error) {
	e := &TableError{File: r.Table.file, Line: r.line, What: col + ": " + err.Error()}
	e.Col, e.Len = r.At(col)
	var v *exact.ValueError
	if errors.As(err, &v) {
		e.What, e.Fix = col+": "+v.What, v.Fix
	}
	r.Table.errs = append(r.Table.errs, e)
}

// At returns where a cell starts in its line and how long it is, in characters from
// 1; zeros for a column that the table lacks.
func (r *Record) At(col string) (at, length int) {
	i, ok := r.Table.Col[col]
	if !ok {
		return 0, 0
	}
	if r.Table.places == nil {
		r.Table.places = cellPlaces(r.Table.text)
	}
	return r.Table.places[r.line][i], max(utf8.RuneCountInString(r.all()[i]), 1)
}

// Text returns a cell without the spaces around it; empty for a column that the
// table may lack and does.
func (r *Record) Text(col string) string {
	if r.Filled != nil {
		if s, ok := r.Filled[col]; ok {
			return s
		}
	}
	if i, ok := r.Table.place(col); ok {
		return strings.TrimSpace(r.Table.cells[i])
	}
	return ""
}

// Must returns a cell that may not be empty.
func (r *Record) Must(col string) string {
	s := r.Text(col)
	if s == "" {
		r.Fail("%s is empty", col)
	}
	return s
}

// List returns the items of a cell joined by semicolons.
func (r *Record) List(col string) []string { return r.Table.split(r.Text(col), ";") }

// Numbers returns the numbers of a cell joined by semicolons. One that stands twice
// is the slip of another that is missing.
func (r *Record) Numbers(col string) []string {
	all := r.List(col)
	for i, n := range all {
		if slices.Contains(all[:i], n) {
			r.Fail("%s: %s stands twice", col, n)
		}
	}
	return all
}

// SplitList returns the items of a text joined by semicolons; nil for none.
func SplitList(cell string) []string { return split(cell, ";", nil) }

// split returns the items of a cell, in room that the lists of a table share.
func (t *sheet) split(cell, by string) []string {
	if cell == "" {
		return nil
	}
	const many = 512 // in room made at once
	if n := 1 + strings.Count(cell, by); cap(t.lists)-len(t.lists) < n {
		t.lists = make([]string, 0, max(many, n))
	}
	from := len(t.lists)
	items := split(cell, by, t.lists[from:from])
	t.lists = t.lists[:from+len(items)]
	return slices.Clip(items)
}

// split returns the items of a text, behind out where it is not nil.
func split(cell, by string, out []string) []string {
	for item := range strings.SplitSeq(cell, by) {
		if item = strings.TrimSpace(item); item != "" {
			out = append(out, item)
		}
	}
	if len(out) == 0 {
		return nil
	}
	return out
}

// Num returns a decimal cell, nil for an empty one: empty is not stated, zero
// is zero.
func (r *Record) Num(col string) *exact.Num {
	s := r.Text(col)
	if s == "" {
		return nil
	}
	n, err := exact.ParseNum(s)
	if err == nil && n.Sign() < 0 {
		err = errors.New(s + " is negative")
	}
	if err != nil {
		r.FailIn(col, err)
		return nil
	}
	return &n
}

// Pct returns a percentage cell, which lies between 0 and 100.
func (r *Record) Pct(col string) *exact.Num {
	n := r.Num(col)
	if n != nil && exact.Int(100).Less(*n) {
		r.FailIn(col, errors.New(r.Text(col)+" is above 100 %"))
	}
	return n
}

// Whole returns a whole number, 0 for an empty cell.
func (r *Record) Whole(col string) int {
	s := r.Text(col)
	if s == "" {
		return 0
	}
	n, err := strconv.Atoi(s)
	if err != nil || n < 0 || n > 1_000_000 {
		r.FailIn(col, fmt.Errorf("%q is no whole number", s))
		return 0
	}
	return n
}

// Figure returns a float cell, nil for an empty one.
func (r *Record) Figure(col string) *Figure {
	s := r.Text(col)
	if s == "" {
		return nil
	}
	f, ok := ParseFigure(s)
	if !ok {
		r.FailIn(col, fmt.Errorf("%q is not a number", s))
		return nil
	}
	return &f
}

func ParseFigure(s string) (Figure, bool) {
	if strings.Trim(s, "-0123456789.") != "" {
		return Figure{}, false // ParseFloat would take "inf", "0x1" and "1_000"
	}
	f, err := strconv.ParseFloat(s, 64)
	return Figure{Value: f, Text: s}, err == nil
}

// Date returns a day, the zero Date for an empty cell.
func (r *Record) Date(col string) exact.Date {
	s := r.Text(col)
	if s == "" {
		return 0
	}
	d, err := exact.ParseDate(s)
	if err != nil {
		r.FailIn(col, err)
	}
	return d
}

// Word returns a cell that must be one of the given words.
func (r *Record) Word(col string, allowed ...string) string {
	s := r.Text(col)
	if !slices.Contains(allowed, s) {
		r.FailIn(col, fmt.Errorf("%q is none of %s", s, strings.Join(allowed, ", ")))
	}
	return s
}

// Yes returns a cell that is yes or no.
func (r *Record) Yes(col string) bool { return r.Word(col, "yes", "no") == "yes" }

// Mark returns a cell that is yes or empty.
func (r *Record) Mark(col string) bool { return r.Word(col, "", "yes") == "yes" }

// seen returns whether the source was read. A maker may write unverified, as it is printed.
func (r *Record) seen() string {
	if r.Text("seen") == "unverified" {
		return "memory"
	}
	return r.Word("seen", SeenWords...)
}

// Head fills the part all rows have in common.
func (r *Record) Head(key string) Row {
	if key == "" {
		r.Fail("the row has no key")
	}
	source := r.Text("source")
	if source == "" && !r.Table.Sourceless {
		r.Fail("source is empty")
	}
	return Row{
		Key: key, Source: source, Seen: r.seen(), Note: r.Text("note"),
		File: r.Table.file, Line: r.line, cells: r,
	}
}

func (r *Record) appendMeaning(b []byte) []byte {
	cells := r.all()
	for i, col := range r.Table.meaning {
		s, filled := r.Filled[col]
		if at := r.Table.meaningAt[i]; !filled && at >= 0 {
			s = strings.TrimSpace(cells[at])
		}
		if s != "" {
			b = append(append(append(append(b, col...), '='), s...), 0)
		}
	}
	return b
}
