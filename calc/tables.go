package calc

import (
	"slices"
	"strconv"
	"strings"

	"gallipot/calc/law"
	"gallipot/ingredients"
)

// covers says whether a declaration against a list answers for an entry.
func covers(row *law.Allergen, list string) bool {
	switch list {
	case ingredients.List2023:
		return true
	case ingredients.List2003:
		return row.Regime == "2003-list"
	}
	return false
}

// newestAmendment is the newest amendment of the fragrance Standards that the
// tables know.
func newestAmendment(tables *law.Tables) int {
	n, err := strconv.Atoi(tables.Fact("ifra-amendment-newest").Value)
	if err != nil {
		panic(err) // the table is embedded and tested
	}
	return n
}

// colourName returns the name of a colourant in the ingredient list: the first
// name of its row, which is the CI number where there is one.
func colourName(tables *law.Tables, inci string) (string, bool) {
	for _, m := range tables.LimitsOf(inci, nil, nil) {
		if m.Limit.Annex == "IV" {
			return m.Limit.Names[0], true
		}
	}
	return "", false
}

// isPreservative says whether a substance is on the preservative list in force,
// found by name.
func isPreservative(in *Input, inci string) bool {
	return slices.ContainsFunc(in.Law.LimitsOf(inci, nil, nil), func(m law.Match) bool {
		return m.Limit.Annex == "V" && m.Limit.In(in.Market, in.Date) && !m.Limit.Prohibited()
	})
}

// lowRiskCriteria are the rows that say when germs are not expected to grow.
func lowRiskCriteria(tables *law.Tables) []*law.StabilityItem {
	var rows []*law.StabilityItem
	for _, s := range tables.Stability() {
		if s.Topic == "low risk" && strings.HasPrefix(s.Key, "K") && s.Value != "rule" {
			rows = append(rows, s)
		}
	}
	return rows
}
