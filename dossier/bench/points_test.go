package bench

import (
	"net/http"
	"os"
	"regexp"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/testdata"
)

// TestPoints goes through the parts of a long list of points: each stands in one of them, and
// all are reached from the first.
func TestPoints(t *testing.T) {
	x := begin(t, false)
	x.dir = t.TempDir()
	require.NoError(t, os.CopyFS(x.dir, testdata.Large(testdata.Size{Sheets: 100, Products: 40, Variants: 1})))
	require.NoError(t, x.bench.open(x.site, x.dir))
	page := func(path string) string {
		w := x.get(path)
		require.Equal(t, http.StatusOK, w.Code)
		return w.Body.String()
	}
	said := regexp.MustCompile(`<div class="point">`)
	first := page("/points")
	number := regexp.MustCompile(`All (\d+) points`).FindStringSubmatch(first)
	require.NotNil(t, number)
	all, err := strconv.Atoi(number[1])
	require.NoError(t, err)
	require.Greater(t, all, 400, "the list has several parts")
	shown, texts := 0, map[string]bool{}
	parts := regexp.MustCompile(`href="(/points\?from=\d+)"`).FindAllStringSubmatch(first, -1)
	seen := map[string]bool{}
	for _, p := range parts {
		if seen[p[1]] { // above the list and below it
			continue
		}
		seen[p[1]] = true
		text := page(p[1])
		require.False(t, texts[text])
		texts[text] = true
		n := len(said.FindAllString(text, -1))
		require.LessOrEqual(t, n, 200)
		shown += n
	}
	require.Equal(t, all, shown)
	require.Equal(t, first, page("/points?from=1"))
	require.Equal(t, first, page("/points?from=x"))
	require.Equal(t, first, page("/points?from=99999"))
	require.Equal(t, page("/points?from=201"), page("/points?from=399"), "a part by any of its points")
}
