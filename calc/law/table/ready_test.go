//go:build !tablemutate

package table

import (
	"fmt"
	"io/fs"
	"os"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/annex"
	"gallipot/calc/law/data"
	"gallipot/calc/law/rows"
	"gallipot/ingredients"
	"gallipot/testdata"
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
	t.Run("rules by name and number", func(t *testing.T) { sameRules(t, plain, made) })
	require.Equal(t, plain.Meanings(), made.Meanings())
	require.Equal(t, toldOf(plain.Version()), toldOf(made.Version()))
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
		for i, name := range asked {
			if i%testdata.Cases(7, 1) > 0 && name != "" {
				continue
			}
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
		other, err := Read(longer{Files()})
		require.NoError(t, err)
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
		for _, p := range made.Prohibitions()[:50] {
			names = append(names, namesInLaw(p)...)
		}
		for _, name := range names {
			assert.Contains(t, made.prohibitedOf(ingredients.Letters(name)), name)
		}
		assert.Empty(t, made.prohibitedOf("nosuchletters"))
	})
}

// longer are the tables of the program, one of them a letter longer.
type longer struct{ fs.FS }

func (l longer) Text(name string) string {
	text, _ := data.Text(l.FS, name)
	if name == "facts.csv" {
		text += "\n"
	}
	return text
}

// sameRules compares what every name and number leads to in tables of which Annex II was
// read whole, and in those of which its rows are read when they are met.
func sameRules(t *testing.T, plain, made *Tables) {
	keys := func(list []*annex.Limit) (out []string) {
		for _, l := range list {
			out = append(out, fmt.Sprintf("%s %s %v %v %v", l.File, l.Key, l.SharedNumber, l.Salts, len(l.States)))
		}
		return out
	}
	met, a, b := 0, plain.ByLimit(), made.ByLimit()
	same := func(key string) {
		for what, two := range map[string][2][]*annex.Limit{
			"named": {a.Named(key), b.Named(key)}, "linked": {a.Linked(key), b.Linked(key)},
			"cas": {a.CAS(key), b.CAS(key)}, "ec": {a.EC(key), b.EC(key)},
		} {
			met += len(two[0])
			require.Equal(t, keys(two[0]), keys(two[1]), "%s %s", what, key)
		}
	}
	for _, p := range plain.Prohibitions() {
		for _, n := range slices.Concat(p.Names, p.ChemicalNames, p.Linked) {
			same(ingredients.NameKey(n))
			same(n)
		}
		for _, n := range slices.Concat(p.CAS, p.EC, p.MisprintedEC) {
			same(n)
		}
	}
	for _, l := range plain.Limits {
		for _, n := range l.Names {
			same(ingredients.NameKey(n))
		}
		for _, n := range slices.Concat(l.CAS, l.EC) {
			same(n)
		}
	}
	same("")
	same("nothing of the kind")
	require.Greater(t, met, 15_000)

	require.Equal(t, keys(plain.EveryLimit()), keys(made.EveryLimit()))
	for i, l := range made.EveryLimit() {
		at, known := b.Place(l)
		was, _ := a.Place(plain.EveryLimit()[i])
		require.True(t, known)
		require.Equal(t, was, at, l.Key)
	}
	for _, l := range made.entries.everyRule() {
		require.Empty(t, slices.Concat(l.Plants, l.Elements), "only limits.csv has these, see calc/limits")
		require.Empty(t, l.Basis.Factors)
	}
	_, known := b.Place(&annex.Limit{Row: rows.Row{File: prohibitedTable, Line: 2}})
	require.False(t, known)
}
