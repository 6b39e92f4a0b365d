package ready

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/formula"
	"gallipot/dossier/assess"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/finding"
)

// TestSuppliersOfSeveralProducts: two products that use different materials of
// one supplier ask for its papers once.
func TestSuppliersOfSeveralProducts(t *testing.T) {
	say := func(product string, line int, sum string, items ...string) *assess.Assessment {
		f := finding.Findingf(finding.Ask, "missing-document", finding.Pos{File: "ingredients/m.yaml", Line: line, Col: 1}, "papers of S are not in the workshop").On(assess.ItemSubjects(items))
		f.Items, f.Sum = items, []finding.Term{{Text: "same"}, {Text: sum}}
		p := &workshop.Product{Product: &formula.Product{ID: product}}
		return &assess.Assessment{Product: p, Findings: []finding.Finding{f}}
	}
	all := assess.MergeProducts([]*assess.Assessment{say("one", 5, "a", "m: sds", "z: sds"), say("two", 2, "b", "c: coa", "m: sds, coa")})
	require.Len(t, all, 1)
	assert.Equal(t, []string{"c: coa", "m: sds, coa", "z: sds"}, all[0].Items)
	assert.Equal(t, "c, m, z", all[0].Subject)
	assert.Equal(t, []finding.Term{{Text: "same"}, {Text: "a"}, {Text: "b"}}, all[0].Sum)
	assert.Equal(t, 2, all[0].Pos.Line)
	assert.Equal(t, []string{"one", "two"}, all[0].Variants)
	assert.Equal(t, "a, b, c, d, e, f, and 2 more", assess.ItemSubjects([]string{"a: x", "b", "c", "d", "e", "f", "g", "h"}))
}
