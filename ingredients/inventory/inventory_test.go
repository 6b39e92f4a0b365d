package inventory

import (
	"math/rand"
	"os"
	"testing"

	"github.com/stretchr/testify/require"
)

func opened(t testing.TB) *Inventory {
	t.Helper()
	v, err := Open()
	require.NoError(t, err)
	return v
}

// misspelt spoils a name in one of the ways names are mistyped.
func misspelt(r *rand.Rand, name string) string {
	n := []byte(name)
	i := r.Intn(len(n) - 1)
	switch r.Intn(4) {
	case 0:
		return string(append(n[:i], n[i+1:]...)) // left out
	case 1:
		return string(n[:i+1]) + string(n[i:]) // doubled
	case 2:
		n[i], n[i+1] = n[i+1], n[i] // swapped
	default:
		n[i] = byte('A' + r.Intn(26)) // another letter
	}
	return string(n)
}

func BenchmarkNearest600(b *testing.B) {
	v := opened(b)
	r := rand.New(rand.NewSource(600))
	names := v.Names()
	var asked []string
	for len(asked) < 600 {
		if n := misspelt(r, names[r.Intn(len(names))]); len(v.Find(n)) == 0 {
			asked = append(asked, n)
		}
	}
	b.ResetTimer()
	for range b.N {
		for _, n := range asked {
			v.Nearest(n, 3)
		}
	}
}

func BenchmarkOpen(b *testing.B) {
	for range b.N {
		opened(b)
	}
}

func TestPacked(t *testing.T) {
	var tables [3][]byte
	for i, name := range []string{"inci-inventory.csv", "inci-synonyms.csv", "inci-functions.csv"} {
		data, err := os.ReadFile("data/" + name)
		require.NoError(t, err)
		tables[i] = data
	}
	made, err := pack(tables[0], tables[1], tables[2])
	require.NoError(t, err)
	if os.Getenv("UPDATE") == "1" {
		require.NoError(t, os.WriteFile("data/inventory.bin", made, 0o644))
		return
	}
	require.True(t, packed == string(made),
		"data/inventory.bin is not what the tables make: run UPDATE=1 go test ./ingredients/inventory")
}

// The counts are those of data/README.md, made when the tables were compiled.
func TestCounts(t *testing.T) {
	v := opened(t)
	names := v.Names()
	require.Len(t, names, 35210)
	require.Equal(t, 35210, v.Len())
	var cas, ec, functions, annex int
	marks := map[rune]int{}
	for _, n := range names {
		e, ok := v.Entry(n)
		require.True(t, ok, n)
		require.Equal(t, n, e.Name)
		if e.Numbered() {
			cas++
		}
		if len(e.EC) > 0 {
			ec++
		}
		if len(e.Functions) > 0 {
			functions++
		}
		if len(e.Annex) > 0 {
			annex++
		}
		for _, m := range e.Marks {
			marks[m]++
		}
	}
	require.Equal(t, []int{14885, 10062, 34548, 1467}, []int{cas, ec, functions, annex})
	require.Equal(t, map[rune]int{'n': 5487, 'r': 1165, 'o': 945, 'm': 707, 'x': 1118, 'a': 1053, 'c': 46, 'e': 33}, marks)
	require.Len(t, v.Functions(), 82)
	require.Equal(t, "skin conditioning - emollient", v.FunctionWord("SCE"))
}

func TestFind(t *testing.T) {
	v := opened(t)
	for _, n := range v.Names() {
		found := v.Find(n)
		require.NotEmpty(t, found, n)
		require.Equal(t, Official, found[0].Kind, n)
	}
	for _, c := range []struct {
		asked    string
		kind     Kind
		official []string
	}{
		{"glycerol", inn, []string{"GLYCERIN"}},
		{"Paraffinum liquidum", Official, []string{"PARAFFINUM LIQUIDUM"}},
		{"Sodium C12-13 Alketh Sulfate", Official, []string{"SODIUM C12-13 ALKETH SULFATE"}},
		{"Silicic acid", chemical, nil},
		{"No Such Thing", 0, nil},
	} {
		found := v.Find(c.asked)
		if c.official == nil {
			continue
		}
		require.NotEmpty(t, found, c.asked)
		require.Equal(t, c.kind, found[0].Kind, c.asked)
		require.Equal(t, c.official, found[0].Official, c.asked)
	}
}

func TestNumbers(t *testing.T) {
	v := opened(t)
	require.Contains(t, v.ByCAS("56-81-5"), "GLYCERIN")
	require.Contains(t, v.ByEC("200-289-5"), "GLYCERIN")
	require.Empty(t, v.ByCAS("2116-51-5"), "a misprint of the sources, for menthol 2216-51-5")
	for _, bad := range []string{"", "-", "56-81-6", "abc", "1-2-3", "56815", "56--815", "99999999999-99-9"} {
		require.Empty(t, v.ByCAS(bad), bad)
		require.Empty(t, v.ByEC(bad), bad)
	}
	require.Greater(t, len(v.ByCAS("84696-47-9")), 5, "one number of the whole plant")
}

// The right name is among the first three for at least 95 of 100 misspelt ones,
// drawn from all names of the inventory.
func TestMisspelt(t *testing.T) {
	v := opened(t)
	r := rand.New(rand.NewSource(300))
	names := v.Names()
	const all = 300
	right := 0
	for asked := 0; asked < all; {
		want := names[r.Intn(len(names))]
		n := misspelt(r, want)
		if len(v.Find(n)) > 0 {
			continue // another name, or the same one still
		}
		asked++
		hit := false
		for _, near := range v.Nearest(n, 3) {
			for _, o := range near.Official {
				hit = hit || o == want
			}
		}
		if hit {
			right++
		}
	}
	t.Logf("%d of %d", right, all)
	require.GreaterOrEqual(t, right, all*95/100)
}

func TestOpenRefuses(t *testing.T) {
	for _, n := range []int{0, 3, 7, 100, 1000, len(packed) / 2} {
		_, err := open(packed[:n])
		require.Error(t, err, "cut after %d bytes", n)
	}
}

func TestPackRefuses(t *testing.T) {
	const names, synonyms = "inci,cas,ec,functions,annex_refs,updated,note\nAQUA,,,,,2026-07,\n",
		"inci,synonym,kind,source,seen,note\n"
	for name, c := range map[string]struct{ names, synonyms string }{
		"other columns":     {"inci,cas\nAQUA,\n", synonyms},
		"no such substance": {names, synonyms + "WATER,Eau,chemical,x,seen,\n"},
		"no such kind":      {names, synonyms + "AQUA,Eau,nickname,x,seen,\n"},
		"two lines":         {"inci,cas,ec,functions,annex_refs,updated,note\nAQUA,\"1\n2\",,,,2026-07,\n", synonyms},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := pack([]byte(c.names), []byte(c.synonyms), nil)
			require.Error(t, err)
		})
	}
}
