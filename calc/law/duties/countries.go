package duties

import (
	"gallipot/calc/law/rows"
)

// Country is a state or territory that an address or an origin can name.
//
// Source: countries.csv.
type Country struct {
	rows.Row         // Key is the two-letter code
	Name      string // as printed after "Made in"
	BelongsTo string // EU, EEA, UK or empty
}

var CountryColumns = rows.Columns{Meaning: []string{"code", "name", "belongs_to", "seen"},
	Remarks: []string{"source", "note"}}

func ReadCountries(file string, text string) ([]*Country, error) {
	return rows.ReadTable(file, text, CountryColumns, func(r *rows.Record) *Country {
		return &Country{Row: r.Head(r.Text("code")), Name: r.Must("name"), BelongsTo: r.Word("belongs_to", "EU",
			"EEA", "UK", "")}
	})
}

// Within says whether the country lies in the market: the United Kingdom for
// GB, the EU with the other states of the European Economic Area for EU and NI.
// That an address lies in Northern Ireland cannot be told by its country.
func (c *Country) Within(m rows.Market) bool {
	if m == rows.GB {
		return c.BelongsTo == "UK"
	}
	return c.BelongsTo == "EU" || c.BelongsTo == "EEA"
}
