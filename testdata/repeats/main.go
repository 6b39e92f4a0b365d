// Command repeats counts how often the calculation is asked what it was asked before, and
// how often it gives an answer that it gave before.
//
//	go run ./testdata/repeats calc/listing calc/limits          all functions of two rooms
//	go run ./testdata/repeats -lines 100 calc/listing           in formulas of 100 lines
//	go run ./testdata/repeats calc/limits:Run.judgeRow          one function
//
// It checks a generated workshop with a build in which each function of the rooms notes
// what it is asked and what it returns, and prints a line a function: calls for each result,
// how many different questions and answers these had, and how much of the time was in them,
// what they call included and the noting left out. The last line says how much of the time
// went to questions that the same function had been asked before, and to answers that it had
// given before, each moment counted once. Remembering saves at least the first, where that
// costs nothing, and no more than the second: a question can hold more than its answer turns
// on, and different questions can have one answer, such as none. Functions that take next to
// nothing take longer here, since a clock is read. Left out are functions without a result,
// generic ones, and those of a receiver without a name.
//
// A result is a variant in a market. Receivers, rows of the law, files and what is given to
// the calculation are the same where they are one and the same; all else is by what it
// holds, seven steps deep.
package main

import (
	"encoding/json"
	"flag"
	"log"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"

	"gallipot/calc/law/table"
	"gallipot/dossier"
	"gallipot/dossier/assess"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
	"gallipot/testdata"
	"gallipot/testdata/repeats/probe"
)

func main() {
	log.SetFlags(0)
	size := testdata.Size{Sheets: 400, Variants: 10}
	flag.IntVar(&size.Products, "products", 4, "products, of ten variants each, for two markets")
	flag.IntVar(&size.Lines, "lines", 0, "further lines of each formula")
	flag.IntVar(&size.Constituents, "constituents", 0, "constituents of each scent")
	flag.BoolVar(&size.SmallLabels, "small-labels", false, "labels of 60 × 30 mm")
	noted := flag.Bool("noted", false, "the build that notes; the program calls itself so")
	flag.Parse()
	if flag.NArg() == 0 {
		log.Fatal("name rooms, such as calc/listing")
	}
	if *noted {
		check(size)
		return
	}
	dir, err := os.MkdirTemp("", "repeats")
	fail(err)
	defer os.RemoveAll(dir)
	overlay, err := overlayOf(dir, flag.Args())
	fail(err)
	args := append([]string{"run", "-overlay", overlay, "./testdata/repeats", "-noted"}, os.Args[1:]...)
	cmd := exec.Command("go", args...)
	cmd.Stdout, cmd.Stderr = os.Stdout, os.Stderr
	fail(cmd.Run())
}

func fail(err error) {
	if err != nil {
		log.Fatal(err)
	}
}

// check checks the workshop on one processor, so that one thing goes on at a time.
func check(size testdata.Size) {
	runtime.GOMAXPROCS(1)
	w, _ := workshop.LoadFS("w", testdata.Large(size), table.Builtin())
	day, err := exact.ParseDate("2026-11-28")
	fail(err)
	probe.Begin()
	dossier.CheckAll(w, w.Computable(w.Products), nil, assess.Options{Date: day, Law: table.Builtin()})
	const markets = 2
	probe.Print(os.Stdout, size.Products*size.Variants*markets)
}

// overlayOf writes the changed files of rooms into a folder, and returns the file that tells
// the go command of them. A room is a folder from the module's own on; behind a colon stands
// a function of it, or a type and its method with a full stop between them.
func overlayOf(dir string, rooms []string) (string, error) {
	wanted := map[string]map[string]bool{}
	for _, arg := range rooms {
		room, name, _ := strings.Cut(arg, ":")
		room = strings.TrimPrefix(room, "./")
		if wanted[room] == nil {
			wanted[room] = map[string]bool{}
		}
		wanted[room][name] = true
	}
	replace := map[string]string{}
	for room, names := range wanted {
		files, err := filepath.Glob(filepath.Join(room, "*.go"))
		if err != nil {
			return "", err
		}
		for _, file := range files {
			if strings.HasSuffix(file, "_test.go") {
				continue
			}
			text, err := os.ReadFile(file)
			if err != nil {
				return "", err
			}
			changed, err := noting(room, string(text), func(name string) bool { return names[""] || names[name] })
			if err != nil {
				return "", err
			}
			if changed == string(text) {
				continue
			}
			to := filepath.Join(dir, strconv.Itoa(len(replace))+".go")
			if err := os.WriteFile(to, []byte(changed), 0o600); err != nil {
				return "", err
			}
			whole, err := filepath.Abs(file)
			if err != nil {
				return "", err
			}
			replace[whole] = to
		}
	}
	overlay := filepath.Join(dir, "overlay.json")
	text, err := json.Marshal(map[string]any{"Replace": replace})
	if err != nil {
		return "", err
	}
	return overlay, os.WriteFile(overlay, text, 0o600)
}
