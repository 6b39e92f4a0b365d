package table

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/ingredients"
)

// TestAllergensDoNotContradict: a declaration under the label name with the
// number of any member is no contradiction.
func TestAllergensDoNotContradict(t *testing.T) {
	tables := Builtin()
	for _, a := range tables.Allergens {
		for _, m := range a.Members {
			if m.CAS == "" {
				continue
			}
			for _, name := range []string{m.Name, a.LabelName} {
				ok, others := tables.CASFits(name, m.CAS)
				require.True(t, ok, "%s: %s %s stands for %v", a.Key, name, m.CAS, others)
			}
			require.True(t, tables.AllergenKnown("", m.CAS))
		}
		require.True(t, tables.AllergenKnown(a.LabelName, ""))
		require.NotNil(t, tables.Dictionary().Lookup(a.LabelName))
	}
	require.False(t, tables.AllergenKnown("Aqua", "7732-18-5"))
}

func TestCASFits(t *testing.T) {
	for _, c := range []struct {
		inci, cas string
		ok        bool
		others    []string
	}{
		{"Aqua", "7732-18-5", true, []string{"Aqua"}},
		{"Water", "7732-18-5", true, []string{"Aqua"}},
		{"Glycerine", "56-81-5", true, []string{"Glycerin"}},
		{"Glycerin", "57-55-6", false, []string{"Propylene Glycol"}},
		{"Citric Acid", "65-85-0", false, []string{"Benzoic Acid"}},
		{"Methylparaben", "94-13-3", false, []string{"Propylparaben"}},
		{"Decyl Glucoside", "68515-73-1", true, []string{"Caprylyl/Capryl Glucoside", "Decyl Glucoside"}},
		{"Exemplum Novum", "7732-18-5", true, []string{"Aqua"}}, // a name nobody knows contradicts nothing
		{"Glycerin", "50-00-1", false, nil},
		{"Limonene", "5989-54-8", true, nil}, // the label name covers the isomer
		{"Citral", "141-27-5", true, nil},
		{"Titanium Dioxide", "13463-67-7", true, nil},
		{"CI 77891", "13463-67-7", true, nil},
		{"Zinc Oxide", "13463-67-7", false, nil},
	} {
		ok, others := Builtin().CASFits(c.inci, c.cas)
		require.Equal(t, c.ok, ok, "%s %s (stands for %v)", c.inci, c.cas, others)
		if c.others != nil {
			require.Equal(t, c.others, others)
		}
	}
}

// TestSynonyms wants each synonym to lead to its canonical name, each way a
// name is used.
func TestSynonyms(t *testing.T) {
	d := Builtin().Dictionary()
	for _, s := range Builtin().synonyms {
		require.Equal(t, s.INCI, d.Canonical(s.Synonym), "%s of %s", s.Synonym, s.INCI)
		require.NotEqual(t, ingredients.NameKey(s.INCI), ingredients.NameKey(s.Synonym), "not needed: %s", s.Synonym)
	}
	// names that look alike and are not the same
	for _, pair := range [][2]string{
		{"Titanium Dioxide", "CI 77891"}, {"Zinc Oxide", "CI 77947"}, {"Mica", "CI 77019"}, {"Sodium Chloride", "Maris Sal"},
		{"Alcohol", "Alcohol Denat."}, {"Pinene", "alpha-Pinene"}, {"Linalool", "Lavandula Oil/Extract"},
		{"Propylparaben", "Methylparaben"},
		{"Tocopherol", "Tocopheryl Acetate"}, {"Riboflavin", "CI 77891"}, {"Limonene", "l-Limonene"},
		{"Sorbic Acid", "Potassium Sorbate"},
	} {
		a, b := d.Lookup(pair[0]), d.Lookup(pair[1])
		if a != nil && b != nil {
			require.NotSame(t, a, b, "%v", pair)
		}
	}
}

// TestNoNumberFromUnpairedRows keeps the numbers of rows with several names from
// being spread over all of them.
func TestNoNumberFromUnpairedRows(t *testing.T) {
	d := Builtin().Dictionary()
	for name, cas := range map[string]string{
		"Sodium Benzoate": "65-85-0", "Propylparaben": "94-26-8", "l-Limonene": "7705-14-8",
		"Ammonium Thioglycolate": "68-11-1",
		"Basic Violet 3":         "467-63-0", "Zinc Stearate": "7047-84-9",
	} {
		s := d.Lookup(name)
		require.NotNil(t, s, name)
		require.NotContains(t, s.CAS, cas, name)
	}
	require.Equal(t, []string{"557-04-0"}, d.Lookup("Magnesium Stearate").CAS)
}

func TestColourIndex(t *testing.T) {
	tables := Builtin()
	for name, want := range map[string]string{
		"Titanium Dioxide": "CI 77891", "CI 77891": "CI 77891", "Zinc Oxide": "CI 77947", "Tartrazine": "CI 19140",
		"Carmine":        "CI 75470",
		"Red Iron Oxide": "CI 77491", "Magnesium Stearate": "Magnesium Stearate", "Kaolin": "CI 77004",
	} {
		got, ok := tables.ColourIndex(name)
		require.True(t, ok, name)
		require.Equal(t, want, got, name)
	}
	for _, name := range []string{"Iron Oxides", "E 172", "Aqua", "E 160a"} { // several entries, or none
		_, ok := tables.ColourIndex(name)
		require.False(t, ok, name)
	}
}

func TestDictionaryDeterministic(t *testing.T) {
	a, b := Builtin().buildNames(), Builtin().buildNames()
	require.Equal(t, a.Dict.All(), b.Dict.All())
	for _, n := range a.Dict.All() {
		require.Equal(t, a.Dict.Lookup(n), b.Dict.Lookup(n))
	}
	require.True(t, slices.IsSorted(Builtin().AllergenNames()))
}
