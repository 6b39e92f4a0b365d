package trade_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/rows/rowstest"
	"gallipot/calc/law/trade"
)

func TestTraceGuides(t *testing.T) {
	row := rowstest.Cells{"key": "a", "substance": "Lead", "names": "Lead;Pb", "name_part": "plumb", "cas": "7439-92-1",
		"fact": "lead", "group": "lead", "kind": "guidance", "basis": "product", "seen": "seen", "source": "book"}
	guides, err := trade.ReadTraceGuides("t.csv", rowstest.Table(trade.TraceGuideColumns, row,
		row.With("name_part", "").With("cas", "").With("basis", "material").With("product_codes", "toothpaste"),
		row.With("product_types", "lip-balm")))
	require.NoError(t, err)
	require.Len(t, guides, 3)
	wide, narrow := guides[0], guides[1]
	assert.True(t, narrow.OnMaterial)
	assert.False(t, wide.OnMaterial)
	for _, c := range []struct {
		name, cas    string
		wide, narrow bool
	}{
		{"PB", "", true, true}, {"lead", "", true, true}, {"leads", "", false, false}, {"Plumbous oxide", "", true, false},
		{"x", "7439-92-1", true, false}, {"x", "", false, false}, {"x", "7440-02-0", false, false},
	} {
		assert.Equal(t, c.wide, wide.Covers(c.name, c.cas), "%s %s", c.name, c.cas)
		assert.Equal(t, c.narrow, narrow.Covers(c.name, c.cas), "%s %s", c.name, c.cas)
	}
	paste, balm, cream := &trade.ProductType{Codes: []string{"oral", "toothpaste"}}, &trade.ProductType{Codes: []string{"lip"}}, &trade.ProductType{}
	paste.Key, balm.Key = "toothpaste-x", "lip-balm"
	for i, want := range [][3]int{{1, 1, 1}, {2, 0, 0}, {0, 2, 0}} {
		assert.Equal(t, want, [3]int{guides[i].Specific(paste), guides[i].Specific(balm), guides[i].Specific(cream)},
			"for all products, for a code, for a type")
	}
	rowstest.Refuses(t, trade.ReadTraceGuides, trade.TraceGuideColumns, row, [][3]string{
		{"substance", "", "substance is empty"},
		{"fact", "", "fact is empty"},
		{"group", "", "group is empty"},
		{"kind", "law", `kind: "law" is none of guidance, elsewhere, observed`},
		{"basis", "", `basis: "" is none of product, material`},
		{"cas", "7439-92-2", "cas: CAS number 7439-92-2 has check digit 2, the rest of the number asks for 1"},
	})
	rowstest.Refuses(t, trade.ReadTTCExclusions, trade.TTCExclusionColumns, rowstest.Cells{"key": "a", "group": "steroids", "seen": "seen",
		"source": "book"}, [][3]string{{"group", "", "group is empty"}, {"key", "", "the row has no key"}})
}
