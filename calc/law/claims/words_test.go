package claims

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// Accents do not hide a wording.
func TestClaimsWithAccents(t *testing.T) {
	for letter, want := range map[rune]string{'É': "e", 'â': "a", 'Œ': "oe", 'æ': "ae", 'X': "x", 'ñ': "ñ"} {
		assert.Equal(t, want, string(appendFolded(nil, letter)))
	}
}
