package names

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// Contents, purities, potencies, ratios, numbers of additives and editions of books of
// grades, as papers print them; and texts that are none.
func TestIsQualifier(t *testing.T) {
	r := resolver(t)
	for _, text := range []string{"99 %", ">99.5%", "≥ 98 %", "70% w/w", "5 % w/v", "5% v/v", "min. 98 %",
		"min 98%", "max 1 %",
		"max. 1 %", "ca. 5 %", "approx. 5 %", "approx 5%", "37 percent", "37 per cent", "37 Prozent",
		"37 vol.%", "37 vol%",
		"37 pct", "5-10 %", "5 – 10%", "0.5 to 1 %", "0,5 %", "5% - 10%", "E422", "E 422", "e-422",
		"E160a", "E160a(ii)",
		"3:1", "1 700 000 IU", "1.0 MIU/g", "1 mio. IU/g", "40 million I.U.", "USP 32", "Ph. Eur. 10.0",
		"USP", "organic",
		"organic, USP", "organic; vegan", "organic and vegan", "organic USP", "Organic:", ""} {
		require.True(t, r.words.isQualifier(text), text)
	}
	for _, text := range []string{"99", "CI 77820 99 %", "E42", "Ex22", "e4x2", "E422x", "3:", "%",
		"5-10-15 %", "xyz 32", "32", "422", "100", "petroleum", "coal",
		"organic, zz", "organic,", "zz", "glycerin 99 %", "5 IX", "Hydroquinone"} {
		require.False(t, r.words.isQualifier(text), text)
	}
}

// Words around a name that say how, each kept as printed: as few are taken away as make a
// name.
func TestQualifiers(t *testing.T) {
	r := resolver(t)
	for _, c := range []struct {
		printed, name string
		taken         []string
	}{
		{"Glycerin (vegetable) 99.5%", "Glycerin", []string{"99.5%", "vegetable"}},
		{"Organic Aluminum Acetate Solution", "Aluminum Acetate Solution", []string{"Organic"}},
		{"Sodium Hydroxide solution 30 %", "Sodium Hydroxide", []string{"30 %", "solution"}},
		{"1. Glycerin", "Glycerin", []string{"1."}}, {"12) Glycerin", "Glycerin", []string{"12)"}},
		{"preserved with Phenoxyethanol", "Phenoxyethanol", []string{"preserved with"}},
		{"Zinc Oxide powder", "Zinc Oxide", []string{"powder"}}, {"Mica powder", "Mica", []string{"powder"}},
		{"Mica 99 % powder", "Mica", []string{"99 %", "powder"}},
		{"Glycerin, 99.5 %", "Glycerin", []string{"99.5 %"}}, {"Glycerin 0.5 - 1 % w/w", "Glycerin",
			[]string{"0.5 - 1 % w/w"}},
		{"(+/-)-Citronellol", "Citronellol", []string{"(+/-)-"}},
		{"Glycerin (vegetable) (Glycamil 99)", "Glycerin", []string{"vegetable"}},
		{"l-BHT", "BHT", []string{"l-"}}, // three letters are the shortest name
		{"D-Panthenol", "Panthenol", nil}, {"L-Glycerin", "Glycerin", []string{"l-"}}, {"dl-Glycerin",
			"Glycerin", []string{"dl-"}},
	} {
		n := r.Resolve(c.printed, "", "").First()
		require.Equal(t, c.name, n.Name, c.printed)
		require.Equal(t, c.taken, n.Qualifiers, c.printed)
	}
	for _, printed := range []string{"Glycerin 99", "100. Glycerin", "Glycerin + 99 %", "99 % + Glycerin", "s-PG",
		"Neroli powder", "Mentha Piperita Leaf powder zz",
		"zz Glycerin", "d-Aq", "powder",
		"Zinc Oxide powders",
		"Glycerin xyz powder"} {
		require.False(t, r.Resolve(printed, "", "").First().Known(), printed)
	}
	require.Equal(t, "", r.words.materialWords("Flower"), "what stands first is the plant")
	for name, want := range map[string]string{"Rosa Damascena Flower Oil": "Flower Oil",
		"Rosa Oil/Extract": "Oil/Extract",
		"Rosa Oil/Zz":      "", "Glycerin": "", "": "", "Rosa Oil Zz": "", "Leaf Oil": "Oil"} {
		require.Equal(t, want, r.words.materialWords(name), name)
	}
}
