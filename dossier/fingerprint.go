package dossier

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"slices"

	"gallipot/calc"
	"gallipot/ingredients"
)

// FiguresVersion changes whenever the same inputs would give other figures; it
// is part of every fingerprint.
const FiguresVersion = "1"

// besideFigures are the keys of a product file that no figure depends on and that
// no assessor judges: records made after the figures, the notices, and the size of
// the printed label. What a label says, how a pack is given away and why it bears no
// period after opening stay in; so does whatever is in doubt.
var besideFigures = []string{"assessments", "complaints", "sold", "notifications", "first_placed_in",
	"label.shape", "label.width_mm", "label.height_mm", "label.min_type_mm", "label.margin_mm", "label.overlap_mm", "label.sheet", "label.e_mark"}

// fingerprint is a short hash over everything that the figures of a product
// depend on: its file without what is beside them (besideFigures), the sheets it
// uses, the maker's own limits, the law tables, the rules in force on the day,
// and the version of the figures. Of a table row it takes what the row means, not
// its source, its note or its place.
//
// Comments, blank lines, the order of keys and quotes do not change it.
func fingerprint(a *Assessment) string {
	h := sha256.New()
	part := func(name string, data []byte) {
		sum := sha256.Sum256(data)
		fmt.Fprintf(h, "%s %x\n", name, sum)
	}
	fmt.Fprintf(h, "gallipot figures %s\n", FiguresVersion)
	for _, t := range a.Options.Law.Version() {
		fmt.Fprintf(h, "table %s %s\n", t.Name, t.Meaning)
	}
	part("product", a.Product.Source.Canonical(besideFigures...))
	for _, id := range usedSheets(a) {
		if s := a.Workshop.SheetSource(id); s != nil {
			part("sheet "+id, s.Canonical())
		}
	}
	for _, r := range a.Results {
		rulesInForce(h, r)
	}
	return hex.EncodeToString(h.Sum(nil))[:12]
}

// rulesInForce enters the rows that were looked at: a rule that comes into force
// changes the fingerprint of the products it touches.
func rulesInForce(w io.Writer, r *calc.Result) {
	fmt.Fprintf(w, "market %s\n", r.Input.Market)
	for _, l := range r.Limits {
		fmt.Fprintf(w, "limit %s\n", l.Row.Key)
	}
	for _, t := range r.Allergens {
		fmt.Fprintf(w, "allergen %s\n", t.Row.Key)
	}
}

// usedSheets lists the ids of the sheets in any variant, sorted.
func usedSheets(a *Assessment) []string {
	var ids []string
	for _, r := range a.Results {
		for _, s := range r.Recipe.Whole.Shares {
			if !slices.Contains(ids, s.Ingredient) {
				ids = append(ids, s.Ingredient)
			}
		}
	}
	slices.Sort(ids)
	return ids
}

// UsedSheets returns the sheets of a product's variants, sorted by id.
func (a *Assessment) UsedSheets() []*ingredients.Sheet {
	var out []*ingredients.Sheet
	for _, id := range usedSheets(a) {
		if s := a.Workshop.Sheets[id]; s != nil {
			out = append(out, s)
		}
	}
	return out
}
