package frame

import (
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/ingredients"
)

func TestAllergenLists(t *testing.T) {
	list := AllergenLists(ingredients.List2003)
	require.Len(t, list, 2)
	require.Equal(t, ingredients.List2023, list[0].Value)
	require.Equal(t, ingredients.List2003, list[1].Value)
	require.True(t, list[1].Here)
	require.Contains(t, AllergenList(ingredients.List2023), "2023/1545")
	require.Equal(t, "another", AllergenList("another"))
}
