package names

import (
	_ "embed"
	"encoding/csv"
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync"

	"gallipot/ingredients/namelist"
)

//go:embed data/plant-words.csv
var plantWordsCSV string

//go:embed data/qualifiers.csv
var qualifiersCSV string

//go:embed data/spelling.csv
var spellingCSV string

//go:embed data/capitals.csv
var capitalsCSV string

//go:embed data/salt-words.csv
var saltWordsCSV string

// vocabulary is the small tables by which names are read.
type vocabulary struct {
	plant      map[string]plantWord
	qualifiers map[string]string // qualifier, folded → kind
	streams    map[string]bool   // what a refinery stream was won from, folded; it is no second name
	origins    []string          // all such words, in brackets and folded: what they stand in is no plant
	capitals   map[string]bool
	salts      saltWords
}

type plantWord struct {
	part  bool // else a preparation
	class string
}

type respelling struct{ printed, official string }

// rowsOf reads an embedded table. It fails for other columns than those asked for.
func rowsOf(name, text string, columns ...string) ([][]string, error) {
	r := csv.NewReader(strings.NewReader(text))
	records, err := r.ReadAll()
	switch {
	case err != nil:
		return nil, fmt.Errorf("%s: %w", name, err)
	case len(records) == 0 || !slices.Equal(records[0], columns):
		return nil, fmt.Errorf("%s: the columns should be %s", name, strings.Join(columns, ","))
	}
	return records[1:], nil
}

func readVocabulary() (*vocabulary, error) {
	v := &vocabulary{plant: map[string]plantWord{}, qualifiers: map[string]string{}, streams: map[string]bool{},
		capitals: map[string]bool{}, salts: saltWords{}}
	var errs []error
	read := func(name, text string, columns ...string) [][]string {
		rows, err := rowsOf(name, text, columns...)
		errs = append(errs, err)
		return rows
	}
	for _, r := range read("plant-words.csv", plantWordsCSV, "word", "kind", "class", "note") {
		v.plant[r[0]] = plantWord{r[1] == "part", r[2]}
	}
	for _, r := range read("qualifiers.csv", qualifiersCSV, "word", "kind", "note") {
		if r[1] == "stream" || r[1] == "coal stream" {
			v.origins = append(v.origins, "("+foldWords(r[0])+")")
			v.streams[foldWords(r[0])] = r[1] == "stream"
			continue
		}
		v.qualifiers[foldWords(r[0])] = r[1]
	}
	for _, r := range read("capitals.csv", capitalsCSV, "word", "note") {
		v.capitals[r[0]] = true
	}
	for _, r := range read("salt-words.csv", saltWordsCSV, "word", "kind", "official", "note") {
		v.salts[r[0]] = saltWord{saltKind(r[1]), r[2]}
	}
	return v, errors.Join(errs...)
}

// foldWords puts words in small letters with single spaces; signs stay.
func foldWords(s string) string { return strings.Join(strings.Fields(strings.ToLower(s)), " ") }

// spellings are the pairs of spelling.csv.
var spellings = sync.OnceValue(func() []respelling {
	rows, err := rowsOf("spelling.csv", spellingCSV, "printed", "official", "note")
	if err != nil {
		panic(err) // embedded, and tested
	}
	list := make([]respelling, len(rows))
	for i, r := range rows {
		list[i] = respelling{r[0], r[1]}
	}
	return list
})

// InventorySpelling returns a name in small letters and in the spelling of the
// inventory, which is American: cobalt sulfate for Cobalt sulphate. The law prints
// either, and so do suppliers.
func InventorySpelling(name string) string {
	out := strings.ToLower(name)
	for _, s := range spellings() {
		out = strings.ReplaceAll(out, s.printed, s.official)
	}
	return out
}

// respelled returns a name in the spelling of the inventory where it is printed in
// another one; else "".
func respelled(name string) string {
	out := InventorySpelling(name)
	if namelist.Key(out) == namelist.Key(name) {
		return ""
	}
	return out
}
