// Command tablemutate measures whether a slip of the pen in a table of the law
// would land: it changes one cell at a time and counts the changes after which
// some test fails.
//
//	go run ./testdata/tablemutate              600 changes
//	go run ./testdata/tablemutate -n 200 -table limits.csv -v
//
// What is changed stands in columns.csv: figures, days, markets, numbers,
// conditions, factors and words that decide. The cells, and what is made of each,
// are drawn by chance from a fixed seed.
//
// Noticed counts only by a test whose expected value comes from outside: tests.csv
// names them, with the source, and no other test is run. Hashes, row counts,
// expected outputs and copies of our own tables are thereby off. A change that
// the reader of the table refuses, such as a wrong check digit, is noticed too,
// and counted apart.
//
// A row that nobody has checked against its source, or of which no second source
// is known (annex_differences.csv, single-source.csv), and a day that was not read,
// cannot be judged by any of these tests: such changes are counted apart and listed
// (-out), they are no part of the first share. A second share counts what was read in
// one place only as missed. At the end stands how many cells each column has of them.
package main

import (
	"flag"
	"fmt"
	"log"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
)

type options struct {
	n       int
	seed    uint64
	table   *regexp.Regexp
	jobs    int
	verbose bool
	out     string
}

func main() {
	log.SetFlags(0)
	var o options
	var table string
	flag.IntVar(&o.n, "n", 600, "changes to try, of rows that an outside source can judge")
	flag.Uint64Var(&o.seed, "seed", 1, "what the draw of cells and changes begins with")
	flag.StringVar(&table, "table", "", "only tables whose name matches this expression")
	flag.IntVar(&o.jobs, "jobs", 2, "test programs at a time")
	flag.BoolVar(&o.verbose, "v", false, "print each change as it is decided")
	flag.StringVar(&o.out, "out", "", "a file for the changes that no test noticed")
	flag.Parse()
	o.table = regexp.MustCompile(table)
	if err := run(o); err != nil {
		log.Fatal(err)
	}
}

func run(o options) error {
	root, err := moduleRoot()
	if err != nil {
		return err
	}
	here := filepath.Join(root, "testdata", "tablemutate")
	tables, err := loadTables(filepath.Join(root, dataFolder), here, o.table)
	if err != nil {
		return err
	}
	if err := markUnjudged(tables, filepath.Join(root, "testdata", "published",
		"annex_differences.csv")); err != nil {
		return err
	}
	if err := markSingleSource(tables, filepath.Join(here, "single-source.csv"),
		filepath.Join(root, "testdata", "published")); err != nil {
		return err
	}
	dir, err := os.MkdirTemp("", "tablemutate")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	programs, err := buildPrograms(root, here, dir)
	if err != nil {
		return err
	}
	rng := rand.New(rand.NewPCG(o.seed, 2026))
	changes := draw(tables, o.n, rng)
	r := &runner{programs: programs, source: filepath.Join(root, dataFolder), dir: dir, jobs: o.jobs}
	if err := r.unchanged(); err != nil {
		return fmt.Errorf("with the tables as they are: %w", err)
	}
	r.try(changes, o.verbose)
	if err := report(os.Stdout, changes, o.out); err != nil {
		return err
	}
	coverage(os.Stdout, tables)
	return nil
}
