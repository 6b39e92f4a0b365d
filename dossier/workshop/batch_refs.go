package workshop

import (
	"strings"

	"gallipot/ingredients/finding"
	"gallipot/ingredients/source"
)

// addBatch enters a batch record; codes must differ by more than letter case,
// since they are file names and are read out over the telephone.
func (l *loader) addBatch(b *Batch) {
	if first := l.w.Batch(b.Code); first != nil {
		l.stop(source.CodeDuplicateID, b.Pos, b.Code, "give one of the two batches another code and file name", "the code %s is also that of %s", b.Code, first.Source.Name)
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
		say := func(code string, pos finding.Pos, subject, near, format string, args ...any) {
			fix := "put the file back where it was, or correct the name"
			if near != "" {
				fix = "write " + near + ", or put the file back where it was"
			}
			l.findings = append(l.findings, finding.Findingf(finding.Ask, code, pos, format, args...).On(subject).WithFix("%s", fix))
		}
		switch p := l.w.Product(b.Product); {
		case p == nil && !l.productFile[b.Product]:
			say(codeUnknownProduct, b.ProductPos, b.Product, source.Nearest(b.Product, products), "batch %s is of a product %q that is not in products/", b.Code, b.Product)
		case p != nil && !hasVariant(p.Variants, b.Variant):
			say(codeUnknownProduct, b.variantPos(), b.Variant, source.Nearest(b.Variant, VariantIDs(p.Variants)), "batch %s is of a variant %q that %s does not have", b.Code, b.Variant, b.Product)
		}
		for _, line := range b.Lines {
			if line.Ingredient != "" && !files[line.Ingredient] {
				say(codeUnknownIngredient, line.Pos, line.Ingredient, source.Nearest(line.Ingredient, known), "batch %s holds %s, and there is no such sheet in ingredients/", b.Code, line.Ingredient)
			}
		}
	}
}

// variantPos is where the variant is named, or else the product.
func (b *Batch) variantPos() finding.Pos {
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
