package names

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestFitsEntry(t *testing.T) {
	r := resolver(t)
	for _, c := range []struct {
		material, entry string
		want            Fit
	}{
		{"Rosa Canina Seed Oil", "Rosa canina flower oil", Unfits},
		{"Rosa Canina Fruit Oil", "Rosa canina flower oil", Unfits},
		{"Rosa Damascena Flower Oil", "Rosa damascena oil/extract", Fits},
		{"Rosa Damascena Absolute", "Rosa damascena flower oil/extract", Open},
		{"Ficus Carica Leaf Absolute", "Ficus Carica (fig) leaf absolute", Fits},
		{"Ficus Carica Leaf Extract", "Ficus Carica (fig) leaf absolute", Open},
		{"Mentha Piperita Leaf Water", "Mentha piperita oil", Unfits},
		{"Laurus Nobilis Leaf Oil", "Laurus nobilis seed oil", Unfits},
		{"Laurus Nobilis Oil", "Laurus nobilis seed oil", Open},
		{"Eugenia Caryophyllus Bud Oil", "Eugenia caryophyllus leaf oil", Unfits},
		{"Cinnamomum Zeylanicum Bark Oil", "Cinnamomum zeylanicum bark oil", Fits},
	} {
		require.Equal(t, c.want, FitsEntry(r.Plant(c.material), r.Plant(c.entry)), "%s as %s", c.material, c.entry)
	}
	require.Nil(t, r.Plant("Glycerin"))
	require.Nil(t, r.Plant("Oil"))
	require.Equal(t, "rosa canina", r.Plant("Rosa Canina (Dog Rose) Seed Oil").Latin())
}

// What is looked for first, a word for a part or a preparation, leaves out no plant:
// over the printed names of the tables of law and of the inventory both ways agree.
func TestMayBePlant(t *testing.T) {
	r := resolver(t)
	names := []string{"Oil, rose", "ROSE OIL.", "rose.oil", "Rose (x)(y)oil", "Röse Oil", "Rose oïl",
		"rose-oil", "(Rose) Oil", "oil",
		strings.Repeat("a", 40) + " oil", "rose " + strings.Repeat("o", 40), "", "...", "Rose oil*", "rose (oil)",
		"Clove leaves."}
	for _, file := range []string{"limits.csv", "allergens.csv"} {
		data, err := os.ReadFile(filepath.Join("..", "..", "calc", "law", "data", file))
		require.NoError(t, err)
		rows, err := csv.NewReader(strings.NewReader(string(data))).ReadAll()
		require.NoError(t, err)
		for _, row := range rows {
			for _, cell := range row {
				names = append(names, strings.Split(cell, ";")...)
			}
		}
	}
	require.Greater(t, len(names), 10_000)
	plants := 0
	for _, name := range names {
		p := r.words.plantOf(withoutBrackets(name))
		require.True(t, p == nil || r.words.mayBePlant(name), "%s", name)
		if p != nil {
			plants++
		}
	}
	require.Greater(t, plants, 400)
}
