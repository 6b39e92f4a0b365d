package reading

import (
	_ "embed"
	"encoding/csv"
	"strings"
	"sync"
)

//go:embed wording.csv
var wordingTable string

// wordings reads the table once.
var wordings = sync.OnceValue(func() map[string]string {
	rows, err := csv.NewReader(strings.NewReader(wordingTable)).ReadAll()
	if err != nil {
		panic(err) // our own table
	}
	out := map[string]string{}
	for _, r := range rows[1:] {
		out[r[0]] = r[1]
	}
	return out
})

// Wording says a question, a warning or a rule for a person; values fill the places
// in braces.
func Wording(code string, values map[string]string) string {
	s, ok := wordings()[code]
	if !ok {
		return code
	}
	for k, v := range values {
		s = strings.ReplaceAll(s, "{"+k+"}", v)
	}
	return s
}

// NewAsk is a question with its words.
func NewAsk(code string, at Place, values map[string]string) Ask {
	return Ask{Code: code, Place: at, Values: values, Text: Wording(code, values)}
}
