package frame

import (
	"cmp"
	_ "embed"
	"encoding/csv"
	"strings"
	"sync"

	"gallipot/ingredients/pattern"
)

// keysTable names the field of each key of a file that is no plain word: what a message calls by
// its key elsewhere stands on a page under this name.
//
//go:embed keys.csv
var keysTable string

var keyNames = sync.OnceValue(func() map[string]string {
	rows, err := csv.NewReader(strings.NewReader(keysTable)).ReadAll()
	if err != nil {
		panic(err) // it is part of the program
	}
	names := make(map[string]string, len(rows))
	for _, r := range rows[1:] {
		names[r[0]] = r[1]
	}
	return names
})

// FieldName is what a page calls the field of a key where no form says more.
func FieldName(key string) string {
	return cmp.Or(keyNames()[key], strings.ReplaceAll(key, "_", " "))
}

var keyForm = pattern.New(`\b[A-Za-z]+(?:_[a-z0-9]+)+\b`)

// fieldsNamed names fields in a text in place of the keys of their values; inside a text they
// stand between quotes, at its beginning they head it.
func fieldsNamed(s string) string {
	if !strings.Contains(s, "_") {
		return s
	}
	var b strings.Builder
	done := 0
	for _, at := range keyForm.FindAllStringIndex(s, -1) {
		name := keyNames()[strings.ToLower(s[at[0]:at[1]])]
		if name == "" {
			continue
		}
		b.WriteString(s[done:at[0]])
		if at[0] == 0 {
			b.WriteString(name)
		} else {
			b.WriteString("“" + name + "”")
		}
		done = at[1]
	}
	b.WriteString(s[done:])
	return b.String()
}
