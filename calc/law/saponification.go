package law

import "gallipot/ingredients"

// Fat is one oil, fat or wax with its saponification value and the names of
// its soaps.
//
// Source: saponification.csv.
type Fat struct {
	Row
	Name string
	INCI string
	CAS  []string // empty: none given

	// Saponification value in mg KOH for 1 g of fat. nil: not stated.
	SVMin, SVMax *ingredients.Num

	FattyAcids    string // typical pattern, % of fatty acids, in words
	SoapSodium    string // INCI name of the sodium soap
	SoapPotassium string // INCI name of the potassium soap
}

var fatColumns = []string{
	"key", "oil_name", "inci", "cas", "sv_min_mg_koh_g", "sv_max_mg_koh_g", "fatty_acids_typical_pct", "soap_inci_sodium",
	"soap_inci_potassium", "source", "seen", "note",
}

func readFats(file string, data []byte) ([]*Fat, error) {
	return readTable(file, data, fatColumns, func(r *record) *Fat {
		f := &Fat{
			Row: r.head(r.text("key")), Name: r.must("oil_name"), INCI: r.must("inci"), CAS: r.list("cas"),
			SVMin: r.num("sv_min_mg_koh_g"), SVMax: r.num("sv_max_mg_koh_g"), FattyAcids: r.text("fatty_acids_typical_pct"),
			SoapSodium: r.text("soap_inci_sodium"), SoapPotassium: r.text("soap_inci_potassium"),
		}
		r.checkNumbers(f.CAS, nil)
		if f.SVMin != nil && f.SVMax != nil && f.SVMax.Less(*f.SVMin) {
			r.fail("sv_min_mg_koh_g is above sv_max_mg_koh_g")
		}
		return f
	})
}
