//go:build !tablemutate

package table

import (
	"fmt"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/annex"
	"gallipot/calc/law/rows"
	"gallipot/ingredients"
)

// What stands beside the tables is what follows from them, and answers as they do.
func TestReady(t *testing.T) {
	plain, err := Read(os.DirFS("../data"))
	require.NoError(t, err)
	require.Nil(t, plain.ready)
	text, err := Ready(plain)
	require.NoError(t, err)
	require.Equal(t, readyText, text, "run go run ./testdata/ready from the root of the project")

	made, err := Read(Files())
	require.NoError(t, err)
	require.NotNil(t, made.ready)
	require.Equal(t, plain.Meanings(), made.Meanings())
	require.Equal(t, plain.Version(), made.Version())
	t.Run("names", func(t *testing.T) {
		asked := plain.Dictionary().All()
		for _, l := range plain.EveryLimit() {
			asked = append(asked, l.Names...)
		}
		asked = append(asked, plain.entryNames()...)
		asked = append(asked, "no such thing", "", "Kobalt", "4-Aminophenol", "p-amino phenol", "Cobalt sulphate",
			"cobalt sulfate")
		require.Greater(t, len(asked), 7000)
		require.Equal(t, plain.Dictionary().All(), made.Dictionary().All())
		for _, name := range asked {
			require.Equal(t, plain.Dictionary().Prohibited(name), made.Dictionary().Prohibited(name), name)
			require.Equal(t, plain.Dictionary().Canonical(name), made.Dictionary().Canonical(name), name)
			require.Equal(t, plain.Names().Same(name), made.Names().Same(name), name)
			require.Equal(t, plain.Dictionary().Canonical(name), made.Dictionary().CanonicalOf(name), name)
		}
	})
	t.Run("plants", func(t *testing.T) {
		say := func(tables *Tables) (all []string) {
			for _, e := range tables.EntryPlants() {
				all = append(all, fmt.Sprintf("%s %s %+v", e.Rule.Key, e.Name, *e.Plant))
			}
			return all
		}
		require.Greater(t, len(say(plain)), 100)
		require.Equal(t, say(plain), say(made))
		own := []*annex.Limit{{Row: rows.Row{Key: "own", File: "limits/own.csv"}, Own: true,
			Names: []string{"Lavandula Angustifolia Oil"}}}
		require.Len(t, made.WithLimits(own).EntryPlants(), len(say(plain))+1)
		require.Equal(t, say(plain.WithLimits(own)), say(made.WithLimits(own)))
	})
	t.Run("of other tables nothing is taken", func(t *testing.T) {
		other, err := Read(os.DirFS("../data"))
		require.NoError(t, err)
		other.info[0].text += " "
		other.takeReady(readyText)
		assert.Nil(t, other.ready)
		assert.NotNil(t, other.Dictionary().Lookup("Linalool"))
	})
	t.Run("a maker's own rows are summed up", func(t *testing.T) {
		with := made.WithLimits(plain.Limits[:1])
		assert.NotEqual(t, made.Meanings(), with.Meanings())
		assert.Equal(t, plain.WithLimits(plain.Limits[:1]).Meanings(), with.Meanings())
	})
	t.Run("two names of one hash are told apart", func(t *testing.T) {
		var names []string
		for _, p := range made.prohibited[:50] {
			names = append(names, namesInLaw(p)...)
		}
		for _, name := range names {
			assert.Contains(t, made.prohibitedOf(ingredients.Letters(name)), name)
		}
		assert.Empty(t, made.prohibitedOf("nosuchletters"))
	})
}
