package stability

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/formula"
	"gallipot/dossier/words/wordstest"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
)

// TestSoldFalls: units sold so far never fall, in the order of their days and not
// of the file. 60, 80, 90 and 70 of a month each are 60, 140, 230 and 300 so far.
func TestSoldFalls(t *testing.T) {
	p := &workshop.Product{Product: &formula.Product{}}
	line := func(variant string, units int, until int) {
		p.Sold = append(p.Sold, workshop.Sold{Variant: variant, Units: units, Until: exact.Date(until)})
	}
	line("", 300, 20260430)
	line("", 60, 20260131)
	line("", 60, 20260228)
	assert.Empty(t, soldFindings(p), "the same again is none sold")
	for i, n := range []int{60, 80, 90, 70} {
		line("duo", n, 20260131+i*100)
	}
	fs := soldFindings(p)
	require.Len(t, fs, 1)
	assert.Equal(t, "70 units of duo sold by 2026-04-31, but 90 by 2026-03-31: what has been sold so far cannot become less", wordstest.Said(fs[0]).Message)
	assert.Equal(t, "correct the line; if each counts the units since the one before, write 60, 140, 230, 300",
		wordstest.Said(fs[0]).Fix)
}
