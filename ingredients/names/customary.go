package names

import (
	_ "embed"
	"strings"

	"gallipot/ingredients/namelist"
)

//go:embed data/customary-names.csv
var customaryCSV string

// CustomaryName is a name of the trade that the official lists do not have.
//
// Source: customary-names.csv.
type CustomaryName struct {
	Name   string
	Names  []string // official names, or those of the law; several are asked about
	Scope  string   // what it matters for: allergen, prohibited, restricted, label …
	Kind   string   // kind of name: trade, perfumery, common, american …
	Source string
	Seen   string
	Note   string
}

// readCustomary reads the table of customary names, by key.
func readCustomary(text string) (map[string]*CustomaryName, error) {
	rows, err := rowsOf("customary-names.csv", text, "name", "inci", "scope", "kind", "source", "seen", "note")
	if err != nil {
		return nil, err
	}
	out := make(map[string]*CustomaryName, len(rows))
	for _, r := range rows {
		c := &CustomaryName{Name: r[0], Names: strings.Split(r[1], "|"), Scope: r[2], Kind: r[3], Source: r[4], Seen: r[5], Note: r[6]}
		key := namelist.Key(r[0])
		if old := out[key]; old != nil {
			for _, n := range c.Names {
				old.Names = appendNew(old.Names, n)
			}
			continue
		}
		out[key] = c
	}
	return out, nil
}
