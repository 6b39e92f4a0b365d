package names

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/ingredients/namelist"
)

// A name of the law leads, under the plainest of its spellings; the spellings beside it are
// further names of the substance.
func TestLawLeads(t *testing.T) {
	r := reader(t, regulation)
	for printed, want := range map[string]string{
		"Methyl 2-Octynoate":                            "Methyl 2-Octynoate",
		"Methyl 2-Octynoate (Methyl heptine carbonate)": "Methyl 2-Octynoate",
		"methyl 2-octynoate":                            "Methyl 2-Octynoate",
		"CAMPHOR":                                       "Camphor", // rather than (+)-Camphor, of the same letters
		"Cobalt sulfate":                                "Cobalt sulphate",
		"cobalt sulphate":                               "Cobalt sulphate",
		"hydroquinone":                                  "Hydroquinone",
		"Hydroquinone (nano)":                           "Hydroquinone",
	} {
		n := r.Resolve(printed, "", "").First()
		require.Equal(t, want, n.Name, printed)
		require.Equal(t, inLaw, n.Source, printed)
	}
	for printed, want := range map[string]string{ // signs that folding drops count where the law has them
		"(+)-Camphor": "(+)-Camphor", " (+)-Camphor* ": "(+)-Camphor", "(+) Camphor": "Camphor"} {
		require.Equal(t, want, r.Resolve(printed, "", "").First().Name, printed)
	}
	require.Equal(t, "Methyl 2-Octynoate (Methyl heptine carbonate)",
		r.named("Methyl 2-Octynoate (Methyl heptine carbonate)",
			inLaw).Also[0], "the name that another is taken for stays")
	require.Contains(t, r.Resolve("Methyl 2-Octynoate (Methyl heptine carbonate)", "", "").First().Also,
		"Methyl 2-Octynoate (Methyl heptine carbonate)")
	apart := regulation
	apart.cas = map[string][]string{"Methyl 2-Octynoate": {"111-12-6"},
		"Methyl 2-Octynoate (Methyl heptine carbonate)": {"50-00-0"}}
	require.Equal(t, "Methyl 2-Octynoate (Methyl heptine carbonate)",
		reader(t, apart).Resolve("Methyl 2-Octynoate (Methyl heptine carbonate)", "", "").First().Name,
		"other numbers")
	apart.cas = nil
	require.Equal(t, "Methyl 2-Octynoate",
		reader(t, apart).Resolve("Methyl 2-Octynoate (Methyl heptine carbonate)", "", "").First().Name,
		"no numbers")
	apart.cas = map[string][]string{"Methyl 2-Octynoate": {"111-12-6"}}
	require.Equal(t, "Methyl 2-Octynoate",
		reader(t, apart).Resolve("Methyl 2-Octynoate (Methyl heptine carbonate)", "", "").First().Name, "numbers of one")
	require.Equal(t, "Camphor", r.Folded()["camphor"])
	require.Empty(t, resolver(t).Folded())
	short := book{spelled: [][2]string{{"Tin B", "Tin B"}, {"TinB", "TinB"}, {"T-inB", "T-inB"}, {"T inB",
		"T inB"}}}
	require.Equal(t, "TinB", reader(t, short).Folded()["tinb"], "the shortest")
	for _, same := range []book{{spelled: [][2]string{{"T-inB", "T-inB"}, {"T inB", "T inB"}}},
		{spelled: [][2]string{{"T inB", "T inB"}, {"T-inB", "T-inB"}}}} {
		require.Equal(t, "T inB", reader(t, same).Folded()["tinb"],
			"of equal ones the first in order, whichever comes first")
	}
}

// What the list of prohibited substances alone has is known as it stands; with brackets it is
// read by them first.
func TestProhibited(t *testing.T) {
	r := reader(t, regulation)
	n := r.Resolve("BENZENE in what there is of it", "", "").First()
	require.Equal(t, "Benzene, in what there is of it", n.Name)
	require.Equal(t, inLaw, n.Source)
	require.Equal(t, "Benzene, in what there is of it",
		r.Resolve("organic Benzene, in what there is of it", "", "").First().Name, "and without its qualifiers")
	reading := r.Resolve("Glycerin (zz)", "", "")
	require.Equal(t, "Glycerin (zz)", reading.First().Name, "the bracket would be asked about")
	require.Empty(t, reading.Asks)
	b := regulation
	b.prohibited = map[string]string{"Xyl musk": "Musk xyl, its salts"}
	require.Equal(t, []string{"Musk xyl, its salts", "xyl-musk"}, reader(t, b).Resolve("xyl-musk", "",
		"").First().Names())
	b.prohibited = map[string]string{"Aqua (Water)": "Aqua (Water)",
		"Glycerin (Hydroquinone)": "Glycerin (Hydroquinone)"}
	for printed, want := range map[string]string{"Aqua (Water)": "Aqua", // the bracket leaves nothing to ask
		"Glycerin (Hydroquinone)": "Glycerin (Hydroquinone)"} {
		reading := reader(t, b).Resolve(printed, "", "")
		require.Equal(t, want, reading.First().Name)
		require.Empty(t, reading.Asks)
		require.Empty(t, reading.Within)
	}
	require.False(t, resolver(t).Resolve("Benzene, in what there is of it", "", "").First().Known())
}

// What the lists add to a name: the official name, and the names that it has in other lists.
// The names of the law are made up, but for costus (Annex II, entry 1133) and lead (entry 289).
func TestListsTogether(t *testing.T) {
	b := book{spelled: [][2]string{{"Propanetriol", "Propanetriol"}, {"Glycerol", "Propanetriol"},
		{"Costus root oil", "Costus root oil"}, {"Xyzol (yy)", "Xyzol (yy)"}, {"XYZAN", "XYZAN"}, {"Xyzol (yy) oil",
			"Xyzol (yy) oil"},
		{"Glycerin", "Propanetriol"}, {"Residual oils (petroleum), solvent-dewaxed",
			"Residual oils (petroleum), solvent-dewaxed"},
		{"Dicalcium Phosphate", "Dicalcium Phosphate"}, {"Dicalcium Phosphate Dihydrate", "Dicalcium Phosphate"},
		{"Saussurea Lappa (costus) root oil", "Saussurea Lappa (costus) root oil"},
		{"Zinc Oxide (nano)", "Zinc Oxide"}, {"Yzol (nano)", "Yzol"},
		{"Aqua, Urea, Glycerin, Aqua, Urea, Glycerin, Aqua", "Sevenfold"}}}
	r := reader(t, b)
	first := func(printed string) Named { return r.Resolve(printed, "", "").First() }

	n := first("Glycerol")
	require.Equal(t, "Propanetriol", n.Name)
	require.Subset(t, n.Also, []string{"Glycerol", "GLYCERIN"}, "the official name of what was printed")
	require.Equal(t, []string{"Costus root oil", "Saussurea Lappa (costus) root oil"}, first("Costus root oil").Names())
	b.cas = map[string][]string{"Costus root oil": {"8023-88-9"}}
	require.Empty(t, reader(t, b).Resolve("Costus root oil", "", "").First().Also, "a name with a number is its own")
	require.Equal(t, "Saussurea Lappa (costus) root oil", first("Saussurea Lappa (costus) root oil (organic)").Name)
	require.Equal(t, "Xyzol (yy) oil", first("Xyzol (yy) oil (organic)").Name)
	n = first("1,2,3-Propanetriol")
	require.Equal(t, "Propanetriol", n.Name)
	require.Contains(t, n.Also, "GLYCERIN")
	named := reader(t, book{spelled: [][2]string{{"Glycerol", "Urea"}}}).named("Glycerol", inLaw)
	require.Equal(t, []string{"Urea", "Glycerol", "GLYCERIN"}, named.Names(), "a law that takes one for the other")
	require.Equal(t, "UREA", named.Official)
	named = reader(t, book{spelled: [][2]string{{"Xyzan (yy)", "Zzol"}, {"Zzol", "Zzol"}}}).named("Xyzan (yy)", inLaw)
	require.Equal(t, []string{"Zzol", "Xyzan (yy)"}, named.Names())
	require.Nil(t, first("Residual oils (petroleum), solvent-dewaxed").Plant, "of no plant")
	// of two names of the inventory, which are one in this law
	one := r.Resolve("Calcium hydrogenorthophosphate", "", "")
	require.Equal(t, "Dicalcium Phosphate", one.First().Name)
	require.Empty(t, one.Asks)
	require.Equal(t, AskWhich, resolver(t).Resolve("Calcium hydrogenorthophosphate", "", "").Asks[0].Code)
	require.Equal(t, "Xyzol (yy)", first("Xyzol (yy)").Name, "the law has it with its bracket alone")
	require.Equal(t, "XYZAN", first("xyzan").Name, "as the law prints it")
	for _, printed := range []string{"Zinc Oxide (nano)", "Yzol (nano)", "yzol [nano]"} {
		require.True(t, first(printed).Nano, printed)
		require.Equal(t, inLaw, first(printed).Source, printed)
	}
	require.Equal(t, []string{"Sevenfold"}, namesOf(r.Resolve("Aqua, Urea, Glycerin, Aqua, Urea, Glycerin, Aqua",
		"", "").Names),
		"a name as a whole is never parted")

	require.Equal(t, "Saussurea Lappa (costus) root oil", first("Costus absolute").Name)
	require.Equal(t, "Costus absolute", first("Costus absolute").Also[0])
	b.spelled = append(b.spelled, [2]string{"Axxl", "Axxl"}, [2]string{"Bxxl", "Bxxl"}, [2]string{"-", "-"})
	b.cas = map[string][]string{"Axxl": {"99999-99-9"}, "Bxxl": {"99999-99-9"}}
	n = reader(t, b).Resolve("Axxl (Bxxl 99 %)", "", "").First()
	require.Equal(t, []string{"Axxl", "Bxxl", "Bxxl 99 %"}, n.Names(), "of one number")
	require.False(t, reader(t, b).Resolve("=", "", "").First().Known(), "signs are no name")

	bare := resolver(t) // without law, what only the law has is a class
	n = bare.Resolve("Red lead oil", "", "").First()
	require.False(t, n.Known())
	n = bare.Resolve("red  lead", "", "").First()
	require.Equal(t, []string{"red lead", "Lead and its compounds"}, n.Names())
	require.Equal(t, customary, n.Source)
	n = bare.Resolve("Costuswurzelöl", "", "").First()
	require.Equal(t, []string{"Costuswurzelöl", "Costus root oil"}, n.Names())
	n = bare.Resolve("TiO2", "", "").First()
	require.Equal(t, []string{"Titanium Dioxide", "CI 77891", "TiO2"}, n.Names())
	require.Equal(t, "TITANIUM DIOXIDE", n.Official)
	n = bare.Resolve("Vitamin A", "", "").First()
	require.Equal(t, "Retinol", n.Name)
	n = bare.Resolve("Beeswax", "", "").First()
	require.Equal(t, customary, n.Source)
	require.Equal(t, "Cera Alba", n.Name)
	require.Equal(t, "CERA ALBA", n.Official)
	n = bare.named("BEESWAX", otherName)
	require.Equal(t, "Cera Alba", n.Name)
	require.Equal(t, "CERA ALBA", n.Official)
	require.Contains(t, n.Also, "BEESWAX")
	require.Contains(t, bare.Resolve("Colloidal Gold", "", "").First().Also, "Colloidal Gold (nano)")
	require.True(t, bare.Resolve("Colloidal Gold", "", "").First().Nano)
	require.NotNil(t, bare.Resolve("Xyzolia zz seed oil", "", "").First().Plant)
	require.Equal(t, "Moskene", bare.named("MOSKENE", customary).Name, "in no list: as a label prints it")
	require.Equal(t, "Moskene x", bare.named("Moskene x", customary).Name)

	// a class that is a material of a plant
	require.NotNil(t, bare.member("Costus absolute", "Saussurea Lappa (costus) root oil").Plant)
}

// What was worked out before, from all spellings, is read where it stands.
func TestFolded(t *testing.T) {
	r := reader(t, folded{regulation})
	require.Equal(t, "Hydroquinone", r.Resolve("hydro-quinone", "", "").First().Name)
	require.False(t, r.Resolve("Xyzol", "", "").First().Known())
	r.spelled = nil // is not asked
	require.True(t, r.Resolve("HYDROQUINONE", "", "").First().Known())
}

type folded struct{ book }

func (folded) Folded() namelist.Sorted { return "hydroquinone\tHydroquinone\n" }

// Names near to one that is in no list: those of the inventory, of the trade and of the law,
// the nearest first, under the name that each would be counted under.
func TestNearestNames(t *testing.T) {
	r := reader(t, regulation)
	first := func(text string) nearName {
		list := r.Nearest(text, 3)
		require.NotEmpty(t, list, text)
		for i, n := range list[1:] {
			require.NotContains(t, list[:i+1], n, "each once")
			require.False(t, slices.ContainsFunc(list[:i+1], func(o nearName) bool { return o.Name == n.Name }), n.Name)
			require.LessOrEqual(t, n.Near, list[i].Near)
			require.GreaterOrEqual(t, n.Near, list[0].Near-0.15)
		}
		return list[0]
	}
	require.Equal(t, "Glycerin", first("Glycerinn").Name)
	require.Equal(t, "Glycerin", first("(Glycerinn)").Name)
	require.Equal(t, "Glycerin", first("organic Glycerinn 99 %").Name)
	require.Equal(t, "Glycerin", first("Glycerinn (zz)").Name)
	require.Equal(t, "Diethylene glycol xyzzyate", first("Diethylen glycol xyzzyate").Name)
	require.Equal(t, "Hydroquinone", first("Hydroquinon").Name)
	require.Len(t, r.Nearest("Sodium Laurth Sulfate", 2), 2)
	require.Len(t, r.Nearest("Sodium Laurth Sulfate", 1), 1)
	near := first("Glycerole")
	require.Equal(t, "Glycerin", near.Name)
	require.Equal(t, "glycerol", strings.ToLower(near.Via))
	for _, n := range r.Nearest("impurity", 5) {
		require.NotEqual(t, "(impurity)", n.Via)
	}
	require.Empty(t, r.extra().Find("Hydroquinone"), "of the inventory")
	require.Empty(t, reader(t, law{"parabens": true}).extra().Find("parabens"), "of the trade")
	require.NotEmpty(t, r.extra().Find("Diethylene glycol xyzzyate"))
	require.Empty(t, resolver(t).extra().Find("Diethylene glycol xyzzyate"))
	twice := reader(t, book{spelled: [][2]string{{"Xyzzyate-One", "X"}, {"Xyzzyate one", "X"}}})
	require.Equal(t, "Xyzzyate-One", twice.Nearest("Xyzzyate on", 1)[0].Via, "as it is spelled first")
	require.Nil(t, listOf(make([]string, 1<<16+1)))
	r.extra = func() *namelist.List { return nil } // more names than a list takes
	require.Equal(t, "Glycerin", first("Glycerinn").Name)
	require.Empty(t, r.Nearest("xqzvw", 3))
	require.Empty(t, r.Nearest("", 3))
}
