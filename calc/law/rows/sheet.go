package rows

import (
	"cmp"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode/utf8"

	"gallipot/ingredients/source"
)

// sheet is a table.
type sheet struct {
	file      string
	Col       map[string]int
	meaning   []string // columns
	meaningAt []int    // the place of each, -1 for one that the table lacks
	errs      []error
	text      string
	places    map[int][]int // by line, where its cells start; made when a fault asks for it
	// sourceless: rows may lack a source; the reader then checks that such a
	// row bears no figure.
	Sourceless bool

	cells []string // of the row that is being read, in room that the next one uses again
	asked []column // as the row read last asked for them
	next  int      // which of asked comes next
	lists []string // room for lists of cells
}

// column is the place of a column.
type column struct {
	name string
	at   int
}

// place returns the place of a column. Each row asks for much the same columns in the same
// order, so that the place is known before it is looked up.
func (t *sheet) place(name string) (at int, ok bool) {
	const ahead = 4
	for i := t.next; i < min(t.next+ahead, len(t.asked)); i++ {
		if t.asked[i].name == name {
			t.next = i + 1
			return t.asked[i].at, t.asked[i].at >= 0
		}
	}
	if at, ok = t.Col[name]; !ok {
		at = -1
	}
	if t.next == len(t.asked) {
		t.asked = append(t.asked, column{name, at})
		t.next++
	}
	return at, ok
}

// Columns are those of one table.
type Columns struct {
	Meaning []string // what figures, verdicts and findings rest on
	Remarks []string // words for people: no code reads them but to print them
}

func (c Columns) All() []string { return slices.Concat(c.Meaning, c.Remarks) }

// ReadTable reads a table with exactly the given columns. All faulty lines are
// reported, not the first alone.
func ReadTable[T any](file, text string, cols Columns, parse func(*Record) T) ([]T, error) {
	return ReadLacking(file, text, cols, nil, parse)
}

// ReadLacking reads a table that may lack some of its columns.
func ReadLacking[T any](file string, text string, known Columns, mayLack []string,
	parse func(*Record) T) ([]T, error) {
	columns := known.All()
	text = strings.TrimPrefix(text, "\xef\xbb\xbf")
	t := &sheet{file: file, Col: map[string]int{}, meaning: known.Meaning, text: text}
	out, err := readRecords(t, plainly(text), columns, mayLack, parse)
	if errors.Is(err, errNotPlain) { // at once, or where the text is faulty
		out, err = readRecords(t, carefully(text), columns, mayLack, parse)
	}
	t.cells, t.asked, t.lists = nil, nil, nil
	return out, err
}

// records gives the records of a table one by one into r, its cells in cells, which
// the next one may use again. It returns io.EOF behind the last.
type records func(r *Record) (cells []string, err error)

// readRecords reads a table whose records are given.
//
// Errors: errNotPlain, after which all was in vain; else what is wrong, for people.
func readRecords[T any](t *sheet, next records, columns, mayLack []string, parse func(*Record) T) ([]T, error) {
	var head Record
	first, err := next(&head)
	switch {
	case errors.Is(err, io.EOF):
		return nil, &TableError{File: t.file, Line: 1, What: "the table is empty",
			Fix: "start with the header line " + strings.Join(columns, ",")}
	case err != nil:
		return nil, t.unsplit(err)
	}
	if len(first) == 1 && strings.ContainsAny(first[0], ";\t") {
		between := "semicolons"
		if strings.Contains(first[0], "\t") {
			between = "tabs"
		}
		err = &TableError{File: t.file, Line: 1, What: "its columns are parted by " + between +
			", but commas are needed",
			Fix: "save the table as CSV with commas between the columns and points for decimals; a cell that holds a comma goes in double quotes"}
	} else {
		err = t.header(first, columns, mayLack)
	}
	wide, most := len(first), strings.Count(t.text, "\n")
	out, all := make([]T, 0, most), make([]Record, 0, most+1)
	for {
		all = append(all, Record{Table: t})
		rec := &all[len(all)-1]
		cells, more := next(rec)
		switch {
		case errors.Is(more, io.EOF):
			return out, cmp.Or(err, errors.Join(t.errs...))
		case more != nil:
			return nil, t.unsplit(more)
		case err != nil: // the header is wrong, unless the table cannot be split
			continue
		case len(cells) != wide:
			rec.Fail("%d cells, the header has %d", len(cells), wide)
			continue
		}
		t.cells, t.next = cells, 0
		faults := len(t.errs)
		if row := parse(rec); len(t.errs) == faults {
			out = append(out, row) // a faulty row is reported and left out
		}
	}
}

// unsplit words why a table could not be split into records.
func (t *sheet) unsplit(err error) error {
	var pe *csv.ParseError
	switch {
	case errors.Is(err, errNotPlain):
		return err
	case errors.As(err, &pe):
		return &TableError{File: t.file, Line: pe.Line, What: pe.Err.Error()}
	}
	return &TableError{File: t.file, Line: 1, What: err.Error()}
}

// csvReader reads records of any length, so that a wrong one can be told with its line.
func csvReader(text string) *csv.Reader {
	r := csv.NewReader(strings.NewReader(text))
	r.FieldsPerRecord = -1
	return r
}

// carefully gives the records as encoding/csv reads them.
func carefully(text string) records {
	r := csvReader(text)
	return func(rec *Record) ([]string, error) {
		cells, err := r.Read()
		if err != nil {
			return nil, err
		}
		rec.line, _ = r.FieldPos(0)
		rec.cells = cells
		return cells, nil
	}
}

// cellPlaces returns the character at which each cell starts in its line, from 1, by
// the line of its record.
func cellPlaces(whole string) map[int][]int {
	r := csvReader(whole)
	text := strings.Split(whole, "\n")
	places := map[int][]int{}
	for {
		cells, err := r.Read()
		if err != nil {
			return places // the rows were read before, up to here
		}
		at := make([]int, len(cells))
		for i := range cells {
			line, to := r.FieldPos(i)
			at[i] = utf8.RuneCountInString(text[line-1][:to-1]) + 1
		}
		line, _ := r.FieldPos(0)
		places[line] = at
	}
}

// header checks that the columns are the known ones, in any order, and that none
// is missing but those that may.
func (t *sheet) header(cells, columns, mayLack []string) error {
	for i, c := range cells {
		c = strings.TrimSpace(c)
		if !slices.Contains(columns, c) {
			fix := "use these columns: " + strings.Join(columns, ",")
			if near := source.Nearest(c, columns); near != "" {
				fix = "did you mean " + near + "?"
			}
			return &TableError{File: t.file, Line: 1, What: fmt.Sprintf("unknown column %q", c), Fix: fix}
		}
		if _, twice := t.Col[c]; twice {
			return &TableError{File: t.file, Line: 1, What: fmt.Sprintf("column %q stands twice", c),
				Fix: "remove one"}
		}
		t.Col[c] = i
	}
	for _, c := range columns {
		if _, ok := t.Col[c]; !ok && !slices.Contains(mayLack, c) {
			return &TableError{File: t.file, Line: 1, What: fmt.Sprintf("column %q is missing", c),
				Fix: "add it; its cells may be empty where the value is not stated"}
		}
	}
	for _, c := range t.meaning {
		at, ok := t.Col[c]
		if !ok {
			at = -1
		}
		t.meaningAt = append(t.meaningAt, at)
	}
	return nil
}
