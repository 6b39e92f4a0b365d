package main

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
)

// program is the test program of one package, with the tests to run.
type program struct {
	pkg, path, dir string
	tests          []string
}

// buildPrograms compiles the packages of tests.csv so that they read their tables
// from a folder.
func buildPrograms(root, here, dir string) ([]*program, error) {
	rows, err := readCSV(filepath.Join(here, "tests.csv"))
	if err != nil {
		return nil, err
	}
	var out []*program
	for _, r := range rows[1:] {
		pkg, test := r[0], r[1]
		i := -1
		for k, p := range out {
			if p.pkg == pkg {
				i = k
			}
		}
		if i < 0 {
			p := &program{pkg: pkg, path: filepath.Join(dir, strings.ReplaceAll(pkg, "/", "_")+".test"),
				dir: filepath.Join(root, pkg)}
			cmd := exec.Command("go", "test", "-c", "-tags", "tablemutate", "-o", p.path, "./"+pkg)
			cmd.Dir = root
			if text, err := cmd.CombinedOutput(); err != nil {
				return nil, fmt.Errorf("%s: %w\n%s", pkg, err, text)
			}
			i, out = len(out), append(out, p)
		}
		out[i].tests = append(out[i].tests, test)
	}
	return out, nil
}

// runner tries changes.
type runner struct {
	programs []*program
	source   string // folder of the tables as they are
	dir      string
	jobs     int
}

// unchanged runs the tests on the tables as they are: they must pass, and each
// must be there.
func (r *runner) unchanged() error {
	for _, p := range r.programs {
		cmd := exec.Command(p.path, "-test.list", "^("+strings.Join(p.tests, "|")+")$")
		text, err := cmd.Output()
		if err != nil {
			return err
		}
		for _, t := range p.tests {
			if !regexp.MustCompile(`(?m)^` + t + `$`).Match(text) {
				return fmt.Errorf("%s has no test %s", p.pkg, t)
			}
		}
		if failed, out := p.run(r.source); failed {
			return fmt.Errorf("%s fails:\n%s", p.pkg, out)
		}
	}
	return nil
}

func (p *program) run(tables string) (failed bool, out []byte) {
	cmd := exec.Command("nice", "-n", "10", p.path, "-test.failfast", "-test.run",
		"^("+strings.Join(p.tests, "|")+")$")
	cmd.Dir = p.dir
	cmd.Env = append(os.Environ(), "TABLES="+tables)
	out, err := cmd.CombinedOutput()
	return err != nil, out
}

// try decides every change that can be judged, several at a time.
func (r *runner) try(changes []*change, verbose bool) {
	work := make(chan *change)
	var wait sync.WaitGroup
	var mu sync.Mutex
	for i := range r.jobs {
		wait.Add(1)
		go func() {
			defer wait.Done()
			folder := filepath.Join(r.dir, fmt.Sprint("tables", i))
			if err := os.CopyFS(folder, os.DirFS(r.source)); err != nil {
				panic(err)
			}
			for c := range work {
				r.decide(c, folder)
				if verbose {
					mu.Lock()
					fmt.Println(c.line())
					mu.Unlock()
				}
			}
		}()
	}
	for _, c := range changes {
		if c.unjudged {
			c.outcome = unjudged
			continue
		}
		work <- c
	}
	close(work)
	wait.Wait()
}

var (
	failedTest = regexp.MustCompile(`(?m)^\s*--- FAIL: (\S+)`)
	faultLine  = regexp.MustCompile(`panic: .*\.csv:\d+:`)
)

func (r *runner) decide(c *change, folder string) {
	file := filepath.Join(folder, c.table.name)
	if err := os.WriteFile(file, c.table.text(c.row, c.col, c.new), 0o644); err != nil {
		panic(err)
	}
	defer os.WriteFile(file, c.table.text(-1, 0, ""), 0o644)
	c.outcome = missed
	for _, p := range r.programs {
		failed, out := p.run(folder)
		if !failed {
			continue
		}
		c.outcome = noticed
		switch m := failedTest.FindAllSubmatch(out, -1); {
		case faultLine.Match(out) || bytes.Contains(out, []byte("panic: "+c.table.name+":")):
			c.outcome, c.by = refused, "the reader"
		case len(m) > 0:
			c.by = p.pkg + " " + string(m[0][1])
		}
		return
	}
}
