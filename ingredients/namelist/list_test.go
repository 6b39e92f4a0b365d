package namelist

import (
	"fmt"
	"math/rand"
	"testing"

	"github.com/stretchr/testify/require"
)

func listOf(t testing.TB, names ...string) *List {
	t.Helper()
	data, _, err := Build(names)
	require.NoError(t, err)
	l, err := Open(string(data))
	require.NoError(t, err)
	return l
}

func TestFind(t *testing.T) {
	var names []string
	for i := range 100 {
		names = append(names, fmt.Sprintf("Steareth-%d", i), fmt.Sprintf("PEG-%d Oleate", i))
	}
	names = append(names, "2-Chloro-5-Nitro", "2 CHLORO 5NITRO")
	data, place, err := Build(names)
	require.NoError(t, err)
	l, err := Open(string(data))
	require.NoError(t, err)
	for i, n := range names {
		require.Contains(t, l.Find(n), place[i])
		require.Equal(t, n, l.Name(place[i]))
	}
	require.Len(t, l.Find("2-chloro-5-nitro"), 2, "two names of one key")
	require.Empty(t, l.Find("Steareth-100"))
	require.Empty(t, l.Find(""))
	require.Empty(t, l.Find("***"))
	require.Empty(t, listOf(t).Find("Aqua"))
	require.Empty(t, listOf(t).Nearest("Aqua", 3))
	require.ElementsMatch(t, names, l.All())
}

func TestOpenRefuses(t *testing.T) {
	data, _, err := Build([]string{"Aqua", "Glycerin"})
	require.NoError(t, err)
	for n := range len(data) {
		_, err := Open(string(data[:n]))
		require.Error(t, err, "cut after %d bytes", n)
	}
	_, _, err = Build(make([]string, most+1))
	require.Error(t, err)
}

func TestDistance(t *testing.T) {
	r := rand.New(rand.NewSource(1))
	word := func(n int) []byte {
		w := make([]byte, n)
		for i := range w {
			w[i] = byte('a' + r.Intn(4))
		}
		return w
	}
	var p pattern
	for range 5000 {
		a, b := word(r.Intn(70)), word(r.Intn(70))
		if r.Intn(2) == 0 {
			b = append([]byte{}, a...)
			for range r.Intn(4) {
				if len(b) > 1 {
					i := r.Intn(len(b) - 1)
					b[i], b[i+1] = b[i+1], b[i]
				}
			}
		}
		p.set(a)
		want := plainDistance(a, b)
		if got := distance(&p, b, 100); len(a) <= 64 {
			require.Equal(t, want, got, "%s %s", a, b)
		} else {
			require.True(t, got == want || got == 100, "%s %s: %d, not %d", a, b, got, want)
		}
	}
}

// plainDistance fills the whole table of distances.
func plainDistance(a, b []byte) int {
	d := make([][]int, len(a)+1)
	for i := range d {
		d[i] = make([]int, len(b)+1)
		for j := range d[i] {
			switch {
			case i == 0 || j == 0:
				d[i][j] = i + j
				continue
			case a[i-1] == b[j-1]:
				d[i][j] = d[i-1][j-1]
			default:
				d[i][j] = d[i-1][j-1] + 1
			}
			d[i][j] = min(d[i][j], d[i-1][j]+1, d[i][j-1]+1)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				d[i][j] = min(d[i][j], d[i-2][j-2]+1)
			}
		}
	}
	return d[len(a)][len(b)]
}

func TestNearest(t *testing.T) {
	l := listOf(t, "Urea", "Mica", "Glycerin", "Citric Acid", "Sodium Citrate", "Stearic Acid", "Aqua",
		"Zinc Oxide", "Tin Oxide", "Cetyl Alcohol")
	for _, c := range []struct{ asked, want string }{
		{"Ruea", "Urea"}, {"Mcia", "Mica"}, {"Glycerinn", "Glycerin"}, {"Cirtic Acid", "Citric Acid"},
		{"Acid citric", "Citric Acid"},
		{"Tn Oxide", "Tin Oxide"}, {"Cetylalcohl", "Cetyl Alcohol"},
	} {
		hits := l.Nearest(c.asked, 1)
		require.NotEmpty(t, hits, c.asked)
		require.Equal(t, c.want, hits[0].Name, c.asked)
	}
	require.Empty(t, l.Nearest("Xyzzy", 3))
	require.Empty(t, l.Nearest("", 3))
}
