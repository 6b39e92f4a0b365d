package answer

import (
	_ "embed"
	"encoding/csv"
	"strings"
)

//go:embed words.csv
var wordsTable string

// Fault is something about an answer that its reader should know: where it is, and a code
// of words.csv with its value.
type Fault struct {
	Code  string
	Row   string // code of the row; "" for the whole document
	Value string
}

// Message says what it is.
func (f Fault) Message() string { return f.filled(1) }

// Fix is the one thing to do; "" where there is nothing.
func (f Fault) Fix() string { return f.filled(2) }

func (f Fault) filled(column int) string {
	rows, err := csv.NewReader(strings.NewReader(wordsTable)).ReadAll()
	if err != nil {
		panic(err) // our own table
	}
	for _, r := range rows[1:] {
		if r[0] == f.Code {
			return strings.ReplaceAll(r[column], "{value}", f.Value)
		}
	}
	return f.Code
}

// Error puts row and message into one line.
func (f Fault) Error() string {
	if f.Row == "" {
		return f.Message()
	}
	return f.Row + ": " + f.Message()
}
