package law

import (
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/ingredients"
)

// TestLabelBands compares the banded rules at their bounds with what law and
// guidance say. Expected values: the named tables, source per row.
func TestLabelBands(t *testing.T) {
	num := func(s string) ingredients.Num {
		n, err := ingredients.ParseNum(s)
		require.NoError(t, err)
		return n
	}
	text := func(n *ingredients.Num) string {
		if n == nil {
			return ""
		}
		return n.Exact()
	}
	heights := published(t, "label_heights.csv")
	require.Len(t, heights, 11)
	for _, c := range heights {
		row := Builtin().LabelBand(LabelFigureHeight, num(c["quantity"]))
		require.Equal(t, c["height_mm"], text(row.Value), "%s: %s g or ml", c["id"], c["quantity"])
		require.Equal(t, "mm", row.Unit)
	}
	require.Equal(t, "2", text(Builtin().LabelBand(LabelFigureHeight, num("0.5")).Value), "below 5 g no quantity is needed; where it is printed, the lowest band holds")
	for _, c := range published(t, "label_shortfall.csv") {
		row := Builtin().LabelBand(LabelShortfall, num(c["quantity"]))
		require.Equal(t, c["value"]+" "+c["unit"], text(row.Value)+" "+row.Unit, c["id"])
	}
	require.Nil(t, Builtin().LabelBand(LabelShortfall, num("5")), "the table of shortfalls starts above 5 g or ml")
}

// TestNotificationBands holds contents at and just above each bound to their band,
// by hand. The bands are those of portal practice, from memory: their bounds are
// 0.1, 1, 5, 10, 25, 50, 75 and 100 %.
func TestNotificationBands(t *testing.T) {
	bounds := []string{"", "0.1", "1", "5", "10", "25", "50", "75", "100"}
	band := func(content string) string {
		n, err := ingredients.ParseNum(content)
		require.NoError(t, err)
		row := Builtin().LabelBand(NotificationBand, n)
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
	for _, part := range []string{LabelFigureHeight, LabelShortfall, LabelLetterHeight, NotificationBand} {
		rows := Builtin().LabelRules(part)
		require.NotEmpty(t, rows, part)
		for i, row := range rows {
			if i > 0 {
				require.NotNil(t, row.Above, row.Key)
				require.True(t, rows[i-1].UpTo.Equal(*row.Above), "%s begins where %s ends", row.Key, rows[i-1].Key)
			}
		}
	}
}

// TestShelfLifeFigureIsTheRules keeps the words of the durability rules and the
// figure that decides between them together.
func TestShelfLifeFigureIsTheRules(t *testing.T) {
	months := Builtin().Fact("shelf-life-pao-over").Number.Exact()
	require.Contains(t, Builtin().LabelRule("L30").Rule, "up to "+months+" months")
	require.Contains(t, Builtin().LabelRule("L32").Rule, "more than "+months+" months")
}

// TestUnitTypesExist follows the product types that the unit rules name.
func TestUnitTypesExist(t *testing.T) {
	seen := map[string]string{}
	for _, row := range Builtin().LabelRules(LabelUnit) {
		for _, key := range row.Wording {
			_, ok := Builtin().ProductType(key)
			require.True(t, ok, "%s names %q", row.Key, key)
			require.Empty(t, seen[key], "%s stands in %s and %s", key, row.Key, seen[key])
			seen[key] = row.Key
		}
	}
}

// TestEveryMarketHasItsRules wants rules for the persons of every market, and
// every rule in at least one.
func TestEveryMarketHasItsRules(t *testing.T) {
	for _, row := range Builtin().labelRules {
		require.NotEmpty(t, row.Markets, row.Key)
	}
	require.True(t, Builtin().LabelRule("L11").In(GB))
	require.False(t, Builtin().LabelRule("L11").In(EU))
	require.True(t, Builtin().LabelRule("L44").In(NI))
}

func TestFaultyLabelRules(t *testing.T) {
	head := "id,part,market,rule,test,wording,above,up_to,value,unit,source,seen,note" + "\n"
	for _, c := range []struct{ row, want string }{
		{"X1,item,GB+US,a rule,,,,,,,src,seen,\n", `market: "US" is no market`},
		{"X1,item,GB+GB,a rule,,,,,,,src,seen,\n", `market: "GB" is no market, or stands twice`},
		{"X1,thing,GB,a rule,,,,,,,src,seen,\n", `part: "thing" is none of`},
		{"X1,item,GB,,,,,,,,src,seen,\n", "rule is empty"},
		{"X1,item,GB,a rule,,,50,50,2,mm,src,seen,\n", "above 50 is not below up_to 50"},
		{"X1,item,GB,a rule,,,,,2,,src,seen,\n", "value 2 has no unit"},
		{"X1,item,GB,a rule,,,,,2027-13-01,date,src,seen,\n", "2027-13-01"},
		{"X1,item,GB,a rule,,,,,,,,seen,\n", "source is empty"},
	} {
		_, err := readLabelRules("t.csv", []byte(head+c.row))
		require.ErrorContains(t, err, c.want, c.row)
	}
}

// TestCountriesOfMarkets counts the states of the unions: 27 members of the
// European Union, three more in the European Economic Area.
// Source: from memory, as of 2026.
func TestCountriesOfMarkets(t *testing.T) {
	count := map[string]int{}
	last := ""
	for _, c := range Builtin().countries {
		require.Less(t, last, c.Key, "sorted by code")
		last = c.Key
		count[c.BelongsTo]++
	}
	require.Equal(t, 27, count["EU"])
	require.Equal(t, 3, count["EEA"])
	require.Equal(t, 1, count["UK"])
	within := func(code string, m Market) bool {
		c, ok := Builtin().Country(code)
		require.True(t, ok, code)
		return c.Within(m)
	}
	require.True(t, within("GB", GB))
	require.False(t, within("IE", GB))
	require.False(t, within("GB", EU))
	require.False(t, within("GB", NI))
	require.True(t, within("IE", EU))
	require.True(t, within("NO", NI))
	require.False(t, within("CH", EU))
	_, ok := Builtin().Country("XX")
	require.False(t, ok)
}
