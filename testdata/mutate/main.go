// Command mutate measures how much the tests notice: it changes one operator,
// constant or statement at a time and counts the changes after which some test fails.
//
//	go run ./testdata/mutate            every package under calc
//	go run ./testdata/mutate -pkg ./calc/law/table
//	go run ./testdata/mutate -pkg ./ingredients/names -by ""    the reader of names
//	go run ./testdata/mutate -sample 5  so many changes of each package, by chance
//
// All changes are compiled once: every place holds its mutants, and a variable of
// the environment says which one is on. Each mutant is tried against the tests of
// the packages named by -by that reach its place, those that found the last ones
// first. What no test notices goes to survivors.csv beside this file, where a person
// adds why; those words are kept as long as file, function and change are the same.
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
	"slices"
	"strings"
	"time"
)

type options struct {
	pkg     string
	by      string
	only    *regexp.Regexp // places
	tests   *regexp.Regexp
	without *regexp.Regexp // nil: none
	journal string
	out     string
	sample  int
	least   float64
	list    bool
	jobs    int
	slow    time.Duration
	until   time.Time
	nice    int
	verbose bool
}

func main() {
	log.SetFlags(0)
	var o options
	var only, tests, without string
	var lasts time.Duration
	flag.StringVar(&o.pkg, "pkg", "./calc/...", "the packages to change, as the go command names them")
	flag.StringVar(&o.by, "by", "./calc/...",
		"the packages whose tests count, beside those of the changed one; \"\" for no others")
	flag.StringVar(&only, "only", "", "only mutants whose file:line:col matches this expression")
	flag.StringVar(&tests, "tests", "", "only tests whose name matches this expression")
	flag.StringVar(&without, "without", "",
		"tests to leave out altogether, such as slow comparisons over generated inputs")
	flag.StringVar(&o.journal, "journal", "",
		"a file that keeps what became of each mutant: what was found before is not tried again, and a run can go on where another stopped")
	flag.StringVar(&o.out, "out", "", "where the list of survivors goes; without it nothing is written")
	flag.IntVar(&o.sample, "sample", 0,
		"try so many mutants of each package, by chance with a fixed seed; 0 for all")
	flag.Float64Var(&o.least, "least", 0,
		"fail where less than this share of those tried is killed, in per cent")
	flag.BoolVar(&o.list, "list", false, "print the mutants as CSV and try none")
	flag.IntVar(&o.jobs, "jobs", 2, "test processes at a time")
	flag.IntVar(&o.nice, "nice", 15, "how far test processes stand back for others")
	flag.DurationVar(&o.slow, "slow", 3*time.Second,
		"tests that take longer are run only for places that no other test reaches")
	flag.DurationVar(&lasts, "for", 24*time.Hour,
		"begin no mutant after this time; the order is by chance, with a fixed seed, so that those tried are a fair sample")
	flag.BoolVar(&o.verbose, "v", false, "print each mutant as it is decided")
	flag.Parse()
	o.until = time.Now().Add(lasts)
	o.only, o.tests = regexp.MustCompile(only), regexp.MustCompile(tests)
	if without != "" {
		o.without = regexp.MustCompile(without)
	}
	if err := run(o); err != nil {
		log.Fatal(err)
	}
}

func run(o options) error {
	all, err := packages(o.pkg)
	if err != nil {
		return err
	}
	// what only helps tests is not what they hold, and below calc a package that knows no
	// exact number computes nothing
	all = slices.DeleteFunc(all, func(l listed) bool {
		return strings.HasSuffix(l.Name, "test") ||
			strings.HasPrefix(l.below(), "calc") && !slices.Contains(l.Deps, exactPath)
	})
	j, err := openJournal(o.journal)
	if err != nil {
		return err
	}
	defer j.close()
	var mutants []*mutant
	for _, l := range all {
		done, err := change(l, o, j)
		if err != nil {
			return fmt.Errorf("%s: %w", l.ImportPath, err)
		}
		mutants = append(mutants, done...)
	}
	if o.list {
		return listMutants(os.Stdout, mutants, j)
	}
	share := report(os.Stdout, mutants, j)
	if o.out != "" {
		gone, err := writeSurvivors(o.out, mutants, j)
		if err != nil {
			return err
		}
		for _, row := range gone {
			fmt.Println("no longer there:", strings.Join(row, ", "))
		}
	}
	if share < o.least {
		return fmt.Errorf("%.1f %% of the changes were noticed, %.1f %% are the least", share, o.least)
	}
	return nil
}

// change tries the mutants of one package and returns all that it has.
func change(l listed, o options, j *journal) ([]*mutant, error) {
	dir, err := os.MkdirTemp("", "mutate")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(dir)
	var by []listed
	if !o.list {
		if by, err = packages(l.ImportPath + " " + o.by); err != nil {
			return nil, err
		}
	}
	b, err := build(l.ImportPath, by, dir)
	if err != nil {
		return nil, err
	}
	j.name(b.mutants)
	if o.list {
		return b.mutants, nil
	}
	fmt.Printf("%s: %d mutants in %d places, after %d places were given up that would not compile; tests of %d packages\n",
		b.pkg, len(b.mutants), b.places(), b.refused, len(b.programs))
	tests, err := b.reach(o)
	if err != nil {
		return nil, err
	}
	var left []*mutant
	for _, m := range b.mutants {
		if j.of(m) != killed && o.only.MatchString(m.place()) {
			left = append(left, m)
		}
	}
	rand.New(rand.NewPCG(20, 26)).Shuffle(len(left), func(i, k int) { left[i], left[k] = left[k], left[i] })
	if o.sample > 0 {
		left = left[:min(o.sample, len(left))]
	}
	try(left, tests, o, j)
	return b.mutants, nil
}
