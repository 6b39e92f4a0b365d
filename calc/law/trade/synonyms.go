package trade

import (
	"gallipot/calc/law/rows"
)

// Synonym is one pair of names that mean the same substance.
//
// Source: synonyms.csv.
type Synonym struct {
	rows.Row        // Key is the synonym
	INCI     string // canonical name
	Synonym  string // other name
}

var SynonymColumns = rows.Columns{Meaning: []string{"inci", "synonym", "seen"},
	Remarks: []string{"source", "note"}}

func ReadSynonyms(file string, text string) ([]*Synonym, error) {
	return rows.ReadTable(file, text, SynonymColumns, func(r *rows.Record) *Synonym {
		return &Synonym{Row: r.Head(r.Text("synonym")), INCI: r.Must("inci"), Synonym: r.Must("synonym")}
	})
}
