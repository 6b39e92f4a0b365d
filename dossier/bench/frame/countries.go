package frame

import (
	"cmp"
	"slices"

	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/dossier/show"
	"gallipot/ingredients/namelist"
)

// Countries are the countries to choose from, by name: those inside a market, or with "" all of
// the table. What the file holds are their two letters, which nobody has to know.
func Countries(t *table.Tables, market rows.Market) (list []Choice) {
	for _, c := range t.Countries {
		if market == "" || c.Within(market) {
			list = append(list, Choice{Value: c.Key, Text: show.CountryWords(c)})
		}
	}
	slices.SortFunc(list, func(a, b Choice) int {
		return cmp.Compare(namelist.Key(a.Text), namelist.Key(b.Text)) // Åland stands under A
	})
	return list
}

// CountryLists are the lists of countries that tables of [Fields] name.
func CountryLists(t *table.Tables) map[string][]Choice {
	return map[string][]Choice{"countries": Countries(t, ""), "countries GB": Countries(t, rows.GB),
		"countries EU": Countries(t, rows.EU)}
}
