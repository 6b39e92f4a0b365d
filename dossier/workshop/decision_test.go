package workshop

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/ingredients/exact"
	"gallipot/ingredients/source"
)

func TestReadDecisions(t *testing.T) {
	read := func(text string, variants []string) ([]Decision, []string) {
		r := source.NewReader(source.NewSource("products/tide.yaml", []byte(text)))
		m, ok := r.Root("product")
		require.True(t, ok)
		list := readDecisions(m.At("decisions"), variants)
		m.Done()
		var codes []string
		for _, f := range r.Findings() {
			codes = append(codes, f.Code)
		}
		return list, codes
	}
	t.Run("whole", func(t *testing.T) {
		list, codes := read("decisions:\n  - {code: open-order, subject: A, variant: [moor, dune], market: GB, values: v12, decision: yes and no, by: B, date: 2026-01-02, until: 2027-01-02}\n", []string{"moor", "dune"})
		assert.Empty(t, codes)
		assert.Equal(t, []Decision{{Code: "open-order", Subject: "A", Variants: []string{"moor", "dune"},
			Markets: []string{"GB"}, Values: "v12", Text: "yes and no", By: "B",
			Date: 20260102, Until: 20270102, Pos: exact.Pos{File: "products/tide.yaml", Line: 2, Col: 12, Len: 10}}}, list)
	})
	t.Run("what is missing", func(t *testing.T) {
		_, codes := read("decisions: [{subject: A}]\n", nil)
		assert.Equal(t, []string{"missing-key", "missing-key", "missing-key", "missing-key"}, codes)
	})
	t.Run("a variant that there is not", func(t *testing.T) {
		_, codes := read("decisions: [{code: a, variant: more, decision: d, by: b, date: 2026-01-02}]\n", []string{"moor"})
		assert.Equal(t, []string{"bad-choice"}, codes)
	})
	t.Run("a decision of the workshop is for no variant", func(t *testing.T) {
		_, codes := read("decisions: [{code: a, variant: moor, decision: d, by: b, date: 2026-01-02}]\n", nil)
		assert.Equal(t, []string{"unknown-key"}, codes)
	})
}
