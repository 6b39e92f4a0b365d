package formula

import (
	"gallipot/calc/law/rows"
	"gallipot/calc/law/trade"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
)

// Input is everything one assessment depends on. Nothing else may change a
// figure.
type Input struct {
	Product   *Product
	Variant   *Variant
	Type      *trade.ProductType
	Sheets    map[string]*ingredients.Sheet
	Materials map[string]*Material // Prepare of each sheet; see PrepareAll
	Market    rows.Market
	Date      exact.Date
	Judged    []Judged // figures of the assessor in place of others; no fingerprint has them
	Shared    *Shared  // with the other variants of the product; nil: with none
	*Session           // tables, dictionary and what was found in them
}

// PrepareAll makes every sheet ready for computing. The result may be shared by
// any number of assessments, also in parallel.
func PrepareAll(sheets map[string]*ingredients.Sheet, dict *ingredients.Dictionary) map[string]*Material {
	materials := make(map[string]*Material, len(sheets))
	for id, s := range sheets {
		materials[id] = Prepare(s, dict)
	}
	return materials
}
