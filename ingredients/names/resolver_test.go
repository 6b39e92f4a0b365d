package names

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
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
	short := book{spelled: [][2]string{{"Tin B", "Tin B"}, {"TinB", "TinB"}, {"T-inB", "T-inB"}, {"T inB",
		"T inB"}}}
	require.Equal(t, "TinB", reader(t, short).Folded()["tinb"], "the shortest")
	same := book{spelled: [][2]string{{"T-inB", "T-inB"}, {"T inB", "T inB"}}}
	require.Equal(t, "T inB", reader(t, same).Folded()["tinb"],
		"of equal ones the first in order, whichever comes first")
}

// What the list of prohibited substances alone has is known as it stands; with brackets it is
// read by them first.
func TestProhibited(t *testing.T) {
	r := reader(t, regulation)
	n := r.Resolve("BENZENE in what there is of it", "", "").First()
	require.Equal(t, "Benzene, in what there is of it", n.Name)
	require.Equal(t, inLaw, n.Source)
	reading := r.Resolve("Glycerin (zz)", "", "")
	require.Equal(t, "Glycerin (zz)", reading.First().Name, "the bracket would be asked about")
	require.Empty(t, reading.Asks)
	require.False(t, resolver(t).Resolve("Benzene, in what there is of it", "", "").First().Known())
}

// Names near to one that is in no list: those of the inventory, of the trade and of the law,
// the nearest first, under the name that each would be counted under.
func TestNearestNames(t *testing.T) {
	r := reader(t, regulation)
	first := func(text string) nearName {
		list := r.Nearest(text, 3)
		require.NotEmpty(t, list, text)
		for i, n := range list[1:] {
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
	require.Empty(t, r.Nearest("xqzvw", 3))
	require.Empty(t, r.Nearest("", 3))
}
