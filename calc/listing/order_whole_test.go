package listing_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"

	"gallipot/calc/calctest"
	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law/rows"
	"gallipot/calc/listing"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
)

type noColours struct{}

func (noColours) ColourName(inci string, _ []string) (string, bool) { return inci, formula.IsCI(inci) }

func (noColours) IsSubstrate(string) bool { return false }

// order resolves, composes and orders a plain variant.
func order(p *formula.Product, v *formula.Variant, tail []string,
	sheets ...*ingredients.Sheet) (*listing.List, *formula.Composition) {
	dict := ingredients.NewDictionary()
	byID := map[string]*ingredients.Sheet{}
	for _, s := range sheets {
		byID[s.ID] = s
	}
	materials := formula.PrepareAll(byID, dict)
	r, _ := formula.Resolve(p, v, tolerance)
	c := formula.Compose(r.Whole, materials)
	return listing.Gather(c, materials, noColours{}).Order(nil,
		listing.ListRules{SortedFromPct: exact.Int(1), Tail: tail}), c
}

func entryNamed(l *listing.List, name string) listing.ListEntry {
	i := slices.IndexFunc(l.Entries, func(e listing.ListEntry) bool { return e.Name == name })
	return l.Entries[i]
}

// A scent is one entry with its exact share, whatever its paper discloses of it, and
// allergens below 1 % stand as the maker wishes.
func TestScentsAndAllergensInTheList(t *testing.T) {
	fo := formulatest.Sheet(t, "fo", "Linalool", "40-60", "Limonene", "40-60")
	fo.LabelAs = ingredients.LabelParfum
	l, _ := order(formulatest.WithFormula(t, formula.Percent, "oil", "q.s.", "fo", "10"), &formula.Variant{},
		nil, formulatest.Sheet(t, "oil", "Squalane", "100"), fo)
	assert.Equal(t, "Squalane, Parfum", l.Line())
	assert.Equal(t, [3]string{"10", "10", "10"}, formulatest.ExactRange(entryNamed(l, "Parfum").Pct))

	declaredFo := formulatest.Declared(t, formulatest.ScentSheet("fo"), ingredients.List2003, "Linalool", "30",
		"Limonene", "20")
	p := formulatest.WithFormula(t, formula.Percent, "base", "q.s.", "fo", "1")
	line := func(tail ...string) string {
		p.TailOrder = tail
		return calctest.Assess(t, p, &formula.Variant{}, "body-lotion", rows.GB, today, formulatest.Squalane(t),
			declaredFo).List.Line()
	}
	assert.Equal(t, "Squalane, Parfum, Linalool, Limonene", line())
	assert.Equal(t, "Squalane, Parfum, Limonene, Linalool", line("Limonene"))
}
