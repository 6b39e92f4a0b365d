package main

import (
	"cmp"
	"encoding/csv"
	"fmt"
	"io"
	"maps"
	"os"
	"slices"
)

func (c *change) line() string {
	what := map[outcome]string{noticed: "noticed by " + c.by, refused: "refused", missed: "MISSED",
		unjudged: "cannot be judged"}[c.outcome]
	return fmt.Sprintf("%-16s %s: %q -> %q", what, c.place(), short(c.old), short(c.new))
}

func short(s string) string {
	if r := []rune(s); len(r) > 60 {
		return string(r[:60]) + "…"
	}
	return s
}

// report prints the shares by table and lists what no test noticed.
func report(w io.Writer, changes []*change, out string) error {
	type count struct{ noticed, refused, missed, unjudged int }
	by := map[string]*count{}
	total := &count{}
	for _, c := range changes {
		n := by[c.table.name]
		if n == nil {
			n = &count{}
			by[c.table.name] = n
		}
		for _, k := range []*count{n, total} {
			switch c.outcome {
			case noticed:
				k.noticed++
			case refused:
				k.refused++
			case missed:
				k.missed++
			case unjudged:
				k.unjudged++
			}
		}
	}
	line := func(name string, n *count) {
		all := n.noticed + n.refused + n.missed
		share := 0.0
		if all > 0 {
			share = 100 * float64(n.noticed+n.refused) / float64(all)
		}
		fmt.Fprintf(w,
			"%-22s %4d tried, %4d noticed by a test, %3d refused by the reader, %3d missed: %5.1f %%; %d more that no outside source can judge\n",
			name, all, n.noticed, n.refused, n.missed, share, n.unjudged)
	}
	for _, name := range slices.Sorted(maps.Keys(by)) {
		line(name, by[name])
	}
	line("all", total)
	alone := 0
	for _, c := range changes {
		if c.outcome == unjudged && c.table.readOnce(c.row, c.col) {
			alone++
		}
	}
	if all := total.noticed + total.refused + total.missed; all > 0 {
		fmt.Fprintf(w, "with the %d that were read in one place only counted as missed: %.1f %%\n",
			alone, 100*float64(total.noticed+total.refused)/float64(all+alone))
	}
	if out == "" {
		return nil
	}
	f, err := os.Create(out)
	if err != nil {
		return err
	}
	defer f.Close()
	cw := csv.NewWriter(f)
	cw.Write([]string{"outcome", "table", "row", "column", "was", "became"})
	slices.SortStableFunc(changes, func(a, b *change) int { return cmp.Compare(a.place(), b.place()) })
	for _, c := range changes {
		if c.outcome == missed || c.outcome == unjudged {
			word := map[outcome]string{missed: "missed", unjudged: "cannot be judged"}[c.outcome]
			cw.Write([]string{word, c.table.name, c.table.rows[c.row][0], c.table.header[c.col], c.old, c.new})
		}
	}
	cw.Flush()
	return cw.Error()
}

// coverage prints for each column how many of its cells an outside source can judge, and
// of the others how many were read in one place only; the rest nobody has checked.
func coverage(w io.Writer, tables []*table) {
	fmt.Fprintln(w)
	line := func(table, column string, n, judged, alone int) {
		fmt.Fprintf(w, "%-22s %-38s %5d cells: %5d can be judged, %4d read in one place only, %4d unverified\n",
			table, column, n, judged, alone, n-judged-alone)
	}
	var all, allJudged, allAlone int
	for _, t := range tables {
		for _, col := range slices.Sorted(maps.Keys(t.kinds)) {
			var n, judged, alone int
			for row, r := range t.rows {
				if r[col] == "" || t.idle[row] {
					continue
				}
				n++
				switch {
				case t.judged(row, col):
					judged++
				case t.readOnce(row, col):
					alone++
				}
			}
			all, allJudged, allAlone = all+n, allJudged+judged, allAlone+alone
			line(t.name, t.header[col], n, judged, alone)
		}
	}
	line("all", "", all, allJudged, allAlone)
}
