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
		require.Equal(t, c.want, FitsEntry(r.Plant(c.material), r.Plant(c.entry)), "%s as %s", c.material,
			c.entry)
	}
	// Plant, part and preparation, from names as the inventory forms them.
	for _, c := range []struct {
		name, of, parts, preparation, won, latin string
	}{
		{"Rosa Damascena Flower Oil/Extract", "rosa damascena", "flower", "extract oil", "oil extract",
			"rosa damascena"},
		{"Prunus Amygdalus Dulcis (Sweet Almond) Oil", "prunus amygdalus dulcis", "", "oil", "oil",
			"prunus amygdalus"},
		{"Rosa Absolute.", "rosa", "", "extract", "absolute", ""}, {"Rosa Canina Hip & Seed Oil Extracts",
			"rosa canina", "fruit seed", "extract oil", "oil extract", "rosa canina"},
		{"Rosa Seeds Oils", "rosa", "seed", "oil", "oil", ""}, {"Seed Oil", "seed", "", "oil", "oil", ""},
		{"Rosa Leaf Leaves", "rosa", "leaf", "", "", ""}, {"Rosa Oil Oil.", "rosa", "", "oil", "oil", ""},
		{"Rosa Oil Canina", "rosa canina", "", "oil", "oil", "rosa canina"},
		{"Adam's Mix Oil", "adam's mix", "", "oil", "oil", "adam's mix"},
		{"Adam’s Mix Oil", "adam’s mix", "", "oil", "oil", "adam’s mix"},
		{"Rosa-Mix Oil", "rosa-mix", "", "oil", "oil", ""},
		{"Rosa Canina Seed & Hip Extract & Oil", "rosa canina", "fruit seed", "extract oil", "extract oil", "rosa canina"},
	} {
		p := r.Plant(c.name)
		require.NotNil(t, p, c.name)
		require.Equal(t, []string{c.of, c.parts, c.preparation, c.won, c.latin}, []string{p.Of,
			strings.Join(p.Parts, " "),
			strings.Join(p.Preparation, " "), strings.Join(p.won, " "), p.Latin()}, c.name)
	}
	require.Equal(t, "", (*Plant)(nil).Latin())
	for _, name := range []string{"Oil", "", "Rose", "Distillates (petroleum) oil", "Oil (Petroleum)",
		"Glycerin (leaf oil)"} {
		require.Nil(t, r.Plant(name), name)
	}
	plant := func(part, preparation, won string) *Plant {
		return &Plant{Parts: strings.Fields(part), Preparation: strings.Fields(preparation),
			won: strings.Fields(won)}
	}
	for _, c := range []struct {
		material, entry *Plant
		want            Fit
	}{
		{nil, nil, Fits}, {plant("leaf", "oil", "oil"), nil, Fits}, {nil, plant("leaf", "", ""), Open},
		{plant("", "oil", "oil"), plant("leaf", "oil", "oil"), Open}, {plant("whole", "oil", "oil"),
			plant("leaf", "oil", "oil"), Open},
		{plant("seed", "", ""), plant("leaf", "oil", "oil"), Unfits}, {plant("leaf seed", "oil", "oil"),
			plant("seed", "oil", "oil"), Fits},
		{plant("leaf", "extract", "extract"), plant("leaf", "extract", "absolute"), Open},
		{plant("leaf", "extract", "absolute"), plant("leaf", "extract", "absolute"), Fits},
		{plant("leaf", "extract", ""), plant("leaf", "extract", "absolute"), Open},
		{plant("leaf", "extract", "extract"), plant("leaf", "extract", ""), Fits},
		{plant("seed", "extract", "extract"), plant("leaf", "extract", "absolute"), Unfits},
	} {
		require.Equal(t, c.want, FitsEntry(c.material, c.entry), "%v, %v", c.material, c.entry)
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
		strings.Repeat("a", 40) + " oil", "rose " + strings.Repeat("o", 40), "", "...", "Rose oil*",
		"rose (oil)",
		"Clove leaves.", "Rose [oil", "Rose {oil", "Rose oil[", "Rose oil{", "Rose `oil", "Rose @oil", "Rose （oil） oil",
		"ZZ ROSE OIL ZZ", "Zingiber rhizome", "ZINGIBER RHIZOME"}
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
		var plain []string
		for _, p := range Read(name) {
			if p.Kind != Bracket {
				plain = append(plain, p.Text)
			}
		}
		require.Equal(t, strings.Join(strings.Fields(strings.Join(plain, "")), " "), withoutBrackets(name))
		p := r.words.plantOf(withoutBrackets(name))
		require.True(t, p == nil || r.words.mayBePlant(name), "%s", name)
		if p != nil {
			plants++
		}
	}
	require.Greater(t, plants, 400)
}
