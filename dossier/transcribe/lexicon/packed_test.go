package lexicon

import (
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What is in the program is what stands in the tables.
func TestPacked(t *testing.T) {
	for name, packed := range map[string][]byte{"words.csv": packedWords, "formulas.csv": packedFormulas} {
		assert.Contains(t, Tables, name)
		table, err := os.ReadFile(name)
		require.NoError(t, err)
		require.Equal(t, string(table), unpacked(packed), "go run ./testdata/ready packs %s anew", name)
	}
}
