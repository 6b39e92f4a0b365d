package stock

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
)

const oil1 = "lot: O-1\ningredient: oil\nsupplier_lot: WL 77\nreceived: 2026-01-10\nreceived_g: 1000\n"

// Worked by hand: 1000 g received, 300 g and 250.5 g weighed, 49.5 g spilt: 400 g left.
func TestBook(t *testing.T) {
	files := func(lot string) map[string]string {
		return map[string]string{
			"lots/O-1.yaml":    lot,
			"batches/T-1.yaml": record("T-1", "2026-02-01", "{ingredient: oil, weighed_g: 300, lot: O-1}"),
			"batches/T-2.yaml": record("T-2", "2026-03-01",
				`{ingredient: oil, lots: [{lot: o-1 , g: 250.5}, {lot: O-9, g: 10}]}`),
		}
	}
	of := func(t *testing.T, lot string, day exact.Date) *Entry {
		b := Of(shop(t, files(lot)), day)
		e := b.Number("O-1")
		require.NotNil(t, e)
		return e
	}
	same := func(t *testing.T, want string, got exact.Num) { t.Helper(); assert.Equal(t, want, got.Exact()) }

	t.Run("received less weighed and thrown away", func(t *testing.T) {
		e := of(t, oil1+"discarded: [{date: 2026-03-05, g: 49.5, reason: spilt}]\n", day)
		same(t, "1000", e.In)
		same(t, "550.5", e.Used)
		same(t, "49.5", e.Thrown)
		same(t, "400", e.Left)
		assert.Len(t, e.Uses, 2)
	})
	t.Run("what is later than the day does not count", func(t *testing.T) {
		e := of(t, oil1+"discarded: [{date: 2026-03-05, g: 49.5}]\n", 20260228)
		same(t, "700", e.Left)
	})
	t.Run("a count takes the place of the books at the end of its day", func(t *testing.T) {
		e := of(t, oil1+"counted: [{date: 2026-02-01, g: 690}]\n", day) // 1000 - 300 = 700 in the books
		same(t, "439.5", e.Left)
		same(t, "10", e.Missing)
		require.Len(t, e.Counts, 1)
		same(t, "700", e.Counts[0].Books)
	})
	t.Run("a count within the steps of the balance is right", func(t *testing.T) {
		e := of(t, oil1+"counted: [{date: 2026-02-01, g: 699.9}]\n", day)
		assert.Empty(t, e.Counts)
		same(t, "449.4", e.Left)
	})
	t.Run("more used than there was", func(t *testing.T) {
		e := of(t, oil1+"discarded: [{date: 2026-02-10, g: 500}]\n", day) // 1000 - 300 - 500 = 200, and 250.5 went in
		same(t, "0", e.Left)
		require.NotNil(t, e.Over)
		assert.Equal(t, "T-2", e.Over.Batch.Code)
		same(t, "50.5", e.OverBy)
	})
	t.Run("the steps of the balance are allowed for", func(t *testing.T) {
		e := of(t, oil1+"discarded: [{date: 2026-02-10, g: 449.7}]\n", day) // 0.2 g over after two weighings of 0.1 g
		assert.Nil(t, e.Over)
		e = of(t, oil1+"discarded: [{date: 2026-02-10, g: 449.8}]\n", day)
		assert.NotNil(t, e.Over)
	})
}

func TestBookUnknown(t *testing.T) {
	w := shop(t, map[string]string{
		"lots/O-1.yaml": oil1,
		"batches/T-1.yaml": record("T-1", "2026-02-01",
			"{ingredient: water, weighed_g: 5}, {ingredient: oil, planned_g: 300, lot: O-1}"),
		"batches/T-2.yaml": record("T-2", "2026-03-01",
			"{ingredient: oil, planned_g: 300, lot: O-1}"), // planned: nothing is weighed
	})
	e := Of(w, day).Number("O-1")
	assert.Equal(t, 1, e.Unknown, "a use without a mass is never taken as none")
	assert.Equal(t, "at most 1000; 1 use without a mass", e.leftCell().Text)

	w = shop(t, map[string]string{"lots/O-1.yaml": oil1 + "counted: [{date: 2026-02-02, g: 640}]\n",
		"batches/T-1.yaml": record("T-1", "2026-02-01", "{ingredient: water, weighed_g: 5}, {ingredient: oil, lot: O-1}")})
	e = Of(w, day).Number("O-1")
	assert.Zero(t, e.Unknown, "a count settles what was not written down")
	assert.Equal(t, "640", e.Left.Exact())
	assert.Empty(t, e.Counts)
}

func TestFind(t *testing.T) {
	w := shop(t, map[string]string{"lots/O-1.yaml": oil1,
		"lots/O-2.yaml": "lot: O-2\ningredient: oil\nsupplier_lot: WL 78\nreceived: 2026-01-11\nreceived_g: 10\n",
		"lots/O-3.yaml": "lot: O-3\ningredient: oil\nsupplier_lot: wl 78\nreceived: 2026-01-12\nreceived_g: 10\n"})
	b := Of(w, day)
	for _, c := range []struct {
		ingredient string
		named      workshop.BatchLot
		want       string
	}{
		{"oil", workshop.BatchLot{Lot: " o-1"}, "O-1"},
		{"oil", workshop.BatchLot{SupplierLot: "wl 77"}, "O-1"},
		{"oil", workshop.BatchLot{Lot: "WL 77"}, "O-1"},
		{"water", workshop.BatchLot{SupplierLot: "WL 77"}, ""}, // of another material
		{"water", workshop.BatchLot{Lot: "O-1"}, "O-1"},        // named all the same: the reviewer asks
		{"oil", workshop.BatchLot{SupplierLot: "WL 78"}, ""},   // two have it
		{"oil", workshop.BatchLot{}, ""},
	} {
		got := ""
		if e := b.Find(c.ingredient, c.named); e != nil {
			got = e.Lot.Code
		}
		assert.Equal(t, c.want, got, "%v", c)
	}
	assert.True(t, b.Several("oil", workshop.BatchLot{SupplierLot: "WL 78"}))
	assert.False(t, b.Several("oil", workshop.BatchLot{SupplierLot: "WL 77"}))
	assert.Equal(t, exact.Date(20260110), b.Since)
	assert.True(t, b.ByLot("oil"))
	assert.False(t, b.ByLot("water"))
	assert.False(t, Of(shop(t, nil), day).ByLot("oil"), "a workshop without lots keeps none")
}

func TestPackaging(t *testing.T) {
	w := shop(t, map[string]string{
		"lots/P-1.yaml": "lot: P-1\nitem: jar 120 ml\nreceived: 2026-01-10\nreceived_units: 100\n",
		"batches/T-1.yaml": record("T-1", "2026-02-01",
			"{ingredient: oil, weighed_g: 300}") + "packaging: [{lot: P-1, units: 48}]\n",
		"batches/T-2.yaml": record("T-2", "2026-03-01",
			"{ingredient: oil, weighed_g: 300}") + "packaging: [{lot: P-1, units: 53}]\n",
	})
	e := Of(w, day).Number("P-1")
	assert.Equal(t, "101", e.Used.Exact())
	require.NotNil(t, e.Over, "one jar more than there was: nothing is allowed for where pieces are counted")
	assert.Equal(t, "1", e.OverBy.Exact())
	assert.Equal(t, usedUp, e.StateOn(day))
}
