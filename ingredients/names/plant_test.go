package names

import (
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
