package law

import "gallipot/ingredients"

// ProductType joins a trade term to the exposure table, the fragrance
// categories, the vocabulary of the limits and the microbiology classes.
//
// Source: product-types.csv. Many links are judgement; Row.Note then starts
// with "Judgement:".
type ProductType struct {
	Row
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

	PAOMonths  *ingredients.Num // typical months after opening, from memory; nil: none known
	Decorative bool             // a "may contain" list is allowed across shades

	Population string   // default for population= clauses; empty: adults
	Claims     []string // default for claim= clauses
}

// Judged says whether a link of the row is judgement rather than a fact read.
func (p *ProductType) Judged() bool {
	const mark = "Judgement:"
	return len(p.Note) >= len(mark) && p.Note[:len(mark)] == mark
}

// Microbiology classes of ISO 17516 as the product types name them.
const (
	MicroStrict = "eye-mucous-under3"
	MicroOther  = "other"
)

var productTypeColumns = columns{meaning: []string{"key", "name", "rinse_off", "areas", "limit_codes", "form_flags", "exposure_key", "proxy_exposure_key", "ifra_category", "ifra_seen", "micro_class", "water_contact_in_use", "typical_pao_months", "decorative", "population", "claims", "seen"},
	remarks: []string{"source", "note"}}

func readProductTypes(file string, data []byte) ([]*ProductType, error) {
	return readTable(file, data, productTypeColumns, func(r *record) *ProductType {
		p := &ProductType{
			Row: r.head(r.text("key")), Name: r.must("name"), RinseOff: r.yes("rinse_off"),
			Areas: r.list("areas"), Codes: r.list("limit_codes"), Forms: r.list("form_flags"),
			ExposureKey: r.text("exposure_key"), ProxyKey: r.text("proxy_exposure_key"),
			FragranceCategory: r.must("ifra_category"), CategorySeen: r.word("ifra_seen", "seen", "memory") == "seen",
			MicroClass: r.word("micro_class", MicroStrict, MicroOther), WaterContact: r.yes("water_contact_in_use"),
			PAOMonths: r.num("typical_pao_months"), Decorative: r.yes("decorative"),
			Population: r.text("population"), Claims: r.list("claims"),
		}
		if p.ExposureKey != "" && p.ProxyKey != "" {
			r.fail("exposure_key and proxy_exposure_key are both filled")
		}
		return p
	})
}
