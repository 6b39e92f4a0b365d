// Command mutate measures how much the tests of a package notice: it changes one
// operator, constant or statement at a time and counts the changes after which
// some test fails.
//
//	go run ./testdata/mutate            the package calc
//	go run ./testdata/mutate -pkg ./calc/law
//
// All changes are compiled once: every place holds its mutants, and a variable of
// the environment says which one is on. Each mutant is tried against the tests of
// the package that reach its place, those that found the last ones first. What no
// test notices goes to survivors.csv beside this file, where a person adds why;
// those words are kept as long as place and change are the same.
//
// What is changed: comparisons (to the one that differs at equality and to the
// opposite), truth values that decide (negated), && and ||, + and -, * and /, min
// and max, the same for exact numbers (Add, Sub, Mul, Quo, Pct, Neg, Floor, Less),
// numbers (one more; 0 and 1 exchanged), true and false; left out are assignments,
// calls made for their effect, continue, break and early returns. Texts are not
// changed, nor constants where they are declared; they are where they are used.
package main

import (
	"flag"
	"fmt"
	"log"
	"math/rand/v2"
	"os"
	"regexp"
	"time"
)

type options struct {
	pkg     string
	only    *regexp.Regexp // places
	tests   *regexp.Regexp
	without *regexp.Regexp // nil: none
	journal string
	out     string
	jobs    int
	slow    time.Duration
	lasts   time.Duration
	nice    int
	verbose bool
}

func main() {
	log.SetFlags(0)
	var o options
	var only, tests, without string
	flag.StringVar(&o.pkg, "pkg", "./calc", "the package to change")
	flag.StringVar(&only, "only", "", "only mutants whose file:line:col matches this expression")
	flag.StringVar(&tests, "tests", "", "only tests whose name matches this expression")
	flag.StringVar(&without, "without", "", "tests to leave out altogether, such as slow comparisons over generated inputs")
	flag.StringVar(&o.journal, "journal", "", "a file that keeps what became of each mutant: what was found before is not tried again, and a run can go on where another stopped")
	flag.StringVar(&o.out, "out", "", "where the list of survivors goes; without it nothing is written")
	flag.IntVar(&o.jobs, "jobs", 2, "test processes at a time")
	flag.IntVar(&o.nice, "nice", 15, "how far test processes stand back for others")
	flag.DurationVar(&o.slow, "slow", 3*time.Second, "tests that take longer are run only for places that no other test reaches")
	flag.DurationVar(&o.lasts, "for", 24*time.Hour, "begin no mutant after this time; the order is by chance, with a fixed seed, so that those tried are a fair sample")
	flag.BoolVar(&o.verbose, "v", false, "print each mutant as it is decided")
	flag.Parse()
	o.only, o.tests = regexp.MustCompile(only), regexp.MustCompile(tests)
	if without != "" {
		o.without = regexp.MustCompile(without)
	}
	if err := run(o); err != nil {
		log.Fatal(err)
	}
}

func run(o options) error {
	dir, err := os.MkdirTemp("", "mutate")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	b, err := build(o.pkg, dir)
	if err != nil {
		return err
	}
	fmt.Printf("%d mutants in %d places, built after %d places were given up that would not compile\n", len(b.mutants), b.places(), b.refused)
	j, err := openJournal(o.journal, b.mutants)
	if err != nil {
		return err
	}
	defer j.close()
	tests, err := b.reach(o)
	if err != nil {
		return err
	}
	var left []*mutant
	for _, m := range b.mutants {
		if j.of(m) != killed && o.only.MatchString(m.place()) {
			left = append(left, m)
		}
	}
	rand.New(rand.NewPCG(20, 26)).Shuffle(len(left), func(i, k int) { left[i], left[k] = left[k], left[i] })
	b.try(left, tests, o, j)
	report(os.Stdout, b.mutants, j)
	if o.out == "" {
		return nil
	}
	return writeSurvivors(o.out, b.mutants, j)
}
