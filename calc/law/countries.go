package law

import (
	"slices"

	"gallipot/calc/law/duties"
	"gallipot/calc/law/table"
)

// Country returns a country by its two-letter code.
func Country(t *table.Tables, code string) (*duties.Country, bool) {
	i := slices.IndexFunc(t.Countries, func(c *duties.Country) bool { return c.Key == code })
	if i < 0 {
		return nil, false
	}
	return t.Countries[i], true
}
