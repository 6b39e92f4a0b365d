package workshop

import (
	"strings"

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
	x := l.recordRefs("batch", "batch-variant", files)
	for _, b := range l.w.BatchRecords {
		x.code = b.Code
		x.product(b.Product, b.ProductPos, "product", b.Variant, b.VariantPos, "variant")
		for _, line := range b.Lines {
			x.ingredient(line.Ingredient, line.Pos, "lines.ingredient")
		}
	}
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
