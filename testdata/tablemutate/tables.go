package main

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
)

// dataFolder holds the tables, from the root of the module.
const dataFolder = "calc/law/data"

// table is one file as text cells.
type table struct {
	name    string
	header  []string
	rows    [][]string
	kinds   map[int]string // kind of change by column
	unjudge map[int]bool   // rows that no outside source can judge
	undated map[int]bool   // rows whose days were not read
	idle    map[int]bool   // rows that say nothing, such as a number without a ban: not changed
	alone   map[cell]bool  // cells that were read in one place only
}

// cell is a place in a table.
type cell struct{ row, col int }

// judged says whether an outside source other than that of the row can judge a cell.
func (t *table) judged(row, col int) bool {
	return !t.unjudge[row] && !t.alone[cell{row, col}] && !(t.kinds[col] == "date" && t.undated[row])
}

// readOnce says whether a cell was read, and in one place only.
func (t *table) readOnce(row, col int) bool {
	return t.alone[cell{row, col}] && !t.unjudge[row]
}

// loadTables reads the tables that columns.csv names.
func loadTables(data, here string, only *regexp.Regexp) ([]*table, error) {
	rows, err := readCSV(filepath.Join(here, "columns.csv"))
	if err != nil {
		return nil, err
	}
	var out []*table
	byName := map[string]*table{}
	for _, r := range rows[1:] {
		name, column, kind := r[0], r[1], r[2]
		if !only.MatchString(name) {
			continue
		}
		t := byName[name]
		if t == nil {
			cells, err := readCSV(filepath.Join(data, name))
			if err != nil {
				return nil, err
			}
			t = &table{name: name, header: cells[0], rows: cells[1:], kinds: map[int]string{}, unjudge: map[int]bool{},
				undated: map[int]bool{},
				idle:    map[int]bool{}, alone: map[cell]bool{}}
			byName[name], out = t, append(out, t)
			t.markUnread()
		}
		i := slices.Index(t.header, column)
		if i < 0 {
			return nil, fmt.Errorf("columns.csv: %s has no column %s", name, column)
		}
		if makers[kind] == nil {
			return nil, fmt.Errorf("columns.csv: no changes of kind %q", kind)
		}
		t.kinds[i] = kind
	}
	return out, nil
}

func readCSV(path string) ([][]string, error) {
	data, err := os.ReadFile(path)
	if err != nil {
		return nil, err
	}
	r := csv.NewReader(bytes.NewReader(data))
	r.FieldsPerRecord = -1
	return r.ReadAll()
}

// markUnread marks the rows that were not read in their source, and those of which
// the days were not.
func (t *table) markUnread() {
	seen, dates, state := slices.Index(t.header, "seen"), slices.Index(t.header,
		"dates_seen"), slices.Index(t.header, "state")
	for i, r := range t.rows {
		t.idle[i] = state >= 0 && r[state] == "empty"
		if dates >= 0 && r[dates] != "yes" {
			t.undated[i] = true
		}
		if seen >= 0 && r[seen] != "seen" {
			t.unjudge[i] = true
		}
	}
}

// markUnjudged marks the limits of which no second source is known.
func markUnjudged(tables []*table, path string) error {
	rows, err := readCSV(path)
	if err != nil {
		return err
	}
	without := map[string]bool{}
	for _, r := range rows[1:] {
		if r[1] == "figure" && (r[2] == "second-source-missing" || r[2] == "unverified") {
			without[r[0]] = true
		}
	}
	for _, t := range tables {
		for i, r := range t.rows {
			if t.name == "limits.csv" && without[r[0]] {
				t.unjudge[i] = true
			}
		}
	}
	return nil
}

// markSingleSource marks the cells that were read in one place only, of the columns
// that single-source.csv names: all but those whose row, by its key or name, stands in
// a file of second readings, and those whose content fits an expression.
func markSingleSource(tables []*table, list, published string) error {
	rows, err := readCSV(list)
	if err != nil {
		return err
	}
	for _, r := range rows[1:] {
		i := slices.IndexFunc(tables, func(t *table) bool { return t.name == r[0] })
		if i < 0 {
			continue
		}
		t := tables[i]
		col := slices.Index(t.header, r[1])
		if col < 0 {
			return fmt.Errorf("%s: %s has no column %s", list, r[0], r[1])
		}
		read := map[string]bool{}
		if r[2] != "" {
			if read, err = readingsOf(filepath.Join(published, r[2]), r[3]); err != nil {
				return err
			}
		}
		var but *regexp.Regexp
		if r[4] != "" {
			but = regexp.MustCompile(r[4])
		}
		name := max(slices.Index(t.header, "inci"), 0)
		for k, cells := range t.rows {
			if !read[cells[0]] && !read[cells[name]] && (but == nil || !but.MatchString(cells[col])) {
				t.alone[cell{k, col}] = true
			}
		}
	}
	return nil
}

// readingsOf are the keys or names in a column of a file of second readings. A row that
// was written from memory is no reading.
func readingsOf(path, column string) (map[string]bool, error) {
	rows, err := readCSV(path)
	if err != nil {
		return nil, err
	}
	col := slices.Index(rows[0], column)
	if col < 0 {
		return nil, fmt.Errorf("%s has no column %s", path, column)
	}
	out, seen := map[string]bool{}, slices.Index(rows[0], "seen")
	for _, r := range rows[1:] {
		if seen >= 0 && r[seen] != "seen" {
			continue
		}
		for name := range strings.SplitSeq(r[col], ";") {
			out[name] = true
		}
	}
	return out, nil
}

// text writes the table with one cell changed.
func (t *table) text(row, col int, cell string) []byte {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	w.Write(t.header)
	for i, r := range t.rows {
		if i == row {
			r = slices.Clone(r)
			r[col] = cell
		}
		w.Write(r)
	}
	w.Flush()
	return b.Bytes()
}

// moduleRoot finds the folder of go.mod above the present one.
func moduleRoot() (string, error) {
	dir, err := os.Getwd()
	if err != nil {
		return "", err
	}
	for {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			return dir, nil
		}
		up := filepath.Dir(dir)
		if up == dir {
			return "", fmt.Errorf("no go.mod above %s: run the command inside the project", strings.TrimSpace(dir))
		}
		dir = up
	}
}
