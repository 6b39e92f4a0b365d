package workshop

import (
	"strings"

	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
	"gallipot/ingredients/source"
)

// addBatch enters a batch record; codes must differ by more than letter case,
// since they are file names and are read out over the telephone.
func (l *loader) addBatch(b *Batch) {
	if first := l.w.Batch(b.Code); first != nil {
		l.stop(source.CodeDuplicateID, "batch", b.Pos, b.Code, With().Name("other", first.Source.Name))
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
		say := func(code, form string, pos exact.Pos, subject, near, key string, v finding.Values) {
			l.findings = append(l.findings, finding.NewFinding(finding.Ask, code, pos, v.Name("batch", b.Code).Name("near", near)).As(form).On(subject).
				By(finding.TheMaker).At(pos.File, key, With().Name("name", near)))
		}
		switch p := l.w.Product(b.Product); {
		case p == nil && !l.productFile[b.Product]:
			say(codeUnknownProduct, "batch", b.ProductPos, b.Product, source.Nearest(b.Product, products), "product", nil)
		case p != nil && !hasVariant(p.Variants, b.Variant):
			say(codeUnknownProduct, "batch-variant", b.variantPos(), b.Variant, source.Nearest(b.Variant, VariantIDs(p.Variants)), "variant", With().Name("product", b.Product))
		}
		for _, line := range b.Lines {
			if line.Ingredient != "" && !files[line.Ingredient] {
				say(codeUnknownIngredient, "batch", line.Pos, line.Ingredient, source.Nearest(line.Ingredient, known), "lines.ingredient", nil)
			}
		}
	}
}

// variantPos is where the variant is named, or else the product.
func (b *Batch) variantPos() exact.Pos {
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
			out[IDOfFile(n)] = true
		}
	}
	return out
}
