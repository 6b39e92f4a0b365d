package words

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestLists(t *testing.T) {
	for _, c := range []struct {
		words   []string
		and, or string
	}{
		{nil, "", ""}, {[]string{"a"}, "a", "a"}, {[]string{"a", "b"}, "a and b", "a or b"},
		{[]string{"a", "b", "c"}, "a, b and c", "a, b or c"},
	} {
		assert.Equal(t, c.and, and(c.words))
		assert.Equal(t, c.or, or(c.words))
	}
}

func TestCounts(t *testing.T) {
	assert.Equal(t, "0 packs", Count(0, "pack", "packs"))
	assert.Equal(t, "1 pack", Count(1, "pack", "packs"))
	assert.Equal(t, "are", plural(2, "is", "are"))
}

func TestWithArticle(t *testing.T) {
	for noun, want := range map[string]string{"outlet": "an outlet", "sheet": "a sheet", "impurity": "an impurity",
		"unit": "a unit", "unknown part": "an unknown part", "use": "a use", "": "a "} {
		assert.Equal(t, want, withArticle(noun))
	}
}

func TestCapital(t *testing.T) {
	assert.Equal(t, "Été", capital("été"))
	assert.Equal(t, "", capital(""))
}
