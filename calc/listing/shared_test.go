package listing

import (
	"gallipot/ingredients/exact"
	"gallipot/testdata/testrun"
	"testing"
)

func TestMain(m *testing.M) { testrun.Main(m) }

var tolerance = exact.Frac(1, 100)

// everyComposition tries all whole contents between the bounds that add up to
// 100 and returns the least and most of each.
func everyComposition(lo, hi []int) (least, most []int, any bool) {
	n := len(lo)
	least, most = make([]int, n), make([]int, n)
	at := make([]int, n)
	var try func(i, left int)
	try = func(i, left int) {
		if i == n-1 {
			if left < lo[i] || left > hi[i] {
				return
			}
			at[i] = left
			for k := range n {
				if !any || at[k] < least[k] {
					least[k] = at[k]
				}
				if !any || at[k] > most[k] {
					most[k] = at[k]
				}
			}
			any = true
			return
		}
		for v := lo[i]; v <= hi[i] && v <= left; v++ {
			at[i] = v
			try(i+1, left-v)
		}
	}
	try(0, 100)
	return least, most, any
}
