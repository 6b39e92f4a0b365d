package workshop

import (
	"slices"

	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
	"gallipot/ingredients/source"
)

// addLot enters a lot; numbers must differ by more than letter case.
func (l *loader) addLot(lot *Lot) {
	for _, first := range l.w.Lots {
		if SameLot(first.Code, lot.Code) {
			l.stop(source.CodeDuplicateID, "lot", lot.Pos, lot.Code, With().Name("other", first.Source.Name))
			return
		}
	}
	l.w.Lots = append(l.w.Lots, lot)
}

// crossCheckLots looks up what lots name. A lot outlives sheets and products, so that a
// name which is gone is asked about and stops nothing.
//
// Findings: ask "unknown-ingredient", "unknown-product".
func (l *loader) crossCheckLots(files map[string]bool) {
	known := l.w.SheetIDs()
	var products []string
	for _, p := range l.w.Products {
		products = append(products, p.ID)
	}
	for _, lot := range l.w.Lots {
		say := func(code, form string, pos exact.Pos, subject, near, key string, v finding.Values) {
			l.findings = append(l.findings, finding.NewFinding(finding.Ask, code, pos, v.Name("lot", lot.Code).Name("near", near)).As(form).On(subject).
				By(finding.TheMaker).At(pos.File, key, With().Name("name", near)))
		}
		if lot.Ingredient != "" && !files[lot.Ingredient] {
			say(codeUnknownIngredient, "lot", lot.IngredientPos, lot.Ingredient, source.Nearest(lot.Ingredient, known), "ingredient", nil)
		}
		if lot.Label == nil || lot.Label.Product == "" {
			continue
		}
		switch p := l.w.Product(lot.Label.Product); {
		case p == nil && !l.productFile[lot.Label.Product]:
			say(codeUnknownProduct, "lot", lot.Label.Pos, lot.Label.Product, source.Nearest(lot.Label.Product, products), "label.product", nil)
		case p != nil && !hasVariant(p.Variants, lot.Label.Variant):
			say(codeUnknownProduct, "lot-variant", lot.Label.Pos, lot.Label.Variant, source.Nearest(lot.Label.Variant, VariantIDs(p.Variants)), "label.variant", With().Name("product", lot.Label.Product))
		}
	}
}

// Lot returns the lot of a number, in any letter case, or nil.
func (w *Workshop) Lot(code string) *Lot {
	i := slices.IndexFunc(w.Lots, func(l *Lot) bool { return SameLot(l.Code, code) })
	if i < 0 {
		return nil
	}
	return w.Lots[i]
}
