package source

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestNearest(t *testing.T) {
	keys := []string{"ingredient", "amount", "slot", "supplier", "composition", "body_area"}
	for word, want := range map[string]string{
		"ammount": "amount", "amuont": "amount", "Amount": "amount", "amounts": "amount",
		"ingredeint": "ingredient", "ingrediant": "ingredient", "solt": "slot", "suplier": "supplier",
		"body-area": "body_area", "body area": "body_area",
		"compostion": "composition", "zzz": "", "": "", "x": "", "colour": "",
	} {
		assert.Equal(t, want, Nearest(word, keys), word)
	}
	assert.Equal(t, "", Nearest("amount", nil))
	assert.Equal(t, "cat", Nearest("cut", []string{"cat", "cot"}), "of equally near words the first")
}

func TestEditDistance(t *testing.T) {
	// By hand; a swap of neighbours counts one.
	for _, c := range []struct {
		a, b string
		want int
	}{{"", "", 0}, {"a", "", 1}, {"kitten", "sitting", 3}, {"abcd", "acbd", 1}, {"ca", "abc", 3}, {"flaw", "lawn", 2}} {
		assert.Equal(t, c.want, editDistance(c.a, c.b, 9), "%s %s", c.a, c.b)
		assert.Equal(t, c.want, editDistance(c.b, c.a, 9), "%s %s", c.b, c.a)
	}
	assert.Equal(t, 2, editDistance("kitten", "sitting", 2), "never above the limit")
}

// TestMeant: a mere misspelling has one answer; a word made of others' parts has
// all that share a part.
func TestMeant(t *testing.T) {
	keys := []string{"bar-soap", "beard-balm", "beard-oil", "body-lotion", "hand-cream", "lip-balm", "shower-gel"}
	for word, want := range map[string][]string{
		"body-lotoin": {"body-lotion"},
		"shower gell": {"shower-gel"},
		"showergel":   {"shower-gel"},
		"Hand_Balm":   {"beard-balm", "hand-cream", "lip-balm"},
		"hand-balm":   {"beard-balm", "hand-cream", "lip-balm"},
		"balm":        {"beard-balm", "lip-balm"},
		"lip-salve":   {"lip-balm"},
		"qqqq":        nil,
	} {
		assert.Equal(t, want, Meant(word, keys), word)
	}
}
