package source

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

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
