package assess

import (
	"gallipot/calc/formula"
	"gallipot/dossier/words/wordstest"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestSuppliersOfSeveralProducts: two products that use different materials of
// one supplier ask for its papers once.
func TestSuppliersOfSeveralProducts(t *testing.T) {
	// items are a material with its papers each: "m: sds, coa"
	values := func(items ...string) (list finding.Values) {
		for _, item := range items {
			id, papers, _ := strings.Cut(item, ": ")
			m := finding.Value{Kind: finding.KindName, Text: id, ID: id}
			if papers == "" {
				list = list.Is("", m)
				continue
			}
			list = list.Term("", "papers-of", workshop.With().Is("material", m).Names("documents", strings.Split(papers, ", ")))
		}
		return list
	}
	because := func(what string) finding.Term {
		return finding.Term{Key: "change", Values: workshop.With().Quote("change", what)}
	}
	say := func(product string, line int, sum string, items ...string) *Assessment {
		list := values(items...)
		f := finding.NewFinding(finding.Ask, "missing-document",
			exact.Pos{File: "ingredients/m.yaml", Line: line, Col: 1}, nil).On(ItemSubjects(list)).
			By(finding.Party{Role: finding.RoleSupplier, Name: "S"})
		f.Things, f.Sum = list, []finding.Term{because("same"), because(sum)}
		p := &workshop.Product{Product: &formula.Product{ID: product}}
		return &Assessment{Product: p, Findings: []finding.Finding{f}}
	}
	all := MergeFindings(&workshop.Workshop{}, []*Assessment{say("one", 5, "a", "m: sds", "z: sds"),
		say("two", 2, "b", "c: coa", "m: sds, coa")}, true)
	require.Len(t, all, 1)
	assert.Equal(t, []string{"c: coa", "m: sds, coa", "z: sds"}, wordstest.Said(all[0]).Items)
	assert.Equal(t, "c, m, z", all[0].Subject)
	assert.Equal(t, []finding.Term{because("same"), because("a"), because("b")}, all[0].Sum)
	assert.Equal(t, 2, all[0].Pos.Line)
	assert.Equal(t, []string{"one", "two"}, all[0].Variants)
	assert.Equal(t, "a, b, c, d, e, f, and 2 more", ItemSubjects(values("a: x", "b", "c", "d", "e", "f", "g", "h")))
}
