// Formulas reads every document of a folder that has an expected reading beside it
// and counts formula lines right, missing and wrong:
//
//	go run ./testdata/formulas [-v] FOLDER
//
// It ends with exit code 1 at one wrong line or below 97 % right. Makers, products
// and figures of the documents here are invented.
package main

import (
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"os"

	"gallipot/dossier/transcribe/formulation"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/paper"
	"gallipot/dossier/transcribe/recipe"
	"gallipot/testdata/formulas/judge"
)

func main() {
	loud := flag.Bool("v", false, "name what is not right")
	flag.Parse()
	dir := "testdata/formulas"
	if flag.NArg() > 0 {
		dir = flag.Arg(0)
	}
	total, err := run(dir, *loud)
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(2)
	}
	if total.Wrong > 0 || total.Percent() < 97 {
		os.Exit(1)
	}
}

func run(dir string, loud bool) (judge.Score, error) {
	var total judge.Score
	cases, err := judge.Cases(dir)
	if err != nil {
		return total, err
	}
	words, err := lexicon.Load()
	if err != nil {
		return total, err
	}
	files := paper.NewReader()
	defer files.Close()
	for _, c := range cases {
		answer, err := read(files, words, c)
		if err != nil {
			return total, err
		}
		s, err := c.Judge(answer)
		if err != nil {
			return total, err
		}
		fmt.Printf("%-28s right %3d missing %3d wrong %3d   said %2d of %2d\n", c.Name, s.Right,
			s.Missing, s.Wrong, s.Said, s.Said+s.Silent)
		for _, n := range s.Notes {
			if loud {
				fmt.Println("  " + n)
			}
		}
		total.Add(s)
	}
	fmt.Printf("%d right, %d missing, %d wrong (%.1f %% right); %d of %d questions and warnings put\n",
		total.Right, total.Missing, total.Wrong, total.Percent(), total.Said, total.Said+total.Silent)
	return total, nil
}

func read(files *paper.Reader, words *lexicon.Lexicon, c judge.Case) ([]byte, error) {
	f, err := files.Read(c.Name, c.Data)
	var trouble *paper.Trouble
	var out *formulation.Reading
	switch {
	case errors.As(err, &trouble):
		out = formulation.Refused(c.Name, trouble.Error(), trouble.Fix())
	case err != nil:
		return nil, err
	default:
		out = recipe.Read(f, words)
	}
	return json.MarshalIndent(out, "", " ")
}
