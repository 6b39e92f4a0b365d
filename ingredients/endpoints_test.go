package ingredients_test

import (
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/tox"
	"gallipot/ingredients"
)

// The keys that a sheet takes are the rows of the table, save those of the product.
func TestEndpointsOfTable(t *testing.T) {
	var keys []string
	for _, e := range tox.Builtin().Endpoints() {
		if e.Part != tox.PartProduct {
			keys = append(keys, e.Key)
		}
	}
	assert.Equal(t, keys, ingredients.Endpoints)
	help, err := os.ReadFile("../cmd/gallipot/help/topics/keys.txt")
	require.NoError(t, err)
	for _, key := range keys {
		assert.Contains(t, string(help), key)
	}
}
