package paper

import (
	_ "embed"
	"encoding/csv"
	"strings"
)

//go:embed words.csv
var wordsTable string

// Wording is what a code says to a person, and the one thing to do; "{value}" in
// it stands for the value.
func Wording(code string) (what, fix string) {
	rows, err := csv.NewReader(strings.NewReader(wordsTable)).ReadAll()
	if err != nil {
		panic(err) // our own table
	}
	for _, r := range rows[1:] {
		if r[0] == code {
			return r[1], r[2]
		}
	}
	return code, ""
}
