package namelist

import (
	"encoding/csv"
	"math/rand"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// officialList is the list of all names of the inventory, as its package packs it.
func officialList(t testing.TB) (l *List, names []string) {
	t.Helper()
	for column, file := range []string{"inci-inventory.csv", "inci-synonyms.csv"} { // names, and other names of them
		f, err := os.Open("../inventory/data/" + file)
		require.NoError(t, err)
		rows, err := csv.NewReader(f).ReadAll()
		require.NoError(t, err)
		require.NoError(t, f.Close())
		for _, r := range rows[1:] {
			names = append(names, r[column])
		}
	}
	return listOf(t, names...), names
}

// sixHundred are names with another letter somewhere.
func sixHundred(names []string) []string {
	r := rand.New(rand.NewSource(600))
	out := make([]string, 600)
	for i := range out {
		n := []byte(names[r.Intn(len(names))])
		n[r.Intn(len(n))] = byte('A' + r.Intn(26))
		out[i] = string(n)
	}
	return out
}

// What a search does is bounded by counts: numbers read of the index, words and names
// compared letter by letter, and searches that look again.
func TestWorkOfNearest(t *testing.T) {
	l, names := officialList(t)
	s := newScratch(l)
	asked := sixHundred(names)
	for _, n := range asked {
		l.nearest(s, n, 3)
	}
	t.Logf("%+v for %d names in %d, with %d words", s.work, len(asked), l.count, l.wordCount)
	require.Less(t, s.work.posts, 1700*len(asked))
	require.Less(t, s.work.compared, 40*len(asked))
	require.Less(t, s.work.hard, len(asked)/15)
	before := s.work
	for _, n := range []string{"Glycerin ", "x", "ab ", "Sodium Xyzzyate, "} {
		require.Empty(t, l.nearest(s, strings.Repeat(n, 900_000/len(n)), 3))
	}
	require.Equal(t, before, s.work, "of what is longer than any name nothing is read")
	for _, n := range []string{"Glycerin ", "x", "ab ", "Sodium Xyzzyate, "} {
		before := s.work
		l.nearest(s, strings.Repeat(n, longest/len(n)), 3)
		t.Logf("%d bytes of %q: %d numbers, %d compared", longest, n, s.work.posts-before.posts, s.work.compared-before.compared)
		require.Less(t, s.work.posts-before.posts, 3000*longest)
		require.Less(t, s.work.compared-before.compared, 3000*longest)
	}
	one := testing.AllocsPerRun(100, func() { l.nearest(s, asked[0], 3) })
	require.LessOrEqual(t, one, 12.0, "the names found, and nothing for those passed over")
}

// BenchmarkNearest600 looks up 600 names that are in no list; floor is a bare pass
// over as many numbers of the index as that reads, each counted where it points to.
func BenchmarkNearest600(b *testing.B) {
	l, names := officialList(b)
	asked := sixHundred(names)
	s := newScratch(l)
	b.Run("search", func(b *testing.B) {
		for range b.N {
			s.work = work{}
			for _, n := range asked {
				l.nearest(s, n, 3)
			}
		}
		b.ReportMetric(float64(s.work.posts)/600, "numbers/name")
		b.ReportMetric(float64(s.work.compared)/600, "compared/name")
	})
	if s.work.posts == 0 {
		for _, n := range asked {
			l.nearest(s, n, 3)
		}
	}
	b.Run("floor", func(b *testing.B) {
		at := make([]counted, 1<<16)
		for range b.N {
			for left, rest := s.work.posts, l.post; left > 0; left-- {
				at[u16(rest, 0)].score++
				if rest = rest[2:]; len(rest) < 2 {
					rest = l.post
				}
			}
		}
	})
}
