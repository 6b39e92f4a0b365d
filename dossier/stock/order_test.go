package stock

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/ingredients/exact"
)

// Worked by hand: two batches take 4000 and 3200 g, 1000 g are there that keep until
// then: 6200 g short, one pack of 5 kg and two of 1 kg; ten days before 5 December.
func TestOrders(t *testing.T) {
	w := shop(t, map[string]string{
		"lots/O-1.yaml": oil1,
		"lots/O-2.yaml": "lot: O-2\ningredient: oil\nreceived: 2026-01-10\nreceived_g: 900\nbest_before: 2026-12-04\n",
		"batches/T-1.yaml": record("T-1", "2026-12-05",
			"{ingredient: oil, planned_g: 4000, weighed_g: }, {ingredient: water, planned_g: 9000}"),
		"batches/T-2.yaml": record("T-2", "2026-12-20", "{ingredient: oil, planned_g: 3200}"),
		"batches/T-3.yaml": record("T-3", "2026-02-20",
			"{ingredient: oil, planned_g: 800, weighed_g: 800}"), // made already, of no lot
	})
	list := Of(w, day).Orders()
	require.Len(t, list, 1)
	o := list[0]
	assert.Equal(t, "oil", o.Ingredient)
	assert.Equal(t, "Wrack (invented)", o.Supplier)
	assert.Equal(t, []string{"7200", "1000", "6200"}, []string{o.NeedG.Exact(), o.ThereG.Exact(), o.ShortG.Exact()})
	assert.Equal(t, "1 × 5000 g + 2 × 1000 g", o.packsCell().Text)
	assert.Equal(t, exact.Date(20261125), o.OrderBy)
	assert.Equal(t, []string{"T-1", "T-2"}, o.Batches)
}

func TestPacksFor(t *testing.T) {
	sizes := []exact.Num{exact.Int(1000), exact.Int(5000)}
	for short, want := range map[int64]string{1: "1 × 1000 g", 1000: "1 × 1000 g", 1001: "2 × 1000 g",
		4001: "1 × 5000 g", 5000: "1 × 5000 g", 9500: "2 × 5000 g", 12300: "2 × 5000 g + 3 × 1000 g"} {
		o := order{Packs: packsFor(exact.Int(short), sizes)}
		assert.Equal(t, want, o.packsCell().Text, "%d g", short)
	}
	assert.Empty(t, packsFor(exact.Int(5), nil))
}
