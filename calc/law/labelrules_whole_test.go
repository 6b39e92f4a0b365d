package law_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law"
	"gallipot/calc/law/duties"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/ingredients/exact"
	"gallipot/testdata/published"
)

// Parts of label-rules.csv that only its reader names.
const (
	labelShortfall = "shortfall"
	labelUnit      = "unit"
)

// TestLabelBands compares the banded rules at their bounds with what law and
// guidance say. Expected values: the named tables, source per row.
func TestLabelBands(t *testing.T) {
	num := func(s string) exact.Num {
		n, err := exact.ParseNum(s)
		require.NoError(t, err)
		return n
	}
	text := func(n *exact.Num) string {
		if n == nil {
			return ""
		}
		return n.Exact()
	}
	heights := published.Rows(t, "label_heights.csv")
	require.Len(t, heights, 11)
	for _, c := range heights {
		row := law.LabelBand(table.Builtin(), duties.LabelFigureHeight, num(c["quantity"]))
		require.Equal(t, c["height_mm"], text(row.Value), "%s: %s g or ml", c["id"], c["quantity"])
		require.Equal(t, "mm", row.Unit)
	}
	require.Equal(t, "2", text(law.LabelBand(table.Builtin(), duties.LabelFigureHeight, num("0.5")).Value),
		"below 5 g no quantity is needed; where it is printed, the lowest band holds")
	for _, c := range published.Rows(t, "label_shortfall.csv") {
		row := law.LabelBand(table.Builtin(), labelShortfall, num(c["quantity"]))
		require.Equal(t, c["value"]+" "+c["unit"], text(row.Value)+" "+row.Unit, c["id"])
	}
	require.Nil(t, law.LabelBand(table.Builtin(), labelShortfall, num("5")),
		"the table of shortfalls starts above 5 g or ml")
}

// TestNotificationBands holds contents at and just above each bound to their band,
// by hand. The bands are those of portal practice, from memory: their bounds are
// 0.1, 1, 5, 10, 25, 50, 75 and 100 %.
func TestNotificationBands(t *testing.T) {
	bounds := []string{"", "0.1", "1", "5", "10", "25", "50", "75", "100"}
	band := func(content string) string {
		n, err := exact.ParseNum(content)
		require.NoError(t, err)
		row := law.LabelBand(table.Builtin(), duties.NotificationBand, n)
		require.NotNil(t, row, content)
		above := ""
		if row.Above != nil {
			above = row.Above.Exact()
		}
		return above + " to " + row.UpTo.Exact()
	}
	for i, bound := range bounds[1:] {
		require.Equal(t, bounds[i]+" to "+bound, band(bound), "the bound belongs to the band below it")
		if bound != "100" {
			just := bound + ".000001"
			if bound == "0.1" {
				just = "0.100001"
			}
			require.Equal(t, bound+" to "+bounds[i+2], band(just))
		}
	}
	require.Equal(t, " to 0.1", band("0"))
}

// TestLabelBandsAreWhole wants every banded part without gap or overlap.
func TestLabelBandsAreWhole(t *testing.T) {
	for _, part := range []string{duties.LabelFigureHeight, labelShortfall, duties.LabelLetterHeight,
		duties.NotificationBand} {
		rows := law.LabelRules(table.Builtin(), part)
		require.NotEmpty(t, rows, part)
		for i, row := range rows {
			if i > 0 {
				require.NotNil(t, row.Above, row.Key)
				require.True(t, rows[i-1].UpTo.Equal(*row.Above), "%s begins where %s ends", row.Key, rows[i-1].Key)
			}
		}
	}
}

// TestLetterHeights: a lower-case x of at least 1.2 mm, of 0.9 mm where the largest face
// is smaller than 80 cm2. Source: Reg (EU) 1169/2011 Art. 13(2) and (3), as a packaging
// consortium (etichetta-conai.com) and a label printer (smartlabel.fr) give it.
func TestLetterHeights(t *testing.T) {
	var have []string
	for _, row := range law.LabelRules(table.Builtin(), duties.LabelLetterHeight) {
		bounds := "-"
		if row.UpTo != nil {
			bounds += row.UpTo.Exact()
		}
		if row.Above != nil {
			bounds = row.Above.Exact() + bounds
		}
		have = append(have, bounds+" "+row.Value.Exact())
	}
	require.Equal(t, []string{"-80 0.9", "80- 1.2"}, have)
}

// TestShelfLifeFigureIsTheRules keeps the words of the durability rules and the
// figure that decides between them together.
func TestShelfLifeFigureIsTheRules(t *testing.T) {
	months := law.Fact(table.Builtin(), "shelf-life-pao-over").Number.Exact()
	require.Contains(t, law.LabelRule(table.Builtin(), "L30").Rule, "up to "+months+" months")
	require.Contains(t, law.LabelRule(table.Builtin(), "L32").Rule, "more than "+months+" months")
}

// TestUnitTypesExist follows the product types that the unit rules name.
func TestUnitTypesExist(t *testing.T) {
	seen := map[string]string{}
	for _, row := range law.LabelRules(table.Builtin(), labelUnit) {
		for _, key := range row.Wording {
			_, ok := law.ProductType(table.Builtin(), key)
			require.True(t, ok, "%s names %q", row.Key, key)
			require.Empty(t, seen[key], "%s stands in %s and %s", key, row.Key, seen[key])
			seen[key] = row.Key
		}
	}
}

// TestEveryMarketHasItsRules wants rules for the persons of every market, and
// every rule in at least one.
func TestEveryMarketHasItsRules(t *testing.T) {
	for _, row := range table.Builtin().LabelRules {
		require.NotEmpty(t, row.Markets, row.Key)
	}
	require.True(t, law.LabelRule(table.Builtin(), "L11").In(rows.GB))
	require.False(t, law.LabelRule(table.Builtin(), "L11").In(rows.EU))
	require.True(t, law.LabelRule(table.Builtin(), "L44").In(rows.NI))
}

// TestCountriesOfMarkets counts the states of the unions: 27 members of the
// European Union, three more in the European Economic Area.
// Source: from memory, as of 2026.
func TestCountriesOfMarkets(t *testing.T) {
	count := map[string]int{}
	last := ""
	for _, c := range table.Builtin().Countries {
		require.Less(t, last, c.Key, "sorted by code")
		last = c.Key
		count[c.BelongsTo]++
	}
	require.Equal(t, 27, count["EU"])
	require.Equal(t, 3, count["EEA"])
	require.Equal(t, 1, count["UK"])
	within := func(code string, m rows.Market) bool {
		c, ok := law.Country(table.Builtin(), code)
		require.True(t, ok, code)
		return c.Within(m)
	}
	require.True(t, within("GB", rows.GB))
	require.False(t, within("IE", rows.GB))
	require.False(t, within("GB", rows.EU))
	require.False(t, within("GB", rows.NI))
	require.True(t, within("IE", rows.EU))
	require.True(t, within("NO", rows.NI))
	require.False(t, within("CH", rows.EU))
	_, ok := law.Country(table.Builtin(), "XX")
	require.False(t, ok)
}
