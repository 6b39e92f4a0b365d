package namelist

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestKey(t *testing.T) {
	for _, c := range []struct{ a, b string }{
		{"PEG-40 Hydrogenated Castor Oil", "peg 40  hydrogenated castor-oil"},
		{"Alpha-Isomethyl Ionone", "α-isomethyl ionone"},
		{"Eau d'été", "EAU D’ETE"},
		{"L-glutamic acid, 5-.alpha.-d-glucopyranosyl ester", "L-Glutamic acid, 5-α-D-glucopyranosyl ester"},
		{"Titanium Dioxide.", "titanium dioxide"},
	} {
		require.Equal(t, Key(c.a), Key(c.b))
	}
	for _, c := range []struct{ a, b string }{
		{"1,2-Hexanediol", "12-Hexanediol"},
		{"C12-15 Alkyl Benzoate", "C1215 Alkyl Benzoate"},
		{"Caprylic/Capric Triglyceride", "Caprylic Capric Triglyceride"},
		{"Steareth-2", "Steareth-20"},
	} {
		require.NotEqual(t, Key(c.a), Key(c.b))
	}
}

func FuzzKey(f *testing.F) {
	for _, s := range []string{"1,2-Hexanediol", "α-Pinene", "", "///", "\xff\xfe", "İ", "PEG–40"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, name string) {
		key := Key(name)
		require.Equal(t, key, Key(key+"."), "a key is its own key")
	})
}
