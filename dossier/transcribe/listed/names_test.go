package listed

import (
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law/table"
)

// The numbers are those of the Commission's inventory of ingredient names.
func TestNames(t *testing.T) {
	n := New(table.Builtin().Dictionary())
	t.Run("a customary name has its label name", func(t *testing.T) {
		require.Equal(t, "Glycerin", n.INCI("Glycerine", []string{"56-81-5"}, nil))
	})
	t.Run("a name that no list knows has none", func(t *testing.T) {
		require.Empty(t, n.INCI("Fell Mint Base", nil, nil))
	})
	t.Run("two substances in one name have none", func(t *testing.T) {
		require.Empty(t, n.INCI("Phenoxyethanol (and) Ethylhexylglycerin", nil, nil))
	})
	t.Run("the EC number of a CAS number, and back", func(t *testing.T) {
		require.Equal(t, []string{"200-289-5"}, n.ECOf("56-81-5"))
		require.Equal(t, []string{"56-81-5"}, n.CASOf("200-289-5"))
	})
	t.Run("an EC number that stands beside several CAS numbers", func(t *testing.T) {
		require.ElementsMatch(t, []string{"8007-69-0", "90320-37-9"}, n.CASOf("291-063-5"))
	})
}
