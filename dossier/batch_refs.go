package dossier

import (
	"strings"

	"gallipot/ingredients"
)

// addBatch enters a batch record; codes must differ by more than letter case,
// since they are file names and are read out over the telephone.
func (l *loader) addBatch(b *Batch) {
	if first := l.w.Batch(b.Code); first != nil {
		l.stop(ingredients.CodeDuplicateID, "batch", b.Pos, b.Code, with().Name("other", first.Source.Name))
		return
	}
	l.w.BatchRecords = append(l.w.BatchRecords, b)
}

// crossCheckBatches looks up what batch records name. A record outlives formulas
// and sheets, so that a name which is gone is asked about and stops nothing.
//
// Findings: ask "unknown-product", "unknown-ingredient".
func (l *loader) crossCheckBatches(files map[string]bool) {
	known := l.w.SheetIDs()
	var products []string
	for _, p := range l.w.Products {
		products = append(products, p.ID)
	}
	for _, b := range l.w.BatchRecords {
		say := func(code, form string, pos ingredients.Pos, subject, near, key string, v ingredients.Values) {
			l.findings = append(l.findings, ingredients.NewFinding(ingredients.Ask, code, pos, v.Name("batch", b.Code).Name("near", near)).As(form).On(subject).
				By(ingredients.TheMaker).At(pos.File, key, with().Name("name", near)))
		}
		switch p := l.w.Product(b.Product); {
		case p == nil && !l.productFile[b.Product]:
			say(CodeUnknownProduct, "batch", b.ProductPos, b.Product, ingredients.Nearest(b.Product, products), "product", nil)
		case p != nil && !hasVariant(p.Variants, b.Variant):
			say(CodeUnknownProduct, "batch-variant", b.variantPos(), b.Variant, ingredients.Nearest(b.Variant, variantIDs(p.Variants)), "variant", with().Name("product", b.Product))
		}
		for _, line := range b.Lines {
			if line.Ingredient != "" && !files[line.Ingredient] {
				say(CodeUnknownIngredient, "batch", line.Pos, line.Ingredient, ingredients.Nearest(line.Ingredient, known), "lines.ingredient", nil)
			}
		}
	}
}

// variantPos is where the variant is named, or else the product.
func (b *Batch) variantPos() ingredients.Pos {
	if b.VariantPos.IsZero() {
		return b.ProductPos
	}
	return b.VariantPos
}

// productFiles notes which product files there are, readable or not.
func productFiles(names []string) map[string]bool {
	out := map[string]bool{}
	for _, n := range names {
		if strings.HasPrefix(n, "products/") {
			out[idOfFile(n)] = true
		}
	}
	return out
}
