package law

// DossierItem is one thing the product file or the safety report must hold.
//
// Source: dossier-contents.csv, after Regulation (EC) No 1223/2009.
type DossierItem struct {
	Row          // Key is the id, such as P1 or A3b
	Title string // what it is called
	Needs string // what it needs
	Who   string // maker, assessor, supplier or lab
	Proof string // evidence that shows it
	When  string // when it is required, in words
}

var dossierColumns = columns{meaning: []string{"id", "who_provides", "seen"},
	remarks: []string{"title", "what_it_needs", "evidence", "when_required", "source", "note"}}

func readDossier(file string, data []byte) ([]*DossierItem, error) {
	return readTable(file, data, dossierColumns, func(r *record) *DossierItem {
		return &DossierItem{
			Row: r.head(r.text("id")), Title: r.must("title"), Needs: r.must("what_it_needs"),
			Who: r.word("who_provides", "maker", "assessor", "supplier", "lab"), Proof: r.text("evidence"), When: r.must("when_required"),
		}
	})
}
