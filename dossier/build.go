package dossier

import (
	"fmt"
	"slices"
	"strings"

	"gallipot/calc"
	"gallipot/ingredients"
)

// CautionLine stands on every page of whatever could be taken for more than it
// is.
const CautionLine = "prepared for assessment; not a safety assessment"

// memoryMark is the mark of figures that rest on a table row nobody has checked
// against its source.
const memoryMark = "unverified"

var marks = []Mark{{ID: memoryMark, Symbol: "†", Text: "not yet checked against its source: verify before use"}}

// view is what the sections are built from: an assessment, narrowed to the
// variants that are to be shown.
type view struct {
	a        *Assessment
	variants []*calc.Variant
	// withContributions says that the document shows how contents are made up, so
	// that figures can lead there.
	withContributions bool
}

// Show narrows an assessment to one variant, or to all of them for "".
func (a *Assessment) show(variant string) *view {
	v := &view{a: a}
	for _, x := range a.Product.Variants {
		if variant == "" || x.ID == variant {
			v.variants = append(v.variants, x)
		}
	}
	return v
}

// fewVariants is up to how many variants stand side by side; a longer range is
// shown by what is common, what differs, and the worst of all.
const fewVariants = 6

// isRange says whether there are too many variants to stand side by side.
func (v *view) isRange() bool { return len(v.variants) > fewVariants }

// first is the result of a variant in the first market: formula and composition
// are the same in all.
func (v *view) first(x *calc.Variant) *calc.Result { return v.a.ByVariant(x.ID)[0] }

// variantName is how a variant is called in heads and rows.
func variantName(x *calc.Variant) string {
	switch {
	case x.ID == "":
		return "the product"
	case x.Name != "":
		return x.Name
	}
	return x.ID
}

// shortName heads a column.
func shortName(x *calc.Variant) string {
	if x.ID == "" {
		return "Content"
	}
	return x.ID
}

// findings are those that concern the shown variants.
func (v *view) findings() []ingredients.Finding {
	if len(v.variants) == len(v.a.Product.Variants) {
		return v.a.Findings
	}
	var out []ingredients.Finding
	for _, f := range v.a.Findings {
		if len(f.Variants) == 0 || slices.ContainsFunc(v.variants, func(x *calc.Variant) bool {
			return slices.Contains(f.Variants, v.a.Product.ID+"/"+x.ID)
		}) {
			out = append(out, f)
		}
	}
	return out
}

// material names a raw material for a reader: its trade name with the id that
// leads back to the sheet.
func (v *view) material(id string) string {
	if s := v.a.Workshop.Sheets[id]; s != nil && s.Name != "" {
		return s.Name + " (" + id + ")"
	}
	return id
}

func count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

func upperFirst(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}
