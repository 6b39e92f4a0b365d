package workshop

import (
	"testing"
	"testing/fstest"

	"gallipot/calc/law/table"
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
