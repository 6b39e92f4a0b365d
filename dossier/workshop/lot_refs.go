package workshop

import (
	"slices"

	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
	"gallipot/ingredients/source"
)

// addLot enters a lot; numbers must differ by more than letter case.
func (l *loader) addLot(lot *Lot) {
	if first := l.w.Lot(lot.Code); first != nil {
		l.stop(source.CodeDuplicateID, "lot", lot.Pos, lot.Code, With().Name("other", first.Source.Name))
		return
	}
	l.w.Lots = append(l.w.Lots, lot)
}

// crossCheckLots looks up what lots name. A lot outlives sheets and products, so that a
// name which is gone is asked about and stops nothing.
//
// Findings: ask "unknown-ingredient", "unknown-product".
func (l *loader) crossCheckLots(files map[string]bool) {
	x := l.recordRefs("lot", "lot-variant", files)
	for _, lot := range l.w.Lots {
		x.code = lot.Code
		x.ingredient(lot.Ingredient, lot.IngredientPos, "ingredient")
		if lot.Label == nil || lot.Label.Product == "" {
			continue
		}
		x.product(lot.Label.Product, lot.Label.Pos, "label.product", lot.Label.Variant, exact.Pos{},
			"label.variant")
	}
}

// recordRefs looks up what one kind of record names: lots or batches.
type recordRefs struct {
	l                *loader
	kind, variant    string // forms of the finding
	files            map[string]bool
	sheets, products []string
	code             string // of the record
}

func (l *loader) recordRefs(kind, variant string, files map[string]bool) *recordRefs {
	x := &recordRefs{l: l, kind: kind, variant: variant, files: files, sheets: l.w.SheetIDs()}
	for _, p := range l.w.Products {
		x.products = append(x.products, p.ID)
	}
	return x
}

func (x *recordRefs) ask(code, form string, pos exact.Pos, subject, near, key string, v finding.Values) {
	v = v.Name(x.kind, x.code).Name("near", near)
	x.l.findings = append(x.l.findings, finding.NewFinding(finding.Ask, code, pos, v).As(form).On(subject).
		By(finding.TheMaker).At(pos.File, key, With().Name("name", near)))
}

// ingredient asks about a material whose sheet is gone.
func (x *recordRefs) ingredient(id string, pos exact.Pos, key string) {
	if id != "" && !x.files[id] {
		x.ask(codeUnknownIngredient, x.kind, pos, id, source.Nearest(id, x.sheets), key, nil)
	}
}

// product asks about a product or variant that is gone; at is where the variant is
// named, if not with the product.
func (x *recordRefs) product(id string, pos exact.Pos, key, variant string, at exact.Pos, variantKey string) {
	switch p := x.l.w.Product(id); {
	case p == nil && !x.l.productFile[id]:
		x.ask(codeUnknownProduct, x.kind, pos, id, source.Nearest(id, x.products), key, nil)
	case p != nil && !hasVariant(p.Variants, variant):
		near := source.Nearest(variant, VariantIDs(p.Variants))
		if at.IsZero() {
			at = pos
		}
		x.ask(codeUnknownProduct, x.variant, at, variant, near, variantKey, With().Name("product", id))
	}
}

// Lot returns the lot of a number, in any letter case, or nil.
func (w *Workshop) Lot(code string) *Lot {
	if i := slices.IndexFunc(w.Lots, func(l *Lot) bool { return SameLot(l.Code, code) }); i >= 0 {
		return w.Lots[i]
	}
	return nil
}
