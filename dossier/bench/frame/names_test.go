package frame

import (
	"math/rand/v2"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc/formula"
	"gallipot/dossier/workshop"
	"gallipot/ingredients"
)

// TestShort compares names in place of ids with what a pattern of all ids makes of the same
// texts.
func TestShort(t *testing.T) {
	names := map[string]string{"keeper-pe": "Keeper", "keeper-pe-2": "Keeper 2", "fo-1": "Heather, fo-1",
		"heath-wash": "Heath Wash", "wash-1": "Wash"}
	w := &workshop.Workshop{Sheets: map[string]*ingredients.Sheet{}}
	var ids []string
	for id, name := range names {
		ids = append(ids, regexp.QuoteMeta(id))
		if id == "heath-wash" {
			w.Products = append(w.Products, &workshop.Product{Product: &formula.Product{ID: id, Name: name}})
			continue
		}
		w.Sheets[id] = &ingredients.Sheet{ID: id, Name: name}
	}
	slices.SortFunc(ids, func(a, b string) int { return len(b) - len(a) })
	pattern := regexp.MustCompile(`(^|[\s(,:“"])(` + strings.Join(ids, "|") + `)($|[\s),.;:”"'’\]])`)
	by := func(s string) string {
		for range 2 {
			s = pattern.ReplaceAllStringFunc(s, func(hit string) string {
				m := pattern.FindStringSubmatch(hit)
				return m[1] + names[m[2]] + m[3]
			})
		}
		return s
	}
	n, rnd := NamesOf(w), rand.New(rand.NewPCG(1, 2))
	pieces := append([]string{" ", ", ", "(", ")", "“", "”", "'", "’", "]", ":", ";", ".", "\n", "-", "é",
		"x", "\xff", "\u00a0", "the "}, ids...)
	some := 0
	for range 20_000 {
		var b strings.Builder
		for range 1 + rnd.IntN(7) {
			b.WriteString(pieces[rnd.IntN(len(pieces))])
		}
		want := by(b.String())
		require.Equal(t, want, n.Short(b.String()), "%q", b.String())
		if want != b.String() {
			some++
		}
	}
	require.Greater(t, some, 2000)
}
