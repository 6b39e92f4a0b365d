// Package calctest runs the whole calculation for tests of the rooms below it, and looks
// up what came out.
package calctest

import (
	"gallipot/calc"
	"gallipot/calc/exposure"
	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// Assess runs the main job on a product of one variant.
func Assess(t testing.TB, p *formula.Product, v *formula.Variant, productType string, market rows.Market,
	day int, sheets ...*ingredients.Sheet) *calc.Result {
	t.Helper()
	tables := table.Builtin()
	pt, ok := law.ProductType(tables, productType)
	require.True(t, ok, productType)
	byID := map[string]*ingredients.Sheet{}
	for _, s := range sheets {
		byID[s.ID] = s
	}
	dict := tables.Dictionary()
	return calc.Assess(&formula.Input{Product: p, Variant: v, Type: pt, Sheets: byID,
		Materials: formula.PrepareAll(byID, dict), Market: market,
		Date: exact.Date(day), Session: formulatest.Session(tables)})
}

// Findings returns the findings with a code.
func Findings(r *calc.Result, code string) []finding.Finding {
	var out []finding.Finding
	for _, f := range r.Findings {
		if f.Code == code {
			out = append(out, f)
		}
	}
	return out
}

// Finding returns the one finding with a code, which must be there.
func Finding(t testing.TB, r *calc.Result, code string) finding.Finding {
	t.Helper()
	fs := Findings(r, code)
	require.Len(t, fs, 1, "%s in %v", code, formulatest.Codes(r.Findings))
	return fs[0]
}

// Job computes a product of water and one material that is one substance.
func Job(t testing.TB, productType, pct string, m *ingredients.Sheet, o *formula.OwnExposure) *calc.Result {
	t.Helper()
	p := formulatest.WithFormula(t, formula.Percent, "water", "q.s.", m.ID, pct)
	p.IntendedFor, p.Exposure = formula.Adults, o
	return Assess(t, p, &formula.Variant{}, productType, rows.EU, 20261125, m,
		formulatest.Sheet(t, "water", "Aqua", "100"))
}

// Margin returns the margin of a substance.
func Margin(t testing.TB, r *calc.Result, inci string) *exposure.Margin {
	t.Helper()
	for i := range r.Margins {
		if ingredients.NameKey(r.Margins[i].INCI) == ingredients.NameKey(inci) {
			return &r.Margins[i]
		}
	}
	t.Fatalf("no margin of %s", inci)
	return nil
}

// Gaps returns the gaps of a kind.
func Gaps(r *calc.Result, code string) []calc.Gap {
	var out []calc.Gap
	for _, g := range r.Gaps() {
		if g.Code == code {
			out = append(out, g)
		}
	}
	return out
}

// PotashSoap is 50 % of an oil that takes 180 to 220 mg KOH for 1 g, 8 % KOH, 41 %
// water and 1 % scent, of which 20 % dry off. The oil's paper states a function, a
// trace, an allergen and a toxicological value.
func PotashSoap(t testing.TB, change func(p *formula.Product, oil *ingredients.Sheet)) *calc.Result {
	t.Helper()
	sheets := formulatest.SoapSheets(t, "oil", "Olea Europaea Fruit Oil")
	oil := sheets[len(sheets)-1]
	oil.Functions = []string{"emollient"}
	formulatest.Impure(t, oil, "Lead", "0.0004")
	formulatest.Declared(t, oil, ingredients.List2003, "Linalool", "0.2")
	oil.Allergens.Dated = 20260102
	oil.Toxicology = []ingredients.Toxicology{{INCI: "Lead", PoDType: "NOAEL",
		PoD: formulatest.Ptr(formulatest.Num(t, "7")), Study: "invented", Source: "invented"}}
	p := formulatest.WithFormula(t, formula.Percent, "oil", "50", "koh", "8", "water", "41", "fo", "1")
	p.Saponify = &formula.Saponification{Alkali: []string{"KOH"}, WaterLossPct: formulatest.Num(t, "20"),
		Pos: exact.Pos{File: "products/test.yaml", Line: 3, Col: 3},
		Values: []formula.OwnSV{{Ingredient: "oil", MgKOH: exact.Range{Min: exact.Int(180), Typ: exact.Int(200),
			Max: exact.Int(220)}}}}
	if change != nil {
		change(p, oil)
	}
	return Assess(t, p, &formula.Variant{}, "bar-soap", rows.GB, 20261125,
		append(sheets, formulatest.ScentSheet("fo"))...)
}

// today is the day of the tests.
const today = 20261125

// Case is a product of water and a few materials.
type Case struct {
	Product  string
	Market   rows.Market
	Day      int
	Audience formula.Audience
	Change   func(*formula.Product)
}

// Of assesses the product with pairs of a sheet and its content in per cent.
func (c Case) Of(t testing.TB, parts ...any) *calc.Result {
	t.Helper()
	lines := []string{"water", "q.s."}
	sheets := []*ingredients.Sheet{formulatest.Material(t, "water", "solvent", "Aqua", "100")}
	for i := 0; i < len(parts); i += 2 {
		s := parts[i].(*ingredients.Sheet)
		sheets = append(sheets, s)
		lines = append(lines, s.ID, parts[i+1].(string))
	}
	p := formulatest.WithFormula(t, formula.Percent, lines...)
	no := false
	p.Professional = &no
	p.IntendedFor = formula.Adults
	if c.Audience != "" {
		p.IntendedFor = c.Audience
	}
	if c.Change != nil {
		c.Change(p)
	}
	if c.Day == 0 {
		c.Day = today
	}
	if c.Market == "" {
		c.Market = rows.EU
	}
	return Assess(t, p, &formula.Variant{}, c.Product, c.Market, c.Day, sheets...)
}

// Shown is a value of a finding as it is printed: a number, or from and to.
func Shown(t testing.TB, f finding.Finding, name string) string {
	t.Helper()
	v, ok := f.Values.Get(name)
	require.True(t, ok, "%s of %s", name, f.Code)
	if v.Low.Equal(v.High()) {
		return v.Round.Of(v.Low)
	}
	return v.Round.Of(v.Low) + " to " + v.Round.Of(v.High())
}

// WithName assesses a leave-on or rinse-off product that holds one printed name.
func WithName(t testing.TB, productType, printed, cas, pct string) *calc.Result {
	t.Helper()
	m := formulatest.Sheet(t, "m", printed, "100")
	m.Composition.Constituents[0].CAS = cas
	if strings.Contains(printed, "isothiazolinone") || strings.Contains(printed, "Ethylhexylglycerin") {
		m.Functions = []string{"preservative"}
	}
	return Assess(t, formulatest.WithFormula(t, formula.Percent, "base", "q.s.", "m", pct),
		&formula.Variant{}, productType, rows.EU, 20261125, formulatest.Squalane(t), m)
}

// HardCodes are the codes of kind stop and ask, once each, sorted.
func HardCodes(r *calc.Result) []string {
	var out []string
	for _, c := range formulatest.Codes(r.Findings) {
		if !strings.HasPrefix(c, "note ") && !slices.Contains(out, c) {
			out = append(out, c)
		}
	}
	slices.Sort(out)
	return out
}
