package duties

import (
	"gallipot/calc/law/rows"
)

// DossierItem is one thing the product file or the safety report must hold.
//
// Source: dossier-contents.csv, after Regulation (EC) No 1223/2009.
type DossierItem struct {
	rows.Row        // Key is the id, such as P1 or A3b
	Title    string // what it is called
	Needs    string // what it needs
	Who      string // maker, assessor, supplier or lab
	Proof    string // evidence that shows it
	When     string // when it is required, in words
	Days     int    // days a duty leaves; 0: none stated
}

var DossierColumns = rows.Columns{Meaning: []string{"id", "who_provides", "days", "seen"},
	Remarks: []string{"title", "what_it_needs", "evidence", "when_required", "source", "note"}}

func ReadDossier(file string, text string) ([]*DossierItem, error) {
	return rows.ReadTable(file, text, DossierColumns, func(r *rows.Record) *DossierItem {
		return &DossierItem{
			Row: r.Head(r.Text("id")), Title: r.Must("title"), Needs: r.Must("what_it_needs"),
			Who: r.Word("who_provides", "maker", "assessor", "supplier",
				"lab"), Proof: r.Text("evidence"), When: r.Must("when_required"), Days: r.Whole("days"),
		}
	})
}
