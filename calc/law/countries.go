package law

import "slices"

// Country is a state or territory that an address or an origin can name.
//
// Source: countries.csv.
type Country struct {
	Row              // Key is the two-letter code
	Name      string // as printed after "Made in"
	BelongsTo string // EU, EEA, UK or empty
}

var countryColumns = columns{meaning: []string{"code", "name", "belongs_to", "seen"},
	remarks: []string{"source", "note"}}

func readCountries(file string, data []byte) ([]*Country, error) {
	return readTable(file, data, countryColumns, func(r *record) *Country {
		return &Country{Row: r.head(r.text("code")), Name: r.must("name"), BelongsTo: r.word("belongs_to", "EU", "EEA", "UK", "")}
	})
}

// Country returns a country by its two-letter code.
func (t *Tables) Country(code string) (*Country, bool) {
	i := slices.IndexFunc(t.countries, func(c *Country) bool { return c.Key == code })
	if i < 0 {
		return nil, false
	}
	return t.countries[i], true
}

// Within says whether the country lies in the market: the United Kingdom for
// GB, the EU with the other states of the European Economic Area for EU and NI.
// That an address lies in Northern Ireland cannot be told by its country.
func (c *Country) Within(m Market) bool {
	if m == GB {
		return c.BelongsTo == "UK"
	}
	return c.BelongsTo == "EU" || c.BelongsTo == "EEA"
}
