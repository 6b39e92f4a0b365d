package formula_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc"
	"gallipot/calc/exposure"
	"gallipot/calc/formula"
	"gallipot/calc/law/table"
	"gallipot/calc/listing"
	"gallipot/calc/masses"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

func squalane(t testing.TB) *ingredients.Sheet { return sheet(t, "base", "Squalane", "100") }

func made(t testing.TB, ingredient, portion, planned, g string) masses.MadeLine {
	t.Helper()
	l := masses.MadeLine{Ingredient: ingredient, Portion: portion, G: num(t, g)}
	if planned != "" {
		l.PlannedG = ptr(num(t, planned))
	}
	return l
}

// withFormula builds a product of one phase from pairs of material or ":slot" and
// amount.
func withFormula(t testing.TB, basis formula.Basis, lines ...string) *formula.Product {
	t.Helper()
	p := &formula.Product{ID: "test", Formula: formula.Formula{Basis: basis, Phases: []formula.Phase{{ID: "A"}}}}
	for i := 0; i < len(lines); i += 2 {
		l := formula.Line{Ingredient: lines[i], Pos: finding.Pos{File: "products/test.yaml", Line: i/2 + 10, Col: 5}}
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

func fill(slot string, parts ...string) formula.Fill {
	f := formula.Fill{Slot: slot}
	if len(parts) == 1 {
		f.Parts = []formula.FillPart{{Ingredient: parts[0], SharePct: formula.Hundred}}
		return f
	}
	for i := 0; i < len(parts); i += 2 {
		n, _ := exact.ParseNum(parts[i+1])
		f.Parts = append(f.Parts, formula.FillPart{Ingredient: parts[i], SharePct: n})
	}
	return f
}

var tolerance = exact.Frac(1, 100)

func sharesText(m formula.Mixture) []string {
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

// material is a sheet of named contents with its functions.
func material(t testing.TB, id, functions string, parts ...string) *ingredients.Sheet {
	t.Helper()
	s := sheet(t, id, parts...)
	for f := range strings.SplitSeq(functions, ";") {
		if f != "" {
			s.Functions = append(s.Functions, f)
		}
	}
	return s
}

// impure gives a sheet an impurity.
func impure(t testing.TB, s *ingredients.Sheet, name, amount string) *ingredients.Sheet {
	t.Helper()
	a, err := exact.ParseAmount(amount)
	require.NoError(t, err)
	s.Impurities = append(s.Impurities, ingredients.Impurity{Name: name, Amount: a})
	return s
}

// findingsOf returns the findings with a code.
func findingsOf(r *calc.Result, code string) []finding.Finding {
	var out []finding.Finding
	for _, f := range r.Findings {
		if f.Code == code {
			out = append(out, f)
		}
	}
	return out
}

// job computes a product of water and one material that is one substance.
func job(t testing.TB, productType, pct string, m *ingredients.Sheet, o *formula.OwnExposure) *calc.Result {
	t.Helper()
	p := withFormula(t, formula.Percent, "water", "q.s.", m.ID, pct)
	p.IntendedFor, p.Exposure = formula.Adults, o
	return assessed(t, p, &formula.Variant{}, productType, table.EU, 20261125, m, sheet(t, "water", "Aqua", "100"))
}

// tox gives a sheet a toxicological value; "" leaves a figure out.
func tox(t testing.TB, m *ingredients.Sheet, podType, pod, dermal, oral string) *ingredients.Toxicology {
	t.Helper()
	m.Toxicology = append(m.Toxicology, ingredients.Toxicology{INCI: m.Composition.Constituents[0].INCI, PoDType: podType, Source: "study report"})
	v := &m.Toxicology[len(m.Toxicology)-1]
	for _, f := range []struct {
		text string
		into **exact.Num
	}{{pod, &v.PoD}, {dermal, &v.DermalAbsorptionPct}, {oral, &v.OralAbsorptionPct}} {
		if f.text != "" {
			n := num(t, f.text)
			*f.into = &n
		}
	}
	return v
}

// sheet builds a complete sheet from pairs of INCI name and content.
func sheet(t testing.TB, id string, parts ...string) *ingredients.Sheet {
	t.Helper()
	s := &ingredients.Sheet{ID: id, Name: id, LabelAs: ingredients.LabelINCI, Composition: ingredients.Composition{Complete: true}}
	for i := 0; i < len(parts); i += 2 {
		a, err := exact.ParseAmount(parts[i+1])
		require.NoError(t, err)
		s.Composition.Constituents = append(s.Composition.Constituents, ingredients.Constituent{INCI: parts[i], Pct: a})
	}
	return s
}

func scentSheet(id string) *ingredients.Sheet {
	return &ingredients.Sheet{ID: id, Name: id, LabelAs: ingredients.LabelParfum}
}

type noColours struct{}

func (noColours) ColourName(inci string, _ []string) (string, bool) { return inci, formula.IsCI(inci) }

// order resolves, composes and orders a plain variant.
func order(p *formula.Product, v *formula.Variant, tail []string, sheets ...*ingredients.Sheet) (*listing.List, *formula.Composition) {
	dict := ingredients.NewDictionary()
	byID := map[string]*ingredients.Sheet{}
	for _, s := range sheets {
		byID[s.ID] = s
	}
	materials := formula.PrepareAll(byID, dict)
	r, _ := formula.Resolve(p, v, tolerance)
	c := formula.Compose(r.Whole, materials)
	return listing.Order(c, materials, nil, listing.ListRules{SortedFromPct: exact.Int(1), Tail: tail, Colours: noColours{}}), c
}

// marginOf returns the margin of a substance.
func marginOf(t testing.TB, r *calc.Result, inci string) *exposure.Margin {
	t.Helper()
	for i := range r.Margins {
		if ingredients.NameKey(r.Margins[i].INCI) == ingredients.NameKey(inci) {
			return &r.Margins[i]
		}
	}
	t.Fatalf("no margin of %s", inci)
	return nil
}

// deltas compares a range with three figures worked by hand.
func deltas(t testing.TB, low, middle, high float64, got exact.Range, what string) {
	t.Helper()
	assert.InDelta(t, low, got.Min.Float(), 1e-4, what+", lowest")
	assert.InDelta(t, middle, got.Typ.Float(), 1e-4, what+", middle")
	assert.InDelta(t, high, got.Max.Float(), 1e-4, what+", highest")
}

// potashSoap is 50 % of an oil that takes 180 to 220 mg KOH for 1 g, 8 % KOH, 41 %
// water and 1 % scent, of which 20 % dry off. The oil's paper states a function, a
// trace, an allergen and a toxicological value.
func potashSoap(t testing.TB, change func(p *formula.Product, oil *ingredients.Sheet)) *calc.Result {
	t.Helper()
	sheets := soapSheets(t, "oil", "Olea Europaea Fruit Oil")
	oil := sheets[len(sheets)-1]
	oil.Functions = []string{"emollient"}
	impure(t, oil, "Lead", "0.0004")
	declared(t, oil, ingredients.List2003, "Linalool", "0.2")
	oil.Allergens.Dated = 20260102
	oil.Toxicology = []ingredients.Toxicology{{INCI: "Lead", PoDType: "NOAEL", PoD: ptr(num(t, "7")), Study: "invented", Source: "invented"}}
	p := withFormula(t, formula.Percent, "oil", "50", "koh", "8", "water", "41", "fo", "1")
	p.Saponify = &formula.Saponification{Alkali: []string{"KOH"}, WaterLossPct: num(t, "20"), Pos: finding.Pos{File: "products/test.yaml", Line: 3, Col: 3},
		Values: []formula.OwnSV{{Ingredient: "oil", MgKOH: exact.Range{Min: exact.Int(180), Typ: exact.Int(200), Max: exact.Int(220)}}}}
	if change != nil {
		change(p, oil)
	}
	return assessed(t, p, &formula.Variant{}, "bar-soap", table.GB, 20261125, append(sheets, scentSheet("fo"))...)
}

var lyeSheets = []string{"naoh", "Sodium Hydroxide", "koh", "Potassium Hydroxide", "water", "Aqua"}

func soapSheets(t testing.TB, pairs ...string) []*ingredients.Sheet {
	t.Helper()
	var out []*ingredients.Sheet
	all := append(slices.Clone(lyeSheets), pairs...)
	for i := 0; i < len(all); i += 2 {
		out = append(out, sheet(t, all[i], all[i+1], "100"))
	}
	return out
}

func num(t testing.TB, text string) exact.Num {
	t.Helper()
	n, err := exact.ParseNum(text)
	require.NoError(t, err)
	return n
}

func rangeOf(t testing.TB, text string) exact.Range {
	t.Helper()
	a, err := exact.ParseAmount(text)
	require.NoError(t, err)
	return a.Range
}

func exactRange(r exact.Range) [3]string {
	return [3]string{r.Min.Exact(), r.Typ.Exact(), r.Max.Exact()}
}

func ptr(n exact.Num) *exact.Num { return &n }
