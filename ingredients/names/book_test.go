package names

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/ingredients/inventory"
	"gallipot/ingredients/namelist"
)

// book is a law of a few names with their numbers, and a list of what it prohibits.
type book struct {
	spelled    [][2]string         // a spelling, and the name that it stands for
	cas        map[string][]string // of a name
	prohibited map[string]string   // a spelling, and the name as it stands in the list
}

func (b book) Spelled(printed string) (string, bool) {
	i := slices.IndexFunc(b.spelled, func(s [2]string) bool { return s[0] == printed })
	if i < 0 {
		return "", false
	}
	return b.spelled[i][1], true
}

func (b book) Folded() namelist.Sorted { return "" }

func (b book) Spellings(yield func(spelling, name string)) {
	for _, s := range b.spelled {
		yield(s[0], s[1])
	}
}

func (b book) Prohibited(text string) (out []string) {
	for spelling, name := range b.prohibited {
		if namelist.Key(spelling) == namelist.Key(text) {
			out = append(out, name)
		}
	}
	return out
}

func (b book) Numbered(cas, ec string) (out []string) {
	for name, list := range b.cas {
		if cas != "" && slices.Contains(list, cas) {
			out = append(out, name)
		}
	}
	slices.Sort(out)
	return out
}

func (b book) Numbers(name string) []string { return b.cas[name] }

func reader(t testing.TB, law tables) *Resolver {
	t.Helper()
	inv, err := inventory.Open()
	require.NoError(t, err)
	r, err := New(inv, law)
	require.NoError(t, err)
	return r
}

// The law of the tests, with names and numbers as Regulation (EC) No 1223/2009 prints them:
// Annex III entries 89 (2-octynoate), Annex VI entry 27a (titanium dioxide), Annex IV
// (CI 77891), Annex II entries 10 (antimony), 98 (benzene) and 450 (costus root oil).
var regulation = book{
	spelled: [][2]string{
		{"Methyl 2-Octynoate", "Methyl 2-Octynoate"},
		{"Methyl 2-Octynoate (Methyl heptine carbonate)", "Methyl 2-Octynoate (Methyl heptine carbonate)"},
		{"Titanium Dioxide", "Titanium Dioxide"}, {"CI 77891", "CI 77891"},
		{"(+)-Camphor", "(+)-Camphor"}, {"Camphor", "Camphor"},
		{"Cobalt sulphate", "Cobalt sulphate"}, {"Hydroquinone", "Hydroquinone"},
		{"Antimony and its compounds", "Antimony and its compounds"},
		{"Diethylene glycol xyzzyate", "Diethylene glycol xyzzyate"},
		{"Rosa canina flower oil", "Rosa canina flower oil"}, {"Rosa canina leaf oil",
			"Rosa canina leaf oil"},
		{"Salicylic Acid", "Salicylic Acid"}, {"Magnesium sulphate", "Magnesium sulphate"}, {"(impurity)", "(impurity)"},
	},
	cas: map[string][]string{"Methyl 2-Octynoate": {"111-12-6"},
		"Methyl 2-Octynoate (Methyl heptine carbonate)": {"111-12-6"},
		"Titanium Dioxide": {"13463-67-7"}, "CI 77891": {"13463-67-7"}, "Hydroquinone": {"123-31-9"},
		"Rosa canina flower oil": {"84696-47-9"}, "Rosa canina leaf oil": {"84696-47-9"},
		"(impurity)": {"71-43-2"}},
	prohibited: map[string]string{"Benzene, in what there is of it": "Benzene, in what there is of it",
		"Glycerin (zz)": "Glycerin (zz)"},
}
