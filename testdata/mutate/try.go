package main

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"os"
	"os/exec"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"
)

// test is one test of a program, run alone.
type test struct {
	in     *program
	name   string
	cpu    time.Duration
	places map[int]bool // sites that it reaches
}

type verdict string

const (
	killed     verdict = "killed"
	survived   verdict = "survived"
	notReached verdict = "not reached"
)

var failed = regexp.MustCompile(`(?m)^--- FAIL: (\w+)`)

// longestWait ends tests that wait for ever: a mutant may leave a lock locked.
const longestWait = 20 * time.Minute

// start runs some tests of the program, within a number of seconds of processor
// time, since a mutant may make an endless loop. It returns the time taken and the
// test that failed, where the program lived to say which.
func (p *program) start(tests []string, seconds int, o options,
	env ...string) (time.Duration, string, error) {
	pattern := "^(" + strings.Join(tests, "|") + ")$"
	ctx, cancel := context.WithTimeout(context.Background(), longestWait)
	defer cancel()
	script := fmt.Sprintf(`ulimit -t %d; exec nice -n %d "$0" "$@"`, seconds, o.nice)
	c := exec.CommandContext(ctx, "sh", "-c", script, p.path, "-test.run", pattern, "-test.failfast",
		"-test.timeout", "0")
	c.Dir = p.dir
	c.Env = append(os.Environ(), append(env, "GOMAXPROCS=2", "GOGC=300")...)
	var out bytes.Buffer
	c.Stdout, c.Stderr = &out, &out
	err := c.Run()
	if c.ProcessState == nil {
		return 0, "", err
	}
	by := ""
	if m := failed.FindSubmatch(out.Bytes()); m != nil {
		by = string(m[1])
	}
	return c.ProcessState.UserTime() + c.ProcessState.SystemTime(), by, err
}

// reach runs every test alone, with no mutant on, and notes which places it
// reaches and how long it takes.
func (b *built) reach(o options) ([]*test, error) {
	var tests []*test
	for _, p := range b.programs {
		c := exec.Command(p.path, "-test.list", "^Test")
		c.Dir = p.dir
		text, err := c.Output()
		if err != nil {
			return nil, err
		}
		for _, name := range strings.Fields(string(text)) {
			if !o.tests.MatchString(name) || o.without != nil && o.without.MatchString(name) {
				continue
			}
			tests = append(tests, &test{in: p, name: name, places: map[int]bool{}})
		}
	}
	errs := make([]error, len(tests))
	parallel(len(tests), o.jobs, func(i int) {
		t := tests[i]
		record := fmt.Sprintf("%s.%s.reached", t.in.path, t.name)
		if t.cpu, _, errs[i] = t.in.start([]string{t.name}, 600, o, "MUTANT_RECORD="+record); errs[i] != nil {
			errs[i] = fmt.Errorf("%s fails before anything is changed: %w", t.name, errs[i])
			return
		}
		text, err := os.ReadFile(record)
		errs[i] = err
		for _, line := range strings.Fields(string(text)) {
			n, _ := strconv.Atoi(line)
			t.places[n] = true
		}
	})
	for _, err := range errs {
		if err != nil {
			return nil, err
		}
	}
	return tests, nil
}

// try runs each mutant against the tests that reach it and notes what became of it.
func try(mutants []*mutant, tests []*test, o options, j *journal) {
	found := map[string]int{} // mutants that a test found in a file, under file and test
	var lock sync.Mutex
	done := 0
	parallel(len(mutants), o.jobs, func(i int) {
		if time.Now().After(o.until) {
			return
		}
		m := mutants[i]
		lock.Lock()
		order := reaching(m, tests, found, o)
		lock.Unlock()
		v, by := tryOne(m, order, o)
		lock.Lock()
		defer lock.Unlock()
		j.note(m, v)
		found[m.file+" "+by]++
		done++
		if o.verbose {
			fmt.Println(m.place(), m.change(), "→", v, by)
		}
		if done%100 == 0 {
			fmt.Fprintf(os.Stderr, "%d of %d\n", done, len(mutants))
		}
	})
}

// tryOne runs one mutant until a test notices it, and names that test.
func tryOne(m *mutant, order []*test, o options) (verdict, string) {
	if len(order) == 0 {
		return notReached, ""
	}
	for _, group := range grouped(order) {
		var names []string
		var cpu time.Duration
		for _, t := range group {
			names, cpu = append(names, t.name), cpu+t.cpu
		}
		limit := 5 + int(math.Ceil(4*cpu.Seconds()))
		if _, by, err := group[0].in.start(names, limit, o, "MUTANT="+strconv.Itoa(m.id)); err != nil {
			return killed, group[0].in.pkg + " " + by
		}
	}
	return survived, ""
}

// reaching returns the tests that reach a mutant, those first that find the most in
// its file for the time they take. Slow ones are left out if there are others.
func reaching(m *mutant, tests []*test, found map[string]int, o options) []*test {
	var quick, slow []*test
	for _, t := range tests {
		switch {
		case !t.places[m.site]:
		case t.cpu > o.slow:
			slow = append(slow, t)
		default:
			quick = append(quick, t)
		}
	}
	if len(quick) == 0 {
		return slow
	}
	worth := func(t *test) float64 {
		return float64(1+found[m.file+" "+t.in.pkg+" "+t.name]) / (0.03 + t.cpu.Seconds())
	}
	slices.SortStableFunc(quick, func(a, b *test) int {
		switch {
		case worth(a) > worth(b):
			return -1
		case worth(a) < worth(b):
			return 1
		}
		return 0
	})
	return quick
}

// grouped puts tests of one program together that are run by one process, few at
// first; most of the time of a quick test is the start of its process.
func grouped(tests []*test) [][]*test {
	var out [][]*test
	for n := 4; len(tests) > 0; n *= 6 {
		n = min(n, len(tests))
		for part := tests[:n]; len(part) > 0; {
			same := []*test{part[0]}
			var others []*test
			for _, t := range part[1:] {
				if t.in == part[0].in {
					same = append(same, t)
				} else {
					others = append(others, t)
				}
			}
			out, part = append(out, same), others
		}
		tests = tests[n:]
	}
	return out
}

// parallel calls f for 0 to n-1, so many at a time.
func parallel(n, jobs int, f func(i int)) {
	var wait sync.WaitGroup
	next := make(chan int)
	for range jobs {
		wait.Go(func() {
			for i := range next {
				f(i)
			}
		})
	}
	for i := range n {
		next <- i
	}
	close(next)
	wait.Wait()
}
