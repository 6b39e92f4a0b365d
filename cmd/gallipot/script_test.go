package main

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"sync"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
	"github.com/stretchr/testify/require"

	"gallipot/ingredients/exact"
	"gallipot/testdata"
	"gallipot/testdata/testrun"
)

// Where a test runs the program in a process of its own, that is this test program under
// another name: on a fixed day, or as it is shipped, with the clock.
func TestMain(m *testing.M) {
	testscript.Main(testrun.Tests{M: m}, map[string]func(){
		shipped: main,
		"gallipot": func() {
			day := exact.Date(20261125)
			os.Exit(run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr, day))
		},
	})
}

func TestScripts(t *testing.T) { runScripts(t, "script") }

// TestFindings runs the smallest input of each finding.
func TestFindings(t *testing.T) { runScripts(t, "findings") }

func runScripts(t *testing.T, folder string) {
	dir, err := filepath.Abs(filepath.Join("..", "..", "testdata", folder))
	require.NoError(t, err)
	demo := filepath.Join(filepath.Dir(dir), "demo")
	testscript.Run(t, testscript.Params{
		Dir:                 dir,
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		UpdateScripts:       os.Getenv("UPDATE") == "1",
		Setup: func(env *testscript.Env) error {
			env.Setenv("DEMO", demo)
			for _, name := range []string{"MUTANT", "MUTANT_RECORD"} { // see testdata/mutate
				env.Setenv(name, os.Getenv(name))
			}
			return nil
		},
		Cmds: map[string]func(ts *testscript.TestScript, neg bool, args []string){
			"exits": exits, "finding": findingCommand, "fill": fill, "signed": signed,
			"jsonkeys": jsonKeys, "jsonis": jsonIs,
		},
	})
}

// exits runs a command and wants one exit code: exits 1 gallipot check. The program runs
// in this process; for a night in one of its own.
func exits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exits CODE COMMAND…")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	got := 0
	if args[1] == "gallipot" && !testdata.Night() {
		got = runHere(ts, args[2:])
	} else if err := ts.Exec(args[1], args[2:]...); err != nil {
		coded, ok := err.(interface{ ExitCode() int })
		if !ok {
			ts.Fatalf("%v", err)
		}
		got = coded.ExitCode()
	}
	if got != want {
		ts.Fatalf("exit code %d, want %d", got, want)
	}
}

// here is the folder that the whole process works in; one script has it at a time.
var here sync.Mutex

// runHere runs the program in this process, which has the tables read already: in the
// folder of the script, with its home.
func runHere(ts *testscript.TestScript, args []string) (code int) {
	here.Lock()
	defer here.Unlock()
	back, err := os.Getwd()
	ts.Check(err)
	home := os.Getenv("HOME")
	ts.Check(os.Chdir(ts.MkAbs(".")))
	ts.Check(os.Setenv("HOME", ts.Getenv("HOME")))
	defer func() {
		ts.Check(os.Chdir(back))
		ts.Check(os.Setenv("HOME", home))
	}()
	return run(args, strings.NewReader(""), ts.Stdout(), ts.Stderr(), 20261125)
}

// findingCommand copies the findings of one code out of what the last command printed
// into a file, so that a script can compare them whole: finding over-limit. The
// file is called finding.
func findingCommand(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: finding CODE")
	}
	var kept []string
	for block := range strings.SplitSeq(ts.ReadFile("stdout")+"\n"+ts.ReadFile("stderr"), "\n\n") {
		kept = append(kept, findingsIn(strings.Trim(block, "\n"), args[0])...)
	}
	if len(kept) == 0 {
		ts.Fatalf("no finding %s in\n%s%s", args[0], ts.ReadFile("stdout"), ts.ReadFile("stderr"))
	}
	ts.Check(os.WriteFile(ts.MkAbs("finding"), []byte(strings.Join(kept, "\n\n")+"\n"), 0o666))
}

// documentHead starts a finding in a document.
var documentHead = regexp.MustCompile(`^\S (stop|ask|note): `)

// findingsIn returns the findings of a code in a block of lines: the block, as
// check prints it, or parts of it, as they stand in a document with the code at
// their end.
func findingsIn(block, code string) (found []string) {
	lines := strings.Split(block, "\n")
	if strings.Contains(lines[0], "["+code+"]: ") {
		return []string{block}
	}
	from := -1
	for i, line := range lines {
		switch {
		case documentHead.MatchString(line):
			from = i
		case from >= 0 && strings.HasSuffix(line, "·  "+code):
			found = append(found, strings.Join(lines[from:i+1], "\n"))
			from = -1
		}
	}
	return found
}

// fill makes a file of a given size: fill limits/house.csv 2000000.
func fill(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: fill FILE BYTES")
	}
	size, err := strconv.Atoi(args[1])
	ts.Check(err)
	name := ts.MkAbs(args[0])
	ts.Check(os.MkdirAll(filepath.Dir(name), 0o777))
	ts.Check(os.WriteFile(name, []byte(strings.Repeat("#", size-1)+"\n"), 0o666))
}

// signed puts the fingerprint that the last command printed as JSON in the place
// of the word FINGERPRINT of a file: signed products/tide.yaml.
func signed(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: signed FILE")
	}
	var figures []struct{ Fingerprint string }
	ts.Check(json.Unmarshal([]byte(ts.ReadFile("stdout")), &figures))
	name := ts.MkAbs(args[0])
	text := strings.ReplaceAll(ts.ReadFile(name), "FINGERPRINT", figures[0].Fingerprint)
	ts.Check(os.WriteFile(name, []byte(text), 0o666))
}

// jsonAt returns the value of a path such as 0.limits.2.row in the JSON that the
// last command printed; "." is all of it.
func jsonAt(ts *testscript.TestScript, path string) any {
	var v any
	ts.Check(json.Unmarshal([]byte(ts.ReadFile("stdout")), &v))
	if path == "." {
		return v
	}
	for step := range strings.SplitSeq(path, ".") {
		switch x := v.(type) {
		case map[string]any:
			found, ok := x[step]
			if !ok {
				ts.Fatalf("%s: no key %s", path, step)
			}
			v = found
		case []any:
			i, err := strconv.Atoi(step)
			if err != nil || i >= len(x) {
				ts.Fatalf("%s: no element %s of %d", path, step, len(x))
			}
			v = x[i]
		default:
			ts.Fatalf("%s: nothing below %v", path, v)
		}
	}
	return v
}

// jsonKeys wants an object with at least the keys named: jsonkeys 0 product date.
func jsonKeys(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: jsonkeys PATH KEY…")
	}
	object, ok := jsonAt(ts, args[0]).(map[string]any)
	if !ok {
		ts.Fatalf("%s is no object", args[0])
	}
	for _, key := range args[1:] {
		if _, ok := object[key]; !ok {
			ts.Fatalf("%s has no key %s: %v", args[0], key, object)
		}
	}
}

// jsonIs wants one value: jsonis 0.market EU.
func jsonIs(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: jsonis PATH VALUE")
	}
	if got := fmt.Sprint(jsonAt(ts, args[0])); got != args[1] {
		ts.Fatalf("%s is %s, want %s", args[0], got, args[1])
	}
}
