package workshop

import (
	"gallipot/ingredients/exact"
	"gallipot/ingredients/source"
)

// Costs is what a pack costs beside its materials, in the maker's currency. What is not
// given is nil or 0.
type Costs struct {
	LossPct      *exact.Num      // % of a batch that stays on pots and tools
	BatchPacks   int             // packs of a usual batch
	WorkPerBatch *exact.Num      // for one usual batch
	Packaging    []PackagingCost // nil: not given
}

// PackagingCost is packaging of one pack.
type PackagingCost struct {
	Item      string
	Units     int        // of it in one pack
	Each      *exact.Num // nil: by its lot
	Supplier  string     // "" where it is that of the newest lot
	PackUnits int        // pieces of the packs in which it is bought; 0: not stated
	LeadDays  int        // from order to delivery; 0: not stated
}

func readCosts(v source.Node) (c Costs) {
	v.In("costs", "{loss_pct: 3, batch_packs: 24, work_per_batch: 60, packaging: [{item: jar 120 ml}]}",
		func(m *source.Mapping) {
			c.LossPct = m.At("loss_pct").Between(exact.Int(0), exact.Int(99))
			c.BatchPacks, _ = m.At("batch_packs").Count(1, 1_000_000)
			c.WorkPerBatch = m.At("work_per_batch").NotNegative()
			if m.At("packaging").IsList() {
				c.Packaging = []PackagingCost{}
			}
			m.At("packaging").EachIn("packaging", "{item: jar 120 ml, units: 1, each: 0.32}",
				func(m *source.Mapping) {
					m.Need("item", "item: as its lots have it; label, for labels")
					x := PackagingCost{Item: m.At("item").Text(), Units: 1, Each: m.At("each").NotNegative(),
						Supplier: m.At("supplier").Text()}
					x.LeadDays, _ = m.At("lead_days").Count(1, 1000)
					x.PackUnits, _ = m.At("pack_units").Count(1, 10_000_000)
					if n, ok := m.At("units").Count(1, 1000); ok {
						x.Units = n
					}
					c.Packaging = append(c.Packaging, x)
				})
		})
	return c
}
