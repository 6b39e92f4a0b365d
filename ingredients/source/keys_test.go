package source

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestHasKeys(t *testing.T) {
	for text, want := range map[string]bool{
		"# a sheet\nid: water\nname: Water\n":         true,
		"code: B-1\r\nproduct: x\r\n":                 true,
		"Shopping: oil\nid card renewed\n":            false,
		"id: alone\n":                                 false,
		"name: Water\nfunctions: [solvent]\n":         false,
		"my notes\n\nthe id: of the lot is written\n": false,
		"": false,
	} {
		require.Equal(t, want, HasKeys([]byte(text), "id", "code", "lot"), text)
	}
}
