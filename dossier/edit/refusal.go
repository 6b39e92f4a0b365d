package edit

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"strings"
	"sync"
)

// Refusal says why a file or an edit of it was refused. Nothing has been changed.
type Refusal struct {
	// Code is stable: not-utf8, syntax, anchor, no-place, comment-lost …
	Code string
	// File is the name that was given to Parse.
	File string
	// Line and Col are counted from 1; Col counts characters. Both are 0 where the
	// refusal is about the whole file.
	Line, Col int
	// Values are what the wording names.
	Values map[string]string

	offset int
}

//go:embed refusals.csv
var refusalTable string

var refusalWords = sync.OnceValue(func() map[string][2]string {
	rows, err := csv.NewReader(strings.NewReader(refusalTable)).ReadAll()
	if err != nil {
		panic(err) // the table is part of the program
	}
	words := make(map[string][2]string, len(rows))
	for _, r := range rows[1:] {
		words[r[0]] = [2]string{r[1], r[2]}
	}
	return words
})

// Message returns what is wrong, without the place.
func (r *Refusal) Message() string { return r.filled(refusalWords()[r.Code][0]) }

// Fix returns one thing to do.
func (r *Refusal) Fix() string { return r.filled(refusalWords()[r.Code][1]) }

func (r *Refusal) filled(s string) string {
	for k, v := range r.Values {
		s = strings.ReplaceAll(s, "{"+k+"}", v)
	}
	return s
}

// Error returns place, message and fix.
func (r *Refusal) Error() string {
	place := r.File
	if r.Line > 0 {
		place = fmt.Sprintf("%s:%d:%d", r.File, r.Line, r.Col)
	}
	return strings.TrimPrefix(place+": ", ": ") + r.Message() + "; " + r.Fix()
}

// refuse makes a refusal at a byte of the file. values are names and what they stand for.
func refuse(code string, offset int, values ...string) *Refusal {
	r := &Refusal{Code: code, offset: offset, Values: map[string]string{}}
	for i := 0; i+1 < len(values); i += 2 {
		r.Values[values[i]] = values[i+1]
	}
	return r
}
