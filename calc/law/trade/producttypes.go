package trade

import (
	"gallipot/calc/law/rows"
	"gallipot/ingredients/exact"
)

// ProductType joins a trade term to the exposure table, the fragrance
// categories, the vocabulary of the limits and the microbiology classes.
//
// Source: product-types.csv. Many links are judgement; see Judged.
type ProductType struct {
	rows.Row
	Name     string
	RinseOff bool // washed off after use; decides the allergen threshold too

	Areas []string // area= words of the conditions
	Codes []string // product= words, parents included
	Forms []string // spray, aerosol, propellant-spray, pump-spray, loose-powder, inhalable

	ExposureKey string // row of the exposure table to use as it stands; empty: none
	ProxyKey    string // nearest row where ExposureKey is empty; the assessor confirms it

	FragranceCategory string // IFRA category, 49th Amendment and later
	CategorySeen      bool   // this very type stands in a row of the category table that was read

	MicroClass   string // eye-mucous-under3 or other (ISO 17516)
	WaterContact bool   // water may get into the pack in use

	PAOMonths  *exact.Num // typical months after opening, from memory; nil: none known
	Decorative bool       // a "may contain" list is allowed across shades

	Population string   // default for population= clauses; empty: adults
	Claims     []string // default for claim= clauses

	Judged bool // a link of the row is judgement rather than a fact read
}

// Microbiology classes of ISO 17516 as the product types name them.
const (
	MicroStrict = "eye-mucous-under3"
	MicroOther  = "other"
)

var ProductTypeColumns = rows.Columns{Meaning: []string{"key", "name", "rinse_off", "areas", "limit_codes",
	"form_flags", "exposure_key", "proxy_exposure_key", "ifra_category", "ifra_seen", "micro_class",
	"water_contact_in_use", "typical_pao_months", "decorative", "population", "claims", "judged", "seen"},
	Remarks: []string{"source", "note"}}

func ReadProductTypes(file string, text string) ([]*ProductType, error) {
	return rows.ReadTable(file, text, ProductTypeColumns, func(r *rows.Record) *ProductType {
		p := &ProductType{
			Row: r.Head(r.Text("key")), Name: r.Must("name"), RinseOff: r.Yes("rinse_off"),
			Areas: r.List("areas"), Codes: r.List("limit_codes"), Forms: r.List("form_flags"),
			ExposureKey: r.Text("exposure_key"), ProxyKey: r.Text("proxy_exposure_key"),
			FragranceCategory: r.Must("ifra_category"), CategorySeen: r.Word("ifra_seen", "seen", "memory") == "seen",
			MicroClass: r.Word("micro_class", MicroStrict, MicroOther), WaterContact: r.Yes("water_contact_in_use"),
			PAOMonths: r.Num("typical_pao_months"), Decorative: r.Yes("decorative"),
			Population: r.Text("population"), Claims: r.List("claims"), Judged: r.Mark("judged"),
		}
		if p.ExposureKey != "" && p.ProxyKey != "" {
			r.Fail("exposure_key and proxy_exposure_key are both filled")
		}
		return p
	})
}
