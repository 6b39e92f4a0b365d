package main

import (
	"bufio"
	"cmp"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"os"
	"path"
	"slices"
	"strconv"
	"strings"
)

// name gives each mutant a name that a change elsewhere in the file leaves as it
// is: file, function, change, and a count where these are the same.
func (j *journal) name(mutants []*mutant) {
	seen := map[string]int{}
	for _, m := range mutants {
		key := m.file + " " + m.function + " " + m.change()
		seen[key]++
		j.names[m] = key + " " + strconv.Itoa(seen[key])
	}
}

// journal keeps what became of each mutant, in memory and in a file that grows.
type journal struct {
	names    map[*mutant]string
	verdicts map[string]verdict
	out      *os.File // nil: kept in memory alone
}

// openJournal reads what earlier runs found.
func openJournal(path string) (*journal, error) {
	j := &journal{names: map[*mutant]string{}, verdicts: map[string]verdict{}}
	if path == "" {
		return j, nil
	}
	var err error
	if j.out, err = os.OpenFile(path, os.O_RDWR|os.O_CREATE|os.O_APPEND, 0o644); err != nil {
		return nil, err
	}
	for lines := bufio.NewScanner(j.out); lines.Scan(); {
		name, v, _ := strings.Cut(lines.Text(), "\t")
		if j.verdicts[name] != killed {
			j.verdicts[name] = verdict(v)
		}
	}
	return j, nil
}

func (j *journal) of(m *mutant) verdict { return j.verdicts[j.names[m]] }

// note keeps a verdict. A run with some tests alone takes back no reach that another
// had.
func (j *journal) note(m *mutant, v verdict) {
	if v == notReached && j.of(m) != "" {
		return
	}
	j.verdicts[j.names[m]] = v
	if j.out != nil {
		_, _ = fmt.Fprintf(j.out, "%s\t%s\n", j.names[m], v)
	}
}

func (j *journal) close() {
	if j.out != nil {
		_ = j.out.Close()
	}
}

var survivorColumns = []string{"place", "function", "written", "changed_to", "verdict", "nth", "why"}

// survivor is a row of a list of survivors.
type survivor struct {
	verdict verdict
	why     string
	row     []string
}

// readSurvivors returns the rows of a list, under the names of their mutants. A list that
// is not there is an empty one.
func readSurvivors(path string) (map[string]survivor, error) {
	out := map[string]survivor{}
	if path == "" {
		return out, nil
	}
	f, err := os.Open(path)
	if errors.Is(err, fs.ErrNotExist) {
		return out, nil
	} else if err != nil {
		return nil, err
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		return nil, err
	}
	for i, row := range rows {
		if i > 0 {
			m := mutant{file: fileOf(row), function: row[1], was: row[2], now: row[3]}
			out[m.file+" "+m.function+" "+m.change()+" "+row[5]] = survivor{verdict(row[4]), row[6], row}
		}
	}
	return out, nil
}

// fileOf is the file of a row.
func fileOf(row []string) string {
	file, _, _ := strings.Cut(row[0], ":")
	return file
}

// writeSurvivors writes what no test noticed, with the reasons that the list gave
// before. What this run did not try stays as it was, at the place where it is now, and
// so do the packages that were no part of it. It returns the rows whose code is no longer
// there, which are left out.
func writeSurvivors(path string, all []*mutant, j *journal) (gone [][]string, err error) {
	old, err := readSurvivors(path)
	if err != nil {
		return nil, err
	}
	changed := map[string]bool{} // packages of this run
	var rows [][]string
	for _, m := range all {
		changed[folder(m.file)] = true
		name := j.names[m]
		before, listed := old[name]
		delete(old, name)
		v := j.of(m)
		if v == "" && listed {
			v = before.verdict
		}
		if v == survived || v == notReached {
			rows = append(rows, []string{m.place(), m.function, m.was, m.now, string(v),
				name[strings.LastIndexByte(name, ' ')+1:], before.why})
		}
	}
	for _, name := range slices.Sorted(maps.Keys(old)) {
		if row := old[name].row; changed[folder(fileOf(row))] {
			gone = append(gone, row)
		} else {
			rows = append(rows, row)
		}
	}
	slices.SortStableFunc(rows, func(a, b []string) int {
		return cmp.Or(strings.Compare(folder(a[0]), folder(b[0])), strings.Compare(fileOf(a), fileOf(b)),
			cmp.Compare(lineOf(a), lineOf(b)))
	})
	f, err := os.Create(path)
	if err != nil {
		return nil, err
	}
	if err := csv.NewWriter(f).WriteAll(append([][]string{survivorColumns}, rows...)); err != nil {
		return nil, errors.Join(err, f.Close())
	}
	return gone, f.Close()
}

func folder(file string) string { return path.Dir(file) }

// lineOf is the line of a row's place.
func lineOf(row []string) int {
	_, place, _ := strings.Cut(row[0], ":")
	line, _, _ := strings.Cut(place, ":")
	n, _ := strconv.Atoi(line) // written by this tool
	return n
}

// listMutants prints all mutants in the columns of the list of survivors.
func listMutants(w io.Writer, all []*mutant, j *journal) error {
	rows := [][]string{survivorColumns}
	for _, m := range all {
		name := j.names[m]
		rows = append(rows, []string{m.place(), m.function, m.was, m.now, "",
			name[strings.LastIndexByte(name, ' ')+1:], ""})
	}
	return csv.NewWriter(w).WriteAll(rows)
}

// report prints the counts of each file and of all, and returns the share that was
// killed of those tried, in per cent.
func report(w io.Writer, mutants []*mutant, j *journal) float64 {
	type count struct{ all, tried, killed, survived, notReached int }
	counts := map[string]*count{}
	var files []string
	sum := &count{}
	for _, m := range mutants {
		if counts[m.file] == nil {
			counts[m.file] = &count{}
			files = append(files, m.file)
		}
		for _, c := range []*count{counts[m.file], sum} {
			c.all++
			switch j.of(m) {
			case killed:
				c.tried, c.killed = c.tried+1, c.killed+1
			case survived:
				c.tried, c.survived = c.tried+1, c.survived+1
			case notReached:
				c.tried, c.notReached = c.tried+1, c.notReached+1
			}
		}
	}
	slices.Sort(files)
	line := func(name string, c *count) {
		_, _ = fmt.Fprintf(w, "| `%s` | %d | %d | %d | %d | %d | %.1f %% |\n", name, c.all, c.tried, c.killed,
			c.survived, c.notReached, 100*float64(c.killed)/float64(max(c.tried, 1)))
	}
	_, _ = fmt.Fprintln(w,
		"| file | mutants | tried | killed | survived | not reached | killed of tried |\n|---|---|---|---|---|---|---|")
	for _, f := range files {
		line(f, counts[f])
	}
	line("all", sum)
	return 100 * float64(sum.killed) / float64(max(sum.tried, 1))
}
