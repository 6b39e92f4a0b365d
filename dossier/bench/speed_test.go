package bench

import (
	"bytes"
	"fmt"
	"net/http"
	"os"
	"path/filepath"
	"runtime"
	"runtime/debug"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"gallipot/testdata"
)

// BenchmarkLive is one key stroke in the grid: 5 variants in 2 markets.
func BenchmarkLive(b *testing.B) {
	x := begin(b, true)
	base := x.base("products/heath-wash.yaml")
	x.get("/product/heath-wash/formula")
	i := 0
	for b.Loop() {
		i++
		w := x.post("/product/heath-wash/formula/live", "base", base, "variant", "scrub", "market", "EU", "focus",
			"2-1", "set:/formula/phases/2/lines/1/amount", fmt.Sprintf("0.%d", 1+i%90))
		require.Equal(b, http.StatusOK, w.Code)
	}
}

// crowd puts sheets into the workshop until it has more than 200.
func (x *trial) crowd() {
	sheet := x.read("ingredients/glycerin.yaml")
	for i := range 200 {
		id := fmt.Sprintf("glycerin-%d", i)
		text := strings.Replace(strings.Replace(sheet, "id: glycerin", "id: "+id, 1), "name: ",
			fmt.Sprintf("name: %d ", i), 1)
		require.NoError(x.t, os.WriteFile(filepath.Join(x.dir, "ingredients", id+".yaml"), []byte(text), 0o644))
	}
}

// TestStroke holds a key stroke in the grid, 5 variants in 2 markets, to counts that no clock and
// no other program on the machine moves: what is allocated for it and what is sent; and neither
// grows with 200 sheets more in the workshop. The budget is 50 ms from the key to the picture.
func TestStroke(t *testing.T) {
	stroke := func(x *trial) (allocs float64, sent int) {
		require.NoError(t, x.bench.open(x.site, x.dir))
		base, i := x.base("products/heath-wash.yaml"), 0
		one := func() {
			i++
			w := x.post("/product/heath-wash/formula/live", "base", base, "variant", "scrub", "market", "EU", "focus",
				"2-1", "set:/formula/phases/2/lines/1/amount", fmt.Sprintf("0.%d", 1+i%90))
			require.Equal(t, http.StatusOK, w.Code)
			sent = max(sent, w.Body.Len())
		}
		one()
		return testing.AllocsPerRun(10, one), sent
	}
	allocs, sent := stroke(begin(t, false))
	crowded := begin(t, false)
	crowded.crowd()
	more, sentMore := stroke(crowded)
	t.Logf("a stroke: %.0f allocations, %d bytes sent; among 200 sheets more %.0f and %d", allocs, sent, more, sentMore)
	require.Less(t, allocs, 53000.0)
	require.Less(t, sent, 20000)
	require.Less(t, more, allocs*1.05, "what a stroke costs grows with the workshop")
	require.InDelta(t, sent, sentMore, 64)
}

// TestPointsOfAProduct holds the page of a product's file, which tells of every point of it, to what it
// allocates among 100 products of 10 variants: what their names are is gathered once for a visit.
func TestPointsOfAProduct(t *testing.T) {
	x := beginLarge(t)
	allocs := testing.AllocsPerRun(3, func() {
		require.Equal(t, http.StatusOK, x.get("/product/"+largeProduct).Code)
	})
	t.Logf("%.0f allocations", allocs)
	require.Less(t, allocs, 30_000.0)
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

// largeProduct and largeSheet are of the generated workshop.
const (
	largeProduct = "wash-0000"
	largeSheet   = "fo-heather-0000"
)

// beginLarge is a workbench on a generated workshop of 200 sheets and 100 products.
func beginLarge(t testing.TB) *trial {
	x := begin(t, false)
	x.dir = t.TempDir()
	require.NoError(t, os.CopyFS(x.dir, testdata.Large(testdata.Size{Sheets: 200, Products: 100, Variants: 10})))
	require.NoError(t, x.bench.open(x.site, x.dir))
	return x
}

// edited writes a product of the workshop again, with a figure changed.
func (x *trial) edited(i int) {
	name := filepath.Join(x.dir, "products", largeProduct+".yaml")
	data, err := os.ReadFile(name)
	require.NoError(x.t, err)
	data, _, _ = bytes.Cut(data, []byte("# edit "))
	require.NoError(x.t, os.WriteFile(name, fmt.Appendf(data, "# edit %d\n", i), 0o644))
}

// BenchmarkLarge is each page of a workshop of 200 sheets and 100 products: as it stands,
// and after one product was changed on disk. The floor is the smallest page.
func BenchmarkLarge(b *testing.B) {
	x := beginLarge(b)
	x.get("/today")
	for _, path := range []string{"/torn", "/today", "/points", "/products", "/materials",
		"/product/" + largeProduct, "/product/" + largeProduct + "/formula", "/material/" + largeSheet} {
		b.Run("as-it-stands"+path, func(b *testing.B) {
			x.get(path)
			for b.Loop() {
				require.Equal(b, http.StatusOK, x.get(path).Code)
			}
		})
		b.Run("product-changed"+path, func(b *testing.B) {
			i := 0
			for b.Loop() {
				i++
				b.StopTimer()
				x.edited(i)
				b.StartTimer()
				require.Equal(b, http.StatusOK, x.get(path).Code)
			}
		})
	}
}

// BenchmarkReaders is pages one after the other, and the same pages by two readers at once.
func BenchmarkReaders(b *testing.B) {
	x := beginLarge(b)
	paths := []string{"/today", "/products", "/product/" + largeProduct + "/formula", "/material/" + largeSheet}
	read := func() {
		for _, p := range paths {
			require.Equal(b, http.StatusOK, x.get(p).Code)
		}
	}
	read()
	const rounds = 10
	one, two := time.Duration(1<<62), time.Duration(1<<62)
	for b.Loop() {
		start := time.Now()
		for range 2 * rounds {
			read()
		}
		one = min(one, time.Since(start))
		start = time.Now()
		var wait sync.WaitGroup
		for range 2 {
			wait.Go(func() {
				for range rounds {
					read()
				}
			})
		}
		wait.Wait()
		two = min(two, time.Since(start))
	}
	b.ReportMetric(float64(one.Microseconds())/1000/2/rounds/float64(len(paths)), "ms/page-alone")
	b.ReportMetric(float64(two.Microseconds())/1000/2/rounds/float64(len(paths)), "ms/page-two-readers")
	b.ReportMetric(0, "ns/op")
}

// TestFlat asks for a thousand pages, fewer outside a night, of a workshop with limits of its
// own, which change now and then as its product does, and holds the memory that is left to
// what it was.
func TestFlat(t *testing.T) {
	pages := testdata.Lengths(80, 300, 1000)
	x := begin(t, true)
	limits := func(i int) {
		require.NoError(t, os.MkdirAll(filepath.Join(x.dir, "limits"), 0o755))
		require.NoError(t, os.WriteFile(filepath.Join(x.dir, "limits", "house.csv"),
			fmt.Appendf(nil, "key,annex,entry,market,inci_names,cas,ec,condition,max_pct,basis,"+
				"sum_group,sum_rule,required_label_text,colorant_field,applies_from,applies_until,source,seen,note\n"+
				"house-1,own,house,EU+GB,Glycerin,,,all,%d,,,,,,,,our own rule,seen,\n", 1+i%9), 0o644))
	}
	base := x.base("products/heath-wash.yaml")
	used := func() uint64 {
		var m runtime.MemStats
		debug.FreeOSMemory()
		runtime.ReadMemStats(&m)
		return m.HeapAlloc
	}
	paths := []string{"/today", "/product/heath-wash", "/product/heath-wash/formula", "/material/fo-gorse",
		"/points", "/product/salt-scrub"}
	var early uint64
	for i := range pages {
		if i%5 == 0 {
			limits(i / 5)
		}
		require.Equal(t, http.StatusOK, x.get(paths[i%len(paths)]).Code)
		if i%3 == 0 {
			w := x.post("/product/heath-wash/formula/live", "base", base, "variant", "scrub", "market", "EU", "focus", "2-1",
				"set:/formula/phases/2/lines/1/amount", fmt.Sprintf("0.%d", 1+i%90))
			require.Equal(t, http.StatusOK, w.Code)
		}
		if i == pages/4 {
			early = used()
		}
	}
	late := used()
	t.Logf("%d pages: %d kB after a quarter, %d kB in the end", pages, early>>10, late>>10)
	require.Less(t, late, early+early/10, "the memory that is kept grows")
}
