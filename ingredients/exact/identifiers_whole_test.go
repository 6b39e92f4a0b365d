package exact_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"gallipot/ingredients"
	"gallipot/ingredients/source"
)

func TestNearest(t *testing.T) {
	keys := []string{"ingredient", "amount", "slot", "supplier", "composition", "body_area"}
	for word, want := range map[string]string{
		"ammount": "amount", "amuont": "amount", "Amount": "amount", "amounts": "amount",
		"ingredeint": "ingredient", "ingrediant": "ingredient", "solt": "slot", "suplier": "supplier", "body-area": "body_area", "body area": "body_area",
		"compostion": "composition", "zzz": "", "": "", "x": "", "colour": "",
	} {
		assert.Equal(t, want, source.Nearest(word, keys), word)
	}
	assert.Equal(t, "", source.Nearest("amount", nil))
	assert.Equal(t, "cat", source.Nearest("cut", []string{"cat", "cot"}), "of equally near words the first")
}

func TestEditDistance(t *testing.T) {
	// By hand; a swap of neighbours counts one.
	for _, c := range []struct {
		a, b string
		want int
	}{{"", "", 0}, {"a", "", 1}, {"kitten", "sitting", 3}, {"abcd", "acbd", 1}, {"ca", "abc", 3}, {"flaw", "lawn", 2}} {
		assert.Equal(t, c.want, source.EditDistance(c.a, c.b, 9), "%s %s", c.a, c.b)
		assert.Equal(t, c.want, source.EditDistance(c.b, c.a, 9), "%s %s", c.b, c.a)
	}
	assert.Equal(t, 2, source.EditDistance("kitten", "sitting", 2), "never above the limit")
}

func TestDictionary(t *testing.T) {
	d := ingredients.NewDictionary()
	d.Add("Aqua", []string{"7732-18-5"}, []string{"231-791-2"}, "Water", "Eau")
	d.Add("Sodium Chloride", []string{"7647-14-5"}, nil, "Salt")
	d.Add("Maris Sal", []string{"7647-14-5"}, nil, "Sea salt", "Salt")
	d.Add("aqua", []string{"7732-18-5", "7789-20-0"}, nil)

	assert.Equal(t, "Aqua", d.Canonical("WATER"))
	assert.Equal(t, "Aqua", d.Canonical(" water "))
	assert.Equal(t, []string{"7732-18-5", "7789-20-0"}, d.Lookup("eau").CAS)
	assert.Equal(t, "Sodium Chloride", d.Canonical("salt"), "a synonym stays with the first")
	assert.Equal(t, "Unheard of", d.Canonical(" Unheard of "))
	assert.Nil(t, d.Lookup("unheard of"))
	var names []string
	for _, s := range d.ByCAS("7647-14-5") {
		names = append(names, s.INCI)
	}
	assert.Equal(t, []string{"Sodium Chloride", "Maris Sal"}, names, "one number, two names")
	assert.Len(t, d.ByEC("231-791-2"), 1)
	assert.Empty(t, d.ByCAS("50-00-0"))
	assert.Equal(t, []string{"Aqua", "Maris Sal", "Sodium Chloride"}, d.Names())
}

func TestNameKey(t *testing.T) {
	for _, pair := range [][2]string{
		{"PEG-7 Glyceryl Cocoate", "peg 7 glyceryl cocoate"}, {"St. John’s Wort", "St Johns Wort"}, {"Sodium  Chloride", "sodium\u00a0chloride"},
		{" Aqua ", "aqua"}, {"Alpha–Isomethyl Ionone", "Alpha-Isomethyl Ionone"},
	} {
		assert.Equal(t, ingredients.NameKey(pair[0]), ingredients.NameKey(pair[1]))
	}
	assert.NotEqual(t, ingredients.NameKey("PEG-7"), ingredients.NameKey("PEG-70"))
	assert.NotEqual(t, ingredients.NameKey("Ceteareth-20"), ingredients.NameKey("Ceteareth-2 0"))
}
