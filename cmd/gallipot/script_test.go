package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"

	"gallipot/ingredients"
)

// The scripts run the program itself, in a process of its own, on a fixed day.
func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"gallipot": func() {
			day := ingredients.Date(20261125)
			os.Exit(run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr, day))
		},
	})
}

func TestScripts(t *testing.T) { runScripts(t, "script") }

// TestFindings runs the smallest input of each finding.
func TestFindings(t *testing.T) { runScripts(t, "findings") }

func runScripts(t *testing.T, folder string) {
	testscript.Run(t, testscript.Params{
		Dir:                 filepath.Join("..", "..", "testdata", folder),
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		UpdateScripts:       os.Getenv("UPDATE") == "1",
		Setup: func(env *testscript.Env) error {
			demo, err := filepath.Abs(filepath.Join("..", "..", "testdata", "demo"))
			if err != nil {
				return err
			}
			env.Setenv("DEMO", demo)
			return nil
		},
		Cmds: map[string]func(ts *testscript.TestScript, neg bool, args []string){
			"exits": exits, "finding": finding, "fill": fill, "signed": signed,
		},
	})
}

// exits runs a command and wants one exit code: exits 1 gallipot check.
func exits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exits CODE COMMAND…")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	got := 0
	if err := ts.Exec(args[1], args[2:]...); err != nil {
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

// finding copies the findings of one code out of what the last command printed
// into a file, so that a script can compare them whole: finding over-limit. The
// file is called finding.
func finding(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: finding CODE")
	}
	var kept []string
	for block := range strings.SplitSeq(ts.ReadFile("stdout")+"\n"+ts.ReadFile("stderr"), "\n\n") {
		block = strings.Trim(block, "\n")
		if head, _, _ := strings.Cut(block, "\n"); strings.Contains(head, "["+args[0]+"]: ") {
			kept = append(kept, block)
		}
	}
	if len(kept) == 0 {
		ts.Fatalf("no finding %s in\n%s%s", args[0], ts.ReadFile("stdout"), ts.ReadFile("stderr"))
	}
	ts.Check(os.WriteFile(ts.MkAbs("finding"), []byte(strings.Join(kept, "\n\n")+"\n"), 0o666))
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
