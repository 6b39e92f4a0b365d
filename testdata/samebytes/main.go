// Command samebytes runs two builds of the program over the same workshops and compares
// what they print, byte for byte. A change that is meant to cost less and to say the same
// is compared with the commit before it:
//
//	go build -o before ./cmd/gallipot; git switch …; go build -o after ./cmd/gallipot
//	go run ./testdata/samebytes before after
//
// The workshops are the demo and generated ones: of one product with many variants, of
// many products, and those whose labels are small, whose scents have many constituents,
// whose formulas have many lines, and whose sheets have names that nobody knows.
package main

import (
	"bytes"
	"errors"
	"flag"
	"fmt"
	"io/fs"
	"log"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"gallipot/testdata"
)

// workshops are those generated, by name.
var workshops = []struct {
	name string
	size testdata.Size
}{
	{"variants", testdata.Size{Sheets: 40, Products: 1, Variants: 60}},
	{"products", testdata.Size{Sheets: 60, Products: 12, Variants: 10}},
	{"sheets", testdata.Size{Sheets: 400, Products: 24, Variants: 8}},
	{"small-labels", testdata.Size{Sheets: 40, Products: 4, Variants: 5, SmallLabels: true}},
	{"constituents", testdata.Size{Sheets: 40, Products: 4, Variants: 5, Constituents: 100}},
	{"lines", testdata.Size{Sheets: 40, Products: 4, Variants: 5, Lines: 100}},
	{"unknown", testdata.Size{Sheets: 40, Products: 4, Variants: 2, Unknown: 20}},
}

// sayings are what is asked of the program in each workshop.
var sayings = [][]string{
	{"check"}, {"check", "--json"}, {"check", "--stream"}, {"check", "--market", "EU", "--json"},
}

// mostProducts is of how many products of a workshop the figures are compared.
const mostProducts = 4

func main() {
	log.SetFlags(0)
	days := flag.String("days", "2026-11-28,2027-09-01", "days whose law counts")
	quick := flag.Bool("quick", false, "the demo and the smaller workshops alone")
	flag.Parse()
	if flag.NArg() != 2 {
		log.Fatal("name two builds of the program: samebytes before after")
	}
	dir, err := os.MkdirTemp("", "samebytes")
	if err != nil {
		log.Fatal(err)
	}
	differ, compared, err := compareAll(dir, flag.Arg(0), flag.Arg(1), strings.Split(*days, ","), *quick)
	if err = errors.Join(err, os.RemoveAll(dir)); err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%d compared, %d differ\n", compared, differ)
	if differ > 0 || compared == 0 {
		os.Exit(1)
	}
}

func compareAll(dir, before, after string, days []string, quick bool) (differ, compared int, err error) {
	demo, err := fs.Sub(testdata.Demo, "demo")
	if err != nil {
		return 0, 0, err
	}
	all := map[string]fs.FS{"demo": demo}
	names := []string{"demo"}
	for i, w := range workshops {
		if !quick || i != 2 {
			names, all[w.name] = append(names, w.name), testdata.Large(w.size)
		}
	}
	for _, name := range names {
		at := filepath.Join(dir, name)
		if err := os.CopyFS(at, all[name]); err != nil {
			return differ, compared, err
		}
		asked := slices.Clone(sayings)
		products, err := fs.Glob(all[name], "products/*.yaml")
		if err != nil {
			return differ, compared, err
		}
		for _, p := range products[:min(len(products), mostProducts)] {
			asked = append(asked, []string{"figures", "--json", strings.TrimSuffix(path.Base(p), ".yaml")})
		}
		for _, day := range days {
			for _, args := range asked {
				args = append(args[:len(args):len(args)], "--date", day)
				one, err := said(before, at, args)
				if err != nil {
					return differ, compared, err
				}
				two, err := said(after, at, args)
				if err != nil {
					return differ, compared, err
				}
				compared++
				if !bytes.Equal(one, two) {
					differ++
					fmt.Printf("%s: %s: %s\n", name, strings.Join(args, " "), firstDifference(one, two))
				}
			}
		}
	}
	return differ, compared, nil
}

// said is what a build prints, with its exit code. One that prints nothing at all or
// says that it was called wrongly has not been compared.
func said(program, dir string, args []string) ([]byte, error) {
	program, err := filepath.Abs(program)
	if err != nil {
		return nil, err
	}
	cmd := exec.Command(program, args...)
	cmd.Dir = dir
	var out, wrong bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &wrong
	err = cmd.Run()
	var exit *exec.ExitError
	if err != nil && !errors.As(err, &exit) {
		return nil, err
	}
	if out.Len() == 0 {
		return nil, fmt.Errorf("%s %s in %s prints nothing: %s", program, strings.Join(args, " "), dir, wrong.String())
	}
	fmt.Fprintf(&out, "exit %d\n", cmd.ProcessState.ExitCode())
	return out.Bytes(), nil
}

// firstDifference shows the first line in which two outputs differ.
func firstDifference(one, two []byte) string {
	a, b := strings.Split(string(one), "\n"), strings.Split(string(two), "\n")
	for i := range min(len(a), len(b)) {
		if a[i] != b[i] {
			return fmt.Sprintf("line %d:\n  - %s\n  + %s", i+1, a[i], b[i])
		}
	}
	return fmt.Sprintf("%d lines against %d", len(a), len(b))
}
