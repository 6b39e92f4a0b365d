package names

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestRowsOf(t *testing.T) {
	for text, want := range map[string]string{
		"":             "x.csv: the columns should be a,b",
		"a,c\n1,2\n":   "x.csv: the columns should be a,b",
		"a,b\n1\n":     "x.csv: record on line 2: wrong number of fields",
		"a,b\n\"1,2\n": "x.csv: parse error on line 2, column 6: extraneous or missing \" in quoted-field",
	} {
		_, err := rowsOf("x.csv", text, "a", "b")
		require.EqualError(t, err, want)
	}
	rows, err := rowsOf("x.csv", "a,b\n1,2\n", "a", "b")
	require.NoError(t, err)
	require.Equal(t, [][]string{{"1", "2"}}, rows)
}

// British spellings, which the law prints too, in the American ones of the inventory.
func TestInventorySpelling(t *testing.T) {
	for printed, want := range map[string]string{"Cobalt sulphate": "cobalt sulfate", "ALUMINIUM": "aluminum",
		"Glycerin": "glycerin", "": ""} {
		require.Equal(t, want, InventorySpelling(printed))
	}
	require.Equal(t, "", respelled("GLYCERIN"))
	require.Equal(t, "cobalt-sulfate", respelled("Cobalt-sulphate"))
}
