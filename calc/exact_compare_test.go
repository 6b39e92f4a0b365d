package calc

import (
	"math/big"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// The plain method for the smallest difference against every corner of the
// programme: all contents but one at a bound, the one at what they leave.
func TestLowestAtEveryCorner(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 19))
	found := 0
	for range 500 {
		n := 1 + rng.IntN(5)
		parts, weight := make([]exactPart, n), make([]int64, n)
		for i := range n {
			lo := q(int64(rng.IntN(60)), 1)
			parts[i].pct = span{lo, lo, plus(lo, q(int64(rng.IntN(60)), 1))}
			weight[i] = int64(rng.IntN(3) - 1)
		}
		var best rat
		for free := range parts {
			for bits := range 1 << n {
				left, sum := q(100, 1), new(big.Rat)
				for i, p := range parts {
					at := p.pct.lo
					if bits>>i&1 == 1 {
						at = p.pct.hi
					}
					if i != free {
						left, sum = minus(left, at), plus(sum, times(at, q(weight[i], 1)))
					}
				}
				sum = plus(sum, times(left, q(weight[free], 1)))
				if left.Cmp(parts[free].pct.lo) >= 0 && left.Cmp(parts[free].pct.hi) <= 0 && (best == nil || sum.Cmp(best) < 0) {
					best = sum
				}
			}
		}
		if best != nil { // some contents add up to 100
			found++
			require.Zero(t, best.Cmp(lowest(parts, weight)), "%v %v", parts, weight)
		}
	}
	require.Greater(t, found, 100)
}
