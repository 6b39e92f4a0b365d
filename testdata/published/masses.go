package published

import (
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"
)

// atomicWeights are the abridged standard atomic weights (conventional values
// where an interval is given) of IUPAC's Commission on Isotopic Abundances and
// Atomic Weights, 2021, in g/mol. Unverified.
var atomicWeights = map[string]float64{
	"H": 1.008, "Li": 6.94, "C": 12.011, "N": 14.007, "O": 15.999, "F": 18.998, "Na": 22.990, "Mg": 24.305,
	"Al": 26.982, "Si": 28.085,
	"P": 30.974, "S": 32.06, "Cl": 35.45, "K": 39.098, "Ca": 40.078, "Ti": 47.867, "Fe": 55.845, "Cu": 63.546,
	"Zn": 65.38, "Sr": 87.62, "Sn": 118.71, "I": 126.90, "Hg": 200.59,
}

// MolarMass adds up a formula such as Ca(C7H5O2)2, in g/mol.
func MolarMass(t testing.TB, formula string) float64 {
	t.Helper()
	stack := []float64{0}
	i := 0
	number := func() float64 {
		j := i
		for j < len(formula) && formula[j] >= '0' && formula[j] <= '9' {
			j++
		}
		n := 1
		if j > i {
			n, _ = strconv.Atoi(formula[i:j])
		}
		i = j
		return float64(n)
	}
	for i < len(formula) {
		switch c := formula[i]; {
		case c == '(':
			stack = append(stack, 0)
			i++
		case c == ')':
			i++
			require.Greater(t, len(stack), 1, "brackets in %s", formula)
			group := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			stack[len(stack)-1] += group * number()
		default:
			j := i + 1
			for j < len(formula) && formula[j] >= 'a' && formula[j] <= 'z' {
				j++
			}
			w := atomicWeights[formula[i:j]]
			require.NotZero(t, w, "no atomic weight of %q in %s", formula[i:j], formula)
			i = j
			stack[len(stack)-1] += w * number()
		}
	}
	require.Len(t, stack, 1, "brackets in %s", formula)
	return stack[0]
}
