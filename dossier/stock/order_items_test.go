package stock

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/ingredients/exact"
)

const wash = `id: wash
name: Wash
revision: 2
product_type: shower-gel
intended_for: adults
net_content: {g: 100}
formula: {basis: percent, phases: [{id: A, lines: [{ingredient: water, amount: q.s.}]}]}
variants: [{id: moor, name: Moor}]
costs:
  packaging:
    - {item: jar 120 ml, pack_units: 10, lead_days: 10, supplier: A glassworks (invented)}
    - {item: lid, units: 2}
    - {item: label}
`

// Worked by hand: two batches of 30 and 25 packs take 55 jars, 110 lids and 55 labels. 20
// jars are there: 35 short, four packs of 10. Of the lids 8 of 100 are thrown away: 92 are there, 18 short. The
// 200 labels of revision 1 do not count, the 40 of revision 2 do: 15 short. Ten days before
// 5 December.
func TestOrdersOfItems(t *testing.T) {
	planned := func(code, date, units string) string {
		return "code: " + code + "\nproduct: wash\nvariant: moor\nrevision: 2\ndate: " + date + "\nbatch_g: 3000\n" + units +
			"lines:\n  - {ingredient: water, planned_g: 3000, weighed_g: }\npackaging: [{lot: J-1, units: 5}]\n"
	}
	label := func(lot, revision, units string) string {
		return "lot: " + lot + "\nlabel: {product: wash, variant: moor, market: GB, revision: " + revision +
			", ingredients: Aqua}\nreceived: 2026-01-10\nreceived_units: " + units + "\n"
	}
	w := shop(t, map[string]string{
		"products/wash.yaml": wash,
		"lots/J-1.yaml":      "lot: J-1\nitem: Jar 120 ml\nreceived: 2026-01-10\nreceived_units: 20\n",
		"lots/L-1.yaml":      "lot: L-1\nitem: lid\nsupplier: Lidmakers (invented)\nreceived: 2026-01-10\nreceived_units: 100\ndiscarded: [{date: 2026-02-01, units: 8, reason: bent}]\n",
		"lots/E-1.yaml":      label("E-1", "1", "200"),
		"lots/E-2.yaml":      label("E-2", "2", "40"),
		"batches/T-1.yaml":   planned("T-1", "2026-12-05", "planned_units: 30\n"),
		"batches/T-2.yaml":   planned("T-2", "2026-12-20", "planned_units: 25\n"),
		"batches/T-3.yaml":   planned("T-3", "2026-12-21", ""), // of which nobody knows the packs
	})
	list, unknown := Of(w, day).OrdersOfItems()
	assert.Equal(t, []string{"T-3"}, unknown)
	require.Len(t, list, 3)
	got, of := map[string][]int{}, map[string]*itemOrder{}
	for _, o := range list {
		of[o.Item] = o
		got[o.Item] = []int{o.Need, o.There, o.Short}
		assert.Equal(t, []string{"T-1", "T-2"}, o.Batches, o.Item)
	}
	assert.Equal(t, map[string][]int{"jar 120 ml": {55, 20, 35}, "lid": {110, 92, 18},
		"label for Moor": {55, 40, 15}}, got)
	jars := of["jar 120 ml"]
	assert.Equal(t, "A glassworks (invented)", jars.Supplier)
	assert.Equal(t, "4 × 10", jars.packsCell().Text)
	assert.Equal(t, exact.Date(20261125), jars.OrderBy)
	assert.Equal(t, "Lidmakers (invented)", of["lid"].Supplier)
}
