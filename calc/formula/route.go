package formula

import "gallipot/ingredients/exact"

// Route is the way a substance is known to be in a product.
type Route string

// The routes by which a substance comes in.
const (
	// ByComposition: a constituent of a raw material. All contents by this
	// route add up to the whole product.
	ByComposition Route = "composition"
	// ByDeclaration: an allergen declared inside a fragrance, oil or extract;
	// part of what stands there already, not beside it.
	ByDeclaration Route = "allergen declaration"
	// ByImpurity: a trace that is no ingredient.
	ByImpurity Route = "impurity"
)

// Exceeding is by how much a range lies above another, bound by bound.
func Exceeding(r, over exact.Range) exact.Range {
	var zero exact.Num
	return exact.Range{Min: r.Min.Sub(over.Min).Max(zero), Typ: r.Typ.Sub(over.Typ).Max(zero),
		Max: r.Max.Sub(over.Max).Max(zero)}
}
