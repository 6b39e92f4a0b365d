package formula

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/dossier/words/wordstest"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// withFormula builds a product of one phase from pairs of material or ":slot" and
// amount.
func withFormula(t testing.TB, basis Basis, lines ...string) *Product {
	t.Helper()
	p := &Product{ID: "test", Formula: Formula{Basis: basis, Phases: []Phase{{ID: "A"}}}}
	for i := 0; i < len(lines); i += 2 {
		l := Line{Ingredient: lines[i], Pos: exact.Pos{File: "products/test.yaml", Line: i/2 + 10, Col: 5}}
		if lines[i][0] == ':' {
			l.Ingredient, l.Slot = "", lines[i][1:]
		}
		if lines[i+1] == "q.s." {
			l.Rest = true
		} else {
			l.Amount = num(t, lines[i+1])
		}
		p.Formula.Phases[0].Lines = append(p.Formula.Phases[0].Lines, l)
	}
	return p
}

func fill(slot string, parts ...string) Fill {
	f := Fill{Slot: slot}
	if len(parts) == 1 {
		f.Parts = []FillPart{{Ingredient: parts[0], SharePct: Hundred}}
		return f
	}
	for i := 0; i < len(parts); i += 2 {
		n, _ := exact.ParseNum(parts[i+1])
		f.Parts = append(f.Parts, FillPart{Ingredient: parts[i], SharePct: n})
	}
	return f
}

var tolerance = exact.Frac(1, 100)

func sharesText(m Mixture) []string {
	var out []string
	for _, s := range m.Shares {
		out = append(out, s.Ingredient+" "+s.Pct.Exact())
	}
	return out
}

func codes(fs []finding.Finding) []string {
	var out []string
	for _, f := range fs {
		out = append(out, f.Severity.String()+" "+f.Code)
	}
	return out
}

func TestResolveRest(t *testing.T) {
	p := withFormula(t, Percent, "water", "q.s.", "surfactant", "27", ":scent", "0.8", ":colour", "0.2")
	r, fs := Resolve(p, &Variant{Fill: []Fill{fill("scent", "fo-a", "70", "eo-b", "30")}}, tolerance)
	assert.Empty(t, fs)
	// the empty colour slot goes to water: 100 − 27 − 0.8 = 72.2
	assert.Equal(t, []string{"water 72.2", "surfactant 27", "fo-a 0.56", "eo-b 0.24"}, sharesText(r.Whole))
	assert.Equal(t, "100", r.TotalPct.Exact())
}

func TestResolveGramsKeepsThirds(t *testing.T) {
	p := withFormula(t, Grams, "oil", "1", "salt", "2")
	r, fs := Resolve(p, &Variant{}, tolerance)
	assert.Empty(t, fs)
	assert.Equal(t, []string{"oil 100/3", "salt 200/3"}, sharesText(r.Whole))
}

func TestResolveUnfilledWithoutRest(t *testing.T) {
	p := withFormula(t, Percent, "oil", "49", "wax", "49", ":scent", "2")
	r, fs := Resolve(p, &Variant{}, tolerance)
	assert.Equal(t, []string{"note rescaled"}, codes(fs))
	assert.Equal(t, []string{"oil 50", "wax 50"}, sharesText(r.Whole))
}

// Common practice, no source: 100 parts of base plus additions is recalculated,
// so 50 parts of sugar on a base with 1 % preservative leave 0.667 %.
func TestResolveAdditionAfterHundred(t *testing.T) {
	p := withFormula(t, Percent, "base", "99", "preservative", "1")
	r, _ := Resolve(p, &Variant{ThenAdd: []Addition{{Ingredient: "sugar", Parts: num(t, "50")}}}, tolerance)
	assert.Equal(t, []string{"base 66", "preservative 2/3", "sugar 100/3"}, sharesText(r.Whole))
}

// Common practice, no source: 60 g base with 3 % scent and 40 g without are
// 1.80 % of the whole and 3.00 % of the scented part.
func TestResolvePortions(t *testing.T) {
	p := withFormula(t, Percent, "base", "q.s.", ":scent", "3")
	r, fs := Resolve(p, &Variant{Portions: []Portion{
		{Name: "rose", SharePct: num(t, "60"), Fill: []Fill{fill("scent", "fo")}},
		{SharePct: num(t, "40")},
	}}, tolerance)
	assert.Empty(t, fs)
	assert.Equal(t, []string{"base 98.2", "fo 1.8"}, sharesText(r.Whole))
	require.Len(t, r.Portions, 2)
	assert.Equal(t, []string{"base 97", "fo 3"}, sharesText(r.Portions[0]))
	assert.Equal(t, "portion 2", r.Portions[1].Name)
	assert.Equal(t, []string{"base 100"}, sharesText(r.Portions[1]))
}

func TestResolveSumIsChecked(t *testing.T) {
	for _, c := range []struct {
		water string
		want  []string
	}{
		{"90", nil},
		{"90.01", nil},
		{"89.99", nil},
		{"90.0100001", []string{"stop not-100"}},
		{"85", []string{"stop not-100"}},
	} {
		_, fs := Resolve(withFormula(t, Percent, "water", c.water, "oil", "10"), &Variant{}, tolerance)
		assert.Equal(t, c.want, codes(fs), "water %s", c.water)
	}
	_, fs := Resolve(withFormula(t, Percent, "water", "q.s.", "oil", "60", "wax", "40"), &Variant{}, tolerance)
	require.Equal(t, []string{"stop over-100"}, codes(fs))
	assert.Contains(t, wordstest.Said(fs[0]).Message, "100 %")
	_, fs = Resolve(withFormula(t, Percent, ":scent", "100"), &Variant{}, tolerance)
	assert.Equal(t, []string{"stop empty-formula"}, codes(fs))
}

func TestResolveFailedSumShowsItsTerms(t *testing.T) {
	_, fs := Resolve(withFormula(t, Percent, "water", "85", "oil", "10"), &Variant{}, tolerance)
	require.Len(t, fs, 1)
	assert.Equal(t, "the lines add up to 95 %, 5 % short of 100", wordstest.Said(fs[0]).Message)
	require.Len(t, fs[0].Sum, 2)
	for i, want := range []string{"85 % water", "10 % oil"} {
		assert.Equal(t, want, wordstest.Term(fs[0].Sum[i]))
		assert.Equal(t, exact.Pos{File: "products/test.yaml", Line: 10 + i, Col: 5}, fs[0].Sum[i].Pos)
	}
}
