package batch_test

import (
	"bytes"
	"encoding/csv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/table"
	"gallipot/dossier/batch"
	"gallipot/dossier/document/plain"
	"gallipot/dossier/words"
	"gallipot/dossier/words/wordstest"
	"gallipot/dossier/workshop"
	"gallipot/dossier/workshop/workshoptest"
	"gallipot/ingredients/exact"
)

// A base of one's own, batch BASE-1, is used in batch CREAM-1 as a lot: a recall
// of the oil follows it there.
func traceShop(t testing.TB) *workshop.Workshop {
	t.Helper()
	w, fs := workshop.LoadFS("shop", workshoptest.Folder(map[string]string{
		"ingredients/water.yaml": sheetFile("water", ""), "ingredients/oil.yaml": sheetFile("oil", ""),
		"products/x.yaml":      product,
		"batches/BASE-1.yaml":  "code: BASE-1\nproduct: x\nrevision: 2\ndate: 2026-03-01\nlines:\n  - {ingredient: oil, weighed_g: 500, lot: RM-7, supplier_lot: =SUM(A1)}\n  - {ingredient: water, weighed_g: 500}\n",
		"batches/CREAM-1.yaml": "code: CREAM-1\nproduct: x\ndate: 2026-04-01\nlines:\n  - {ingredient: water, weighed_g: 90, lot: BASE-1}\n  - {ingredient: oil, lots: [{lot: RM-8, g: 4}, {lot: RM-7, g: 6}]}\nyield: {filled_units: 2}\nsent: [{to: \"@market, stall 4\", units: 2, date: 2026-05-01}]\n",
		"batches/OTHER-1.yaml": "code: OTHER-1\nproduct: x\ndate: 2026-05-01\nlines: [{ingredient: oil, weighed_g: 5, lot: RM-9}]\n",
	}), table.Builtin())
	for _, f := range fs {
		require.NotEqual(t, "batches", strings.Split(f.Pos.File, "/")[0], wordstest.Said(f).Message)
	}
	return w
}

func TestTraceLot(t *testing.T) {
	w := traceShop(t)
	trace, found := batch.TraceLot(w, "rm-7")
	require.True(t, found)
	var got []string
	for _, r := range trace.Rows {
		got = append(got, r.Batch+" "+r.Ingredient+" "+r.G.Exact()+" via "+r.Via)
	}
	assert.Equal(t, []string{"BASE-1 oil 500 via ", "CREAM-1 oil 6 via ", "CREAM-1 water 90 via BASE-1"}, got)
	_, found = batch.TraceLot(w, "=sum(a1)")
	assert.True(t, found, "the supplier's number does too")
	_, found = batch.TraceLot(w, "RM-70")
	assert.False(t, found)
	_, found = batch.TraceLot(w, "")
	assert.False(t, found, "a line without a lot is no answer to a blank one")
	assert.Equal(t, []string{"=SUM(A1)", "BASE-1", "RM-7", "RM-8", "RM-9"}, batch.Lots(w))
}

func TestTraceBatch(t *testing.T) {
	w := traceShop(t)
	trace, found := batch.TraceBatch(w, "base-1")
	require.True(t, found)
	require.Len(t, trace.Rows, 2)
	assert.Equal(t, "RM-7", trace.Rows[0].Lot)
	assert.Empty(t, trace.Rows[1].Lot, "a line without a lot is not hidden")
	_, found = batch.TraceBatch(w, "RM-7")
	assert.False(t, found)
	for _, tr := range []string{"BASE-1", "CREAM-1"} {
		trace, _ := batch.TraceBatch(w, tr)
		require.Empty(t, trace.Document(w, 20261125).Check())
	}
	lot, _ := batch.TraceLot(w, "RM-7")
	require.Empty(t, lot.Document(w, 20261125).Check())
	var text bytes.Buffer
	lot, _ = batch.TraceLot(w, "RM-9")
	require.NoError(t, plain.Write(&text, lot.Document(w, 20261125)))
	assert.Contains(t, text.String(), "1 batch; packs not recorded for 1 batch.", "not 0 packs")
}

// TestTraceCSVIsHarmless: what a supplier or customer wrote cannot become a
// formula of the maker's spreadsheet.
func TestTraceCSVIsHarmless(t *testing.T) {
	w := traceShop(t)
	trace, _ := batch.TraceLot(w, "RM-7")
	var b bytes.Buffer
	require.NoError(t, trace.WriteCSV(&b))
	table, marked := strings.CutPrefix(b.String(), words.ByteOrderMark)
	require.True(t, marked, "a spreadsheet has to know that it is UTF-8")
	rows, err := csv.NewReader(strings.NewReader(table)).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 4)
	assert.Equal(t, strings.Fields(`lot supplier_lot ingredient best_before g portion batch date product variant label
		batch_g units state sent via rejected_units retained_units sent_units left_units counted_above`), rows[0])
	assert.Equal(t, "'=SUM(A1)", rows[1][1])
	assert.Equal(t, "'@market, stall 4 2 on 2026-05-01", rows[2][14])
}

// TestSelfReference: a batch that names itself as a lot ends the search.
func TestSelfReference(t *testing.T) {
	w, _ := workshop.LoadFS("shop", workshoptest.Folder(map[string]string{
		"ingredients/water.yaml": sheetFile("water", ""), "products/x.yaml": product,
		"batches/A.yaml": "code: A\nproduct: x\ndate: 2026-03-01\nlines: [{ingredient: water, weighed_g: 1, lot: B}]\n",
		"batches/B.yaml": "code: B\nproduct: x\ndate: 2026-03-01\nlines: [{ingredient: water, weighed_g: 1, lot: A}]\n",
	}), table.Builtin())
	trace, found := batch.TraceLot(w, "A")
	require.True(t, found)
	assert.Len(t, trace.Rows, 2)
}

// TestPacksAreCountedOnce: a batch of 24 packs in three portions takes one lot three
// times. 10 and 12 went out and none was rejected: 2 are left. By hand; a column of
// the CSV adds up to 24 and not to 72.
func TestPacksAreCountedOnce(t *testing.T) {
	w, _ := workshop.LoadFS("shop", workshoptest.Folder(map[string]string{
		"ingredients/oil.yaml": sheetFile("oil", ""), "products/x.yaml": product,
		"batches/A.yaml": "code: A\nproduct: x\ndate: 2026-03-01\nlines:\n  - {ingredient: oil, weighed_g: 19.7, lot: L, portion: one}\n  - {ingredient: oil, weighed_g: 15.5, lot: L, portion: two}\n  - {ingredient: oil, weighed_g: 8.7, lot: L, portion: three}\n" +
			"portions: [{name: one, base_g: 1}, {name: two, base_g: 1}, {name: three, base_g: 1}]\nyield: {filled_units: 24, rejected_units: 0}\nretained: {units: 1}\nsent: [{to: Market, units: 10, date: 2026-03-02}, {to: Shop, units: 12, date: 2026-03-03}]\n",
		"batches/B.yaml": "code: B\nproduct: x\ndate: 2026-04-01\nlines: [{ingredient: oil, weighed_g: 5, lot: L}]\nyield: {filled_units: 3}\nsent: [{to: Shop}]\n",
	}), table.Builtin())
	trace, found := batch.TraceLot(w, "L")
	require.True(t, found)
	require.Len(t, trace.Rows, 4)
	assert.Equal(t, []int{24, 22, 1, 2},
		[]int{*trace.Rows[1].Units, *trace.Rows[1].SentUnits, *trace.Rows[1].Retained, *trace.Rows[1].Left},
		"in JSON each row has them")
	assert.Nil(t, trace.Rows[3].Left, "nobody wrote how many went to the shop")
	var b, text bytes.Buffer
	require.NoError(t, trace.WriteCSV(&b))
	table, marked := strings.CutPrefix(b.String(), words.ByteOrderMark)
	require.True(t, marked, "a spreadsheet has to know that it is UTF-8")
	rows, err := csv.NewReader(strings.NewReader(table)).ReadAll()
	require.NoError(t, err)
	var got []string
	for _, r := range rows[1:] {
		got = append(got, r[6]+" "+strings.Join([]string{r[12], r[14], r[16], r[17], r[18], r[19], r[20]}, "|"))
	}
	assert.Equal(t, []string{"A 24|Market 10 on 2026-03-02; Shop 12 on 2026-03-03|0|1|22|2|no", "A ||||||yes",
		"A ||||||yes", "B 3|Shop|||||no"}, got)
	require.NoError(t, plain.Write(&text, trace.Document(w, 20261125)))
	words := strings.Join(strings.Fields(text.String()), " ")
	assert.Contains(t, words, "2 batches, 27 packs filled, 1 kept as a sample, 22 recorded as sent, 2 left (filled, less rejected and sent); number sent not recorded for 1 batch.")
}

// What the file of a lot says of it stands in the trace, and packaging has a way too.
func TestTraceOfReceived(t *testing.T) {
	w := &workshop.Workshop{
		Lots: []*workshop.Lot{
			{Code: "RM-7", Ingredient: "oil", SupplierLot: "L26", BestBefore: 20271130},
			{Code: "PK-1", Item: "jar 120 ml", SupplierLot: "J9"},
			{Code: "RM-8", Ingredient: "oil"},
		},
		BatchRecords: []*workshop.Batch{{Code: "B-1", Date: 20260301,
			Lines:     []workshop.BatchLine{{Ingredient: "oil", Lots: []workshop.BatchLot{{Lot: "RM-7"}}}},
			Packaging: []workshop.BatchPackaging{{Lot: "PK-1"}}}},
	}
	for asked, want := range map[string]string{"l26": "oil", "RM-7": "oil", "J9": "jar 120 ml", "pk-1": "jar 120 ml"} {
		got, found := batch.TraceLot(w, asked)
		require.True(t, found, asked)
		require.Len(t, got.Rows, 1, asked)
		assert.Equal(t, want, got.Rows[0].Ingredient, asked)
	}
	unused, found := batch.TraceLot(w, "RM-8")
	assert.True(t, found, "received, and in no batch")
	assert.Empty(t, unused.Rows)
	_, found = batch.TraceLot(w, "RM-9")
	assert.False(t, found)
	_, found = batch.TraceLot(w, " ")
	assert.False(t, found)
	made, _ := batch.TraceBatch(w, "B-1")
	require.Len(t, made.Rows, 2)
	assert.Equal(t, "L26", made.Rows[0].SupplierLot)
	assert.Equal(t, exact.Date(20271130), made.Rows[0].BestBefore)
	assert.Equal(t, "PK-1", made.Rows[1].Lot)
	assert.Equal(t, []string{"J9", "L26", "PK-1", "RM-7", "RM-8"}, batch.Lots(w))
}
