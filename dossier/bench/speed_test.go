package bench

import (
	"fmt"
	"net/http"
	"testing"

	"github.com/stretchr/testify/require"
)

// BenchmarkLive is one key stroke in the grid: 5 variants in 2 markets.
func BenchmarkLive(b *testing.B) {
	x := begin(b, true)
	base := x.base("products/heath-wash.yaml")
	x.get("/product/heath-wash/formula")
	i := 0
	for b.Loop() {
		i++
		w := x.post("/product/heath-wash/formula/live", "base", base, "variant", "scrub", "market", "EU", "focus", "2-1", "set:/formula/phases/2/lines/1/amount", fmt.Sprintf("0.%d", 1+i%90))
		require.Equal(b, http.StatusOK, w.Code)
	}
}

// BenchmarkPages is each page once, after a change on disk.
func BenchmarkPages(b *testing.B) {
	for _, path := range []string{"/today", "/product/heath-wash", "/product/heath-wash/formula", "/material/fo-gorse"} {
		b.Run(path, func(b *testing.B) {
			x := begin(b, true)
			w, _ := x.site.Workshop()
			for b.Loop() {
				w.Touch()
				require.Equal(b, http.StatusOK, x.get(path).Code)
			}
		})
	}
}
