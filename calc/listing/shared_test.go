package listing

import (
	"sync"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc/formula"
	"gallipot/calc/law/table"
	"gallipot/dossier/words"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// withFormula builds a product of one phase from pairs of material or ":slot" and
// amount.
func withFormula(t testing.TB, basis formula.Basis, lines ...string) *formula.Product {
	t.Helper()
	p := &formula.Product{ID: "test", Formula: formula.Formula{Basis: basis, Phases: []formula.Phase{{ID: "A"}}}}
	for i := 0; i < len(lines); i += 2 {
		l := formula.Line{Ingredient: lines[i], Pos: exact.Pos{File: "products/test.yaml", Line: i/2 + 10, Col: 5}}
		if lines[i][0] == ':' {
			l.Ingredient, l.Slot = "", lines[i][1:]
		}
		if lines[i+1] == "q.s." {
			l.Rest = true
		} else {
			l.Amount = num(t, lines[i+1])
		}
		p.Formula.Phases[0].Lines = append(p.Formula.Phases[0].Lines, l)
	}
	return p
}

var tolerance = exact.Frac(1, 100)

// termText puts a summand into words.
func termText(t finding.Term) string { return words.Term(t.Key, t.Values, words.Terminal) }

var builtinSession = sync.OnceValue(func() *formula.Session { return formula.NewSession(table.Builtin()) })

// testSession is the session of the tests over the program's own tables, one for
// all of them; other tables get a session of their own.
func testSession(tables *table.Tables) *formula.Session {
	if tables == table.Builtin() {
		return builtinSession()
	}
	return formula.NewSession(tables)
}

func num(t testing.TB, text string) exact.Num {
	t.Helper()
	n, err := exact.ParseNum(text)
	require.NoError(t, err)
	return n
}

func rangeOf(t testing.TB, text string) exact.Range {
	t.Helper()
	a, err := exact.ParseAmount(text)
	require.NoError(t, err)
	return a.Range
}

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
