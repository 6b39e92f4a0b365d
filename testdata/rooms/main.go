// Command rooms measures how the code is housed and fails where a room has outgrown
// itself:
//
//	go run ./testdata/rooms              the table, and what is wrong
//	go run ./testdata/rooms -edges calc  what ties the files of one package together, and what to cut
//
// For every package of the module it counts files and lines (those of tests left
// out), finds the largest knot of files, and names what is exported although no
// other package uses it.
//
// A knot is a strongly connected component: files of which each needs, directly or by
// way of others, each other one. One file needs another where the type checker
// resolves a name in it to something declared in the other.
//
// What is wrong and known stands in open.csv beside this file; a fault that is not on
// the list fails the run, and so does a line of the list that is no longer true.
package main

import (
	"flag"
	"fmt"
	"io"
	"log"
	"os"
	"slices"
	"strings"
)

// The bounds of a room. Lines are those of `wc -l` without tests.
const (
	mostKnot    = 6    // files that need each other
	mostLines   = 3500 // of a package
	mostFile    = 500  // lines of a file
	mostMedian  = 1200 // lines of the package in the middle
	wideColumns = 110  // of a line that is counted as wide
	mostColumns = 120  // of a line that is counted as too wide
	wideTab     = 4    // columns of a tab
)

func main() {
	log.SetFlags(0)
	edges := flag.String("edges", "", "print what ties the files of this package together, and what to cut")
	open := flag.String("open", "testdata/rooms/open.csv", "the list of faults that are known")
	flag.Parse()
	faults, err := run(os.Stdout, ".", *edges, *open)
	if err != nil {
		log.Fatal(err)
	}
	if faults > 0 {
		os.Exit(1)
	}
}

// run prints the table of the module in dir and returns how many faults are not known.
func run(w io.Writer, dir, edges, open string) (int, error) {
	rooms, err := load(dir)
	if err != nil {
		return 0, err
	}
	if edges != "" {
		return 0, printEdges(w, rooms, edges)
	}
	printTable(w, rooms)
	known, err := readOpen(open)
	if err != nil {
		return 0, err
	}
	faults := known.compare(allFaults(rooms))
	for _, f := range faults {
		_, _ = fmt.Fprintln(w, f)
	}
	_, _ = fmt.Fprintf(w, "%d faults, %d known\n", len(faults), len(known))
	return len(faults), nil
}

func printTable(w io.Writer, rooms []*room) {
	_, _ = fmt.Fprintf(w, "%-26s %5s %6s %7s %5s %7s %7s %8s %6s\n",
		"package", "files", "lines", "longest", "knot", ">110", ">120", "exported", "unused")
	var lines []int
	for _, r := range rooms {
		if !r.tool {
			lines = append(lines, r.lines())
		}
		wide, wider := r.wide()
		_, _ = fmt.Fprintf(w, "%-26s %5d %6d %7d %5d %5.1f %% %5.1f %% %8d %6d\n", r.path, len(r.files), r.lines(),
			r.longest(),
			len(r.knot()), wide, wider, len(r.exported), len(r.unused()))
	}
	_, _ = fmt.Fprintf(w, "median package %d lines\n\n", median(lines))
}

func median(n []int) int {
	if len(n) == 0 {
		return 0
	}
	n = slices.Sorted(slices.Values(n))
	return (n[(len(n)-1)/2] + n[len(n)/2]) / 2
}

// fault is one thing that is wrong, under a name that stays while it does.
type fault struct {
	kind string // knot, package, file, median, name, export
	pkg  string
	what string // a file or a name
	text string // with figures
}

func (f fault) key() string { return strings.Join([]string{f.kind, f.pkg, f.what}, ",") }

func (f fault) String() string {
	return strings.Join(strings.Fields(f.kind+" "+f.pkg+" "+f.what), " ") + ": " + f.text
}

func allFaults(rooms []*room) []fault {
	var out []fault
	add := func(kind, pkg, what, format string, args ...any) {
		out = append(out, fault{kind, pkg, what, fmt.Sprintf(format, args...)})
	}
	var lines []int
	last := map[string]string{}
	for _, r := range rooms {
		if knot := r.knot(); len(knot) > mostKnot {
			add("knot", r.path, "", "%d files need each other, %d may: %s", len(knot), mostKnot,
				strings.Join(knot, " "))
		}
		if n := r.lines(); n > mostLines {
			add("package", r.path, "", "%d lines, %d are the most", n, mostLines)
		}
		for _, f := range r.files {
			if f.lines > mostFile {
				add("file", r.path, f.name, "%d lines, %d are the most", f.lines, mostFile)
			}
		}
		for _, name := range r.unused() {
			add("export", r.path, name, "no other package uses it%s", r.byTests(name))
		}
		if r.tool {
			continue
		}
		lines = append(lines, r.lines())
		name := r.path[strings.LastIndexByte(r.path, '/')+1:]
		if other := last[name]; other != "" {
			add("name", r.path, "", "%s has the same last name", other)
		}
		last[name] = r.path
	}
	if n := median(lines); n > mostMedian {
		add("median", "all", "", "the package in the middle has %d lines, %d are the most", n, mostMedian)
	}
	return out
}
