package frame

import (
	_ "embed"
	"encoding/csv"
	"regexp"
	"strings"
	"sync"

	"gallipot/dossier/workshop"
	"gallipot/ingredients"
)

// plainTable words what printed documents and values of findings say of keys as the pages call it:
// what is typed into a file elsewhere is a field here. A finding has texts of its own for that.
//
//go:embed plain.csv
var plainTable string

// rewording is a row of the table.
type rewording struct {
	pattern *regexp.Regexp
	words   string
}

var rewordings = sync.OnceValue(func() (list []rewording) {
	rows, err := csv.NewReader(strings.NewReader(plainTable)).ReadAll()
	if err != nil {
		panic(err) // it is part of the program
	}
	for _, r := range rows[1:] {
		list = append(list, rewording{regexp.MustCompile("(?i)" + r[0]), r[1]})
	}
	return list
})

// plain words what to do as it is done on a page.
func plain(s string) string {
	for _, r := range rewordings() {
		s = r.pattern.ReplaceAllStringFunc(s, func(hit string) string {
			m := r.pattern.FindStringSubmatch(hit)
			words := r.words
			if len(m) > 1 {
				kind := m[1]
				for _, kinds := range []map[string]string{workshop.ProductDocumentKinds, ingredients.DocumentKinds} {
					if text := kinds[m[1]]; text != "" {
						kind = text
					}
				}
				words = strings.NewReplacer("$kind", kind, "$1", m[1]).Replace(words)
			}
			return words
		})
	}
	return s
}

// tableless is a text without the names of the tables of law and their rows: what they rest on is
// named beside them, and the pages have no such files.
func tableless(s string) string {
	if !strings.Contains(s, ".csv") {
		return s
	}
	return plain(s)
}
