package main

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"slices"
	"strconv"
	"strings"
)

// choose returns the mutants to try.
func choose(all []*mutant, o options) ([]*mutant, error) {
	var earlier map[string]string
	if o.from != "" {
		var err error
		if earlier, err = readSurvivors(o.from); err != nil {
			return nil, err
		}
	}
	names := named(all)
	var out []*mutant
	for _, m := range all {
		if _, ok := earlier[names[m.id]]; (earlier == nil || ok) && o.only.MatchString(m.place()) {
			out = append(out, m)
		}
	}
	return out, nil
}

// named gives each mutant a name that a change elsewhere in the file leaves as it
// is: file, function, change, and a count where these are the same.
func named(mutants []*mutant) map[int]string {
	names, seen := map[int]string{}, map[string]int{}
	for _, m := range mutants {
		key := m.file + " " + m.function + " " + m.change()
		seen[key]++
		names[m.id] = key + " " + strconv.Itoa(seen[key])
	}
	return names
}

var survivorColumns = []string{"place", "function", "written", "changed_to", "verdict", "nth", "why"}

// readSurvivors returns what a list says on why each mutant survives, under its
// name. A list that is not there is an empty one.
func readSurvivors(path string) (map[string]string, error) {
	out := map[string]string{}
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
			file, _, _ := strings.Cut(row[0], ":")
			m := mutant{file: file, function: row[1], was: row[2], now: row[3]}
			out[m.file+" "+m.function+" "+m.change()+" "+row[5]] = row[6]
		}
	}
	return out, nil
}

// writeSurvivors writes what no test noticed, with the reasons known so far.
func writeSurvivors(path string, all []*mutant, verdicts map[int]verdict, why map[string]string) error {
	rows := [][]string{survivorColumns}
	names, seen := named(all), map[string]int{}
	for _, m := range all {
		key := m.file + " " + m.function + " " + m.change()
		seen[key]++
		if v := verdicts[m.id]; v != killed {
			rows = append(rows, []string{m.place(), m.function, m.was, m.now, string(v), strconv.Itoa(seen[key]), why[names[m.id]]})
		}
	}
	f, err := os.Create(path)
	if err != nil {
		return err
	}
	if err := csv.NewWriter(f).WriteAll(rows); err != nil {
		return errors.Join(err, f.Close())
	}
	return f.Close()
}

// report prints the counts of each file and of all.
func report(w io.Writer, mutants []*mutant, verdicts map[int]verdict) {
	type count struct{ tried, killed, survived, notReached int }
	counts := map[string]*count{}
	var files []string
	sum := &count{}
	for _, m := range mutants {
		if counts[m.file] == nil {
			counts[m.file] = &count{}
			files = append(files, m.file)
		}
		for _, c := range []*count{counts[m.file], sum} {
			c.tried++
			switch verdicts[m.id] {
			case killed:
				c.killed++
			case survived:
				c.survived++
			case notReached:
				c.notReached++
			}
		}
	}
	slices.Sort(files)
	line := func(name string, c *count) {
		fmt.Fprintf(w, "| `%s` | %d | %d | %d | %d | %.1f %% |\n", name, c.tried, c.killed, c.survived, c.notReached, 100*float64(c.killed)/float64(max(c.tried, 1)))
	}
	fmt.Fprintln(w, "| file | tried | killed | survived | not reached | killed of tried |\n|---|---|---|---|---|---|")
	for _, f := range files {
		line(f, counts[f])
	}
	line("all", sum)
}
