package decide_test

import (
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/table"
	"gallipot/dossier"
	"gallipot/dossier/assess"
	"gallipot/dossier/decide"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/finding"
)

const batch = `code: T-1
product: tide
variant: moor
revision: 1
date: 2026-11-20
division_g: 0.1
lines:
  - {ingredient: water, phase: A, planned_g: 995, weighed_g: 995}
  - {ingredient: fo-moor, phase: A, planned_g: 5, weighed_g: 5}
`

// checked is what check says of the whole workshop, with that of its batches apart.
func checked(t *testing.T, fsys fstest.MapFS) (*workshop.Workshop, []*assess.Assessment, []finding.Finding) {
	t.Helper()
	w, _ := workshop.LoadFS("shop", fsys, table.Builtin())
	require.NotNil(t, w)
	as, batches := dossier.CheckAll(w, w.Products, nil,
		assess.Options{Date: today, DateChosen: true, Law: table.Builtin()})
	return w, as, batches
}

func coded(found []finding.Finding, code string) (list []finding.Finding) {
	for _, f := range found {
		if f.Code == code {
			list = append(list, f)
		}
	}
	return list
}

// What nobody wrote down on the day cannot be filled in later, and is decided.
func TestSettleBatch(t *testing.T) {
	fsys := files("")
	fsys["batches/T-1.yaml"] = &fstest.MapFile{Data: []byte(batch)}
	_, as, batches := checked(t, fsys)
	asks := coded(batches, "batch-incomplete")
	require.Len(t, asks, 1)
	require.Equal(t, finding.Ask, asks[0].Severity)
	a := *as[0]
	a.Findings = append(a.Findings, batches...)
	d, ok := decide.On(&a, &asks[0], "moor")
	require.True(t, ok)
	_, ok = decide.On(&a, &asks[0], "plain")
	require.False(t, ok, "a batch is of one variant")
	require.Empty(t, d.Variants)

	fsys["products/tide.yaml"].Data = []byte(tide + decision("code: batch-incomplete", "subject: batch T-1",
		"values: "+d.Values))
	_, as, batches = checked(t, fsys)
	settled := coded(batches, "batch-incomplete")
	require.Len(t, settled, 1)
	assert.Equal(t, finding.Decided, settled[0].Severity)
	assert.Empty(t, coded(as[0].Findings, "decision-unmatched"), "it is about the batch and not about the product")
	assert.Empty(t, coded(batches, "decision-changed"))

	t.Run("another record opens it again", func(t *testing.T) {
		fsys["batches/T-1.yaml"] = &fstest.MapFile{Data: []byte(batch + "made_by: I. Nobody\n")}
		_, _, batches := checked(t, fsys)
		require.Equal(t, finding.Ask, coded(batches, "batch-incomplete")[0].Severity)
		require.Len(t, coded(batches, "decision-changed"), 1)
	})
	t.Run("released with what is decided is no stop", func(t *testing.T) {
		released := batch + "release: {decision: released, by: I. Nobody, date: 2026-11-21}\n"
		fsys["batches/T-1.yaml"] = &fstest.MapFile{Data: []byte(released)}
		fsys["products/tide.yaml"].Data = []byte(tide)
		_, as, batches := checked(t, fsys)
		require.Len(t, coded(batches, "batch-released-open"), 1)
		more := "decisions:\n"
		a := *as[0]
		for _, f := range batches {
			if f.Severity == finding.Ask && f.Code != "batch-not-assessed" {
				d, _ := decide.On(&a, &f, "")
				more += "  - {code: " + f.Code + ", subject: batch T-1, values: " + d.Values + ", decision: x, by: I. Nobody, date: 2026-11-22}\n"
			}
		}
		fsys["products/tide.yaml"].Data = []byte(tide + more)
		_, _, batches = checked(t, fsys)
		require.Empty(t, coded(batches, "batch-released-open"))
	})
}

func TestUnused(t *testing.T) {
	fsys := files("")
	a := assessed(t, fsys, today)
	in := func(text string) []finding.Finding {
		fsys["workshop.yaml"] = &fstest.MapFile{Data: []byte(shop + text)}
		w, as, batches := checked(t, fsys)
		return decide.Unused(w, today, as, batches)
	}
	t.Run("one that settles something", func(t *testing.T) {
		require.Empty(t, in(decision("code: no-stability", "values: "+markOf(t, a, "no-stability"))))
	})
	t.Run("one on what no product asks", func(t *testing.T) {
		said := in(decision("code: no-lye", "values: v0"))
		require.Len(t, said, 1)
		require.Equal(t, "decision-unmatched", said[0].Code)
		require.Equal(t, "workshop.yaml", said[0].Pos.File)
	})
	t.Run("a code that nothing has", func(t *testing.T) {
		require.Equal(t, "code", in(decision("code: no-stabilty", "values: v0"))[0].Form)
	})
	t.Run("not before its day", func(t *testing.T) {
		require.Empty(t, in("decisions: [{code: no-lye, values: v0, decision: x, by: I. Nobody, date: 2026-12-24}]\n"))
	})
}
