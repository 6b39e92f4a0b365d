package dossier

import (
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law/table"
	"gallipot/dossier/workshop"
	"gallipot/testdata"
)

// TestAllocations holds what a result takes, a variant in a market, to a bound by counts of
// allocations, which no load of the machine changes. The first run, which makes what is made
// once, is not counted; what a product takes once is.
func TestAllocations(t *testing.T) {
	for name, c := range map[string]struct {
		change func(*testdata.Size)
		most   float64
	}{
		"plain":            {func(*testdata.Size) {}, 400},
		"labels of 60x30":  {func(s *testdata.Size) { s.SmallLabels = true }, 730},
		"100 constituents": {func(s *testdata.Size) { s.Constituents = 100 }, 1110},
		"100 lines":        {func(s *testdata.Size) { s.Lines = 100 }, 1250},
	} {
		t.Run(name, func(t *testing.T) {
			size := testdata.Size{Sheets: 40, Products: 4, Variants: 10}
			c.change(&size)
			w, _ := workshop.LoadFS("w", testdata.Large(size), table.Builtin())
			opt := benchOptions().Within(w)
			each := testing.AllocsPerRun(1,
				func() { CheckAll(w, w.Products, nil, opt) }) / float64(2*size.Products*size.Variants)
			t.Logf(name+": %.0f allocations for each result", each)
			require.Less(t, each, c.most)
		})
	}
}
