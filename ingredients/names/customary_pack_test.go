package names

import (
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/ingredients/namelist"
)

// packCustomary packs the table of customary names for reading in place: the
// names for finding, the rest in compressed lines.
//
// It fails for other columns than those of customary-names.csv.
func packCustomary(csv []byte) ([]byte, error) {
	rows, err := rowsOf("customary-names.csv", string(csv), customaryColumns...)
	if err != nil {
		return nil, err
	}
	list := make([]string, len(rows))
	for i, r := range rows {
		list[i] = r[0]
	}
	packed, place, err := namelist.Build(list)
	if err != nil {
		return nil, err
	}
	lines := make([]string, len(rows))
	for i, r := range rows {
		lines[place[i]] = strings.ReplaceAll(strings.Join(r[1:], "\t"), "\n", " ")
	}
	text, err := namelist.PackLines(lines)
	if err != nil {
		return nil, err
	}
	return namelist.PackSections(customaryLayout, packed, text), nil
}

// The packed table is that of customary-names.csv: each row is found by its name, and two of
// the same letters mean the same.
func TestCustomaryPacked(t *testing.T) {
	table, err := os.ReadFile("data/customary-names.csv")
	require.NoError(t, err)
	made, err := packCustomary(table)
	require.NoError(t, err)
	if os.Getenv("UPDATE") == "1" {
		require.NoError(t, os.WriteFile("data/customary.bin", made, 0o644))
	} else {
		require.True(t, customaryPacked == string(made),
			"data/customary.bin is not what the table makes: run UPDATE=1 go test ./ingredients/names")
	}
	_, err = packCustomary([]byte("name,inci\n"))
	require.Error(t, err)

	c, err := openCustomary(string(made))
	require.NoError(t, err)
	rows, err := rowsOf("customary-names.csv", string(table), customaryColumns...)
	require.NoError(t, err)
	for _, row := range rows {
		found := c.find(row[0])
		require.True(t, slices.EqualFunc(strings.Split(row[1], "|"), found.Names, func(a, b string) bool {
			return namelist.Key(a) == namelist.Key(b)
		}), row[0])
		if found.Name == row[0] { // else résorcine after resorcine
			require.Equal(t, &CustomaryName{row[0], strings.Split(row[1], "|"), row[2], row[3], row[4], row[5],
				strings.ReplaceAll(row[6], "\n", " ")}, found)
		}
	}
	lines, err := namelist.PackLines([]string{"AQUA"})
	require.NoError(t, err)
	for _, broken := range []string{"", "x", string(namelist.PackSections(customaryLayout, []byte("x"), lines)),
		string(namelist.PackSections(customaryLayout, []byte("x"), []byte("y")))} {
		_, err := openCustomary(broken)
		require.Error(t, err)
	}
}
