package recalc_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/dossier/document/sheet"
)

// Phenoxyethanol is limited to 1.0 % (Annex V entry 29): 1.3 % of a blend with 91 % of it
// are 1.183 %, which the sheet has to flag at once. 0.9 % are 0.819 %, and kept.
func TestLimitFlags(t *testing.T) {
	data := xlsxOf(t, modelAlone(assessProduct(t, demoFiles(t), "heath-wash")))
	rows, err := openXLSX(t, data).GetRows("Recalc limits")
	require.NoError(t, err)
	at := slices.IndexFunc(rows, func(r []string) bool { return len(r) > 1 && r[1] == "Phenoxyethanol" })
	require.Positive(t, at)
	names := namedCells(t, data)
	kept := &officeBook{name: "kept", data: data}
	over := &officeBook{name: "over", data: typeInto(t, data, map[storedCell]string{names["Amount_keeper_pe"]: "1.3"})}
	recalculate(t, []*officeBook{kept, over})
	cell := func(b *officeBook, col int) string { return b.cell(t, "Recalc limits", sheet.CellName(col, at+1)) }
	assert.Equal(t, []string{"0.819", "○ kept", "same"}, []string{cell(kept, 5), cell(kept, 7), cell(kept, 9)})
	assert.Equal(t, []string{"1.183", "■ exceeded", "differs"}, []string{cell(over, 5), cell(over, 7), cell(over, 9)})
}
