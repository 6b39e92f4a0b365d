// The program papers reads supplier papers and compares each reading with what a
// correct one contains: go run ./testdata/papers FOLDER [-v].
package main

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"gallipot/calc/law/table"
	"gallipot/dossier/transcribe"
	"gallipot/dossier/transcribe/listed"
	"gallipot/dossier/transcribe/paper"
	"gallipot/testdata/papers/score"
)

func main() {
	if len(os.Args) < 2 {
		fmt.Fprintln(os.Stderr, "give the folder with the papers: go run ./testdata/papers FOLDER [-v]")
		os.Exit(2)
	}
	ok, err := run(os.Args[1], len(os.Args) > 2 && os.Args[2] == "-v")
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(2)
	}
	if !ok {
		os.Exit(1)
	}
}

// run judges every paper of a folder and says whether it is good enough.
func run(folder string, loud bool) (bool, error) {
	reader, err := transcribe.New(table.Builtin(), listed.New(table.Builtin().Dictionary()))
	if err != nil {
		return false, err
	}
	files := paper.NewReader()
	defer files.Close()
	expected, err := filepath.Glob(filepath.Join(folder, "*.expected.json"))
	if err != nil {
		return false, err
	}
	var all score.Result
	facts, factsOff, put, open, forbidden := 0, 0, 0, 0, 0
	for _, e := range expected {
		stem := strings.TrimSuffix(e, ".expected.json")
		want, got, err := both(reader, files, e, stem)
		if err != nil {
			return false, err
		}
		name := filepath.Base(stem)
		r := score.Paper(want, got, true)
		all.Right, all.Missing, all.Wrong = all.Right+r.Right, all.Missing+r.Missing, all.Wrong+r.Wrong
		fmt.Printf("%-28s right %3d missing %3d wrong %3d\n", name, r.Right, r.Missing, r.Wrong)
		right, off := score.Facts(want, got)
		facts, factsOff = facts+right, factsOff+len(off)
		codes, _ := score.Table(folder, "questions.csv", name) // other folders have none
		asked, missing := score.Questions(got, codes)
		put, open = put+asked, open+len(missing)
		banned, _ := score.Table(folder, "forbidden.csv", name)
		proposed := score.Forbidden(got, banned)
		forbidden += len(proposed)
		if loud {
			for _, lines := range [][]string{r.Notes, off, missing, proposed} {
				for _, l := range lines {
					fmt.Println("  " + l)
				}
			}
		}
	}
	n := max(1, all.Right+all.Missing+all.Wrong)
	fmt.Printf("%d right, %d missing, %d wrong (%.1f %% right)\n", all.Right, all.Missing, all.Wrong,
		100*float64(all.Right)/float64(n))
	fmt.Printf("facts: %d right, %d not; questions: %d put, %d not; forbidden: %d proposed\n", facts, factsOff,
		put, open, forbidden)
	return all.Wrong == 0 && forbidden == 0 && float64(all.Right) >= 0.97*float64(n), nil
}

// both gives what is expected and what is read of a paper.
func both(reader *transcribe.Reader, files *paper.Reader, expected,
	stem string) (want, got score.Row, err error) {
	data, err := os.ReadFile(expected)
	if err != nil {
		return nil, nil, err
	}
	if err := json.Unmarshal(data, &want); err != nil {
		return nil, nil, fmt.Errorf("%s: %w", expected, err)
	}
	names, err := filepath.Glob(stem + ".*")
	if err != nil {
		return nil, nil, err
	}
	for _, n := range names {
		if strings.HasSuffix(n, ".json") {
			continue
		}
		if data, err = os.ReadFile(n); err != nil {
			return nil, nil, err
		}
		f, err := files.Read(n, data)
		if err != nil { // a refusal is an answer
			return want, score.Row{}, nil
		}
		text, err := json.Marshal(reader.Read(f))
		if err != nil {
			return nil, nil, err
		}
		return want, got, json.Unmarshal(text, &got)
	}
	return nil, nil, fmt.Errorf("%s: no paper stands beside it", expected)
}
