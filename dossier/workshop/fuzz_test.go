package workshop

import (
	"testing"
	"testing/fstest"

	"gallipot/calc/law/table"
	"gallipot/ingredients/source"
)

// FuzzWorkshopFile: whatever stands in workshop.yaml and in the maker's own limits,
// loading ends; a workshop that loads without a finding has a maker.
func FuzzWorkshopFile(f *testing.F) {
	tables := table.Builtin()
	f.Add([]byte("maker: {name: Skerry (invented), address: [Shore Road 1]}\nmarkets: [GB]\n"), []byte("key;annex\n"))
	f.Add([]byte("maker: {name: S, address: [x], country: GB, contact: {email: a@b}}\nmarkets: [EU]\nbalance: {division_g: 0.1}\nbatch_code: \"{product}{count3}\"\n"), []byte("key,annex,entry\nX,own,1\n"))
	f.Add([]byte("maker: {name: S, address: [x]}\nmarkets: [GB]\ndecisions: [{code: open-order, subject: Tide, market: [GB, EU], values: v1, decision: d, by: b, date: 2026-01-01, until: 2027-01-01}]\n"), []byte("key\n"))
	f.Fuzz(func(t *testing.T, workshop, limits []byte) {
		w, fs := LoadFS("shop", fstest.MapFS{"workshop.yaml": {Data: workshop}, "limits/house.csv": {Data: limits}}, tables)
		if w != nil && len(fs) == 0 && w.Maker.Name == "" {
			t.Fatal("a workshop without a maker loads without a finding")
		}
	})
}

// FuzzLot: whatever stands in the file of a lot, reading ends; a lot that reads without a
// finding says what it is of, when it came in and how much.
func FuzzLot(f *testing.F) {
	f.Add([]byte("lot: K-1\ningredient: keeper\nreceived: 2026-01-05\nreceived_g: 500\nbest_before: 2027-12-31\nprice: 3\n"))
	f.Add([]byte("lot: K-1\nitem: jar\nreceived: 2026-01-05\nreceived_units: 5\ncounted: [{date: 2026-02-01, units: 4}]\nholds: [{from: 2026-01-06, reason: x}]\n"))
	f.Add([]byte("lot: K-1\nlabel: {product: tide, market: GB, ingredients: Aqua}\nreceived: 2026-01-05\nreceived_units: 5\n"))
	f.Add([]byte("lot: K-1\ningredient: keeper\nreceived: 2026-01-05\nreceived_g: 500\ncertificate: {file: evidence/a.pdf, dated: 2026-01-01, results: [{what: pH, found: 5}]}\ndiscarded: [{date: 2026-02-01, g: 4}]\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		l, fs := readGoods(source.NewSource("lots/K-1.yaml", data))
		if l == nil || len(fs) > 0 {
			return
		}
		if _, known := AmountOf(l.G, l.Units); !known || l.Received.IsZero() || l.Ingredient == "" && l.Item == "" {
			t.Fatalf("a lot that says too little reads without a finding: %+v", l)
		}
	})
}
