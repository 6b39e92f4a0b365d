package main

import (
	"os"
	"path/filepath"
	"strconv"
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
		Cmds: map[string]func(ts *testscript.TestScript, neg bool, args []string){"exits": exits},
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
