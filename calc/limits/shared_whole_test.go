package limits_test

import (
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc"
	"gallipot/calc/exposure"
	"gallipot/calc/formula"
	"gallipot/calc/labelling"
	"gallipot/calc/law"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/calc/limits"
	"gallipot/dossier/words"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

func supplied(s *ingredients.Sheet, name, code string) *ingredients.Sheet {
	s.Supplier.Name, s.Supplier.Code = name, code
	return s
}

func squalane(t testing.TB) *ingredients.Sheet { return sheet(t, "base", "Squalane", "100") }

// exposureInput is a product of a type and audience without formula.
func exposureInput(t testing.TB, productType string, audience formula.Audience, own *formula.OwnExposure) *formula.Input {
	t.Helper()
	tables := table.Builtin()
	pt, ok := law.ProductType(tables, productType)
	require.True(t, ok, productType)
	return &formula.Input{Product: &formula.Product{ID: "test", IntendedFor: audience, Exposure: own}, Type: pt, Session: testSession(tables)}
}

func exposureOf(t testing.TB, productType string, audience formula.Audience, own *formula.OwnExposure) (exposure.Exposure, []string) {
	t.Helper()
	e, fs := exposure.ExposureOf(exposureInput(t, productType, audience, own))
	return e, codes(fs)
}

func own(t testing.TB, pairs ...string) *formula.OwnExposure {
	t.Helper()
	o := &formula.OwnExposure{Source: "weighed by the maker"}
	for i := 0; i < len(pairs); i += 2 {
		n := num(t, pairs[i+1])
		switch pairs[i] {
		case "g":
			o.AmountGDay = &n
		case "retention":
			o.RetentionPct = &n
		case "relative":
			o.RelativeMgKgD = &n
		case "area":
			o.AreaCm2 = &n
		case "times":
			o.TimesPerDay = &n
		case "weight":
			o.BodyWeightKg = &n
		default:
			t.Fatal(pairs[i])
		}
	}
	return o
}

// withFormula builds a product of one phase from pairs of material or ":slot" and
// amount.
func withFormula(t testing.TB, basis formula.Basis, lines ...string) *formula.Product {
	t.Helper()
	p := &formula.Product{ID: "test", Formula: formula.Formula{Basis: basis, Phases: []formula.Phase{{ID: "A"}}}}
	for i := 0; i < len(lines); i += 2 {
		l := formula.Line{Ingredient: lines[i], Pos: exact.Pos{File: "products/test.yaml", Line: i/2 + 10, Col: 5}}
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

func gapsBy(r *calc.Result, code string) []calc.Gap {
	var out []calc.Gap
	for _, g := range r.Gaps {
		if g.Code == code {
			out = append(out, g)
		}
	}
	return out
}

// codesOf lists the codes of a label's findings, without those about what no
// test is after.
func codesOf(l *labelling.Label, about string) []string {
	var out []string
	for _, f := range l.Findings {
		if strings.Contains(f.Code, about) {
			out = append(out, f.Severity.String()+" "+f.Code)
		}
	}
	return out
}

// brought is a substance with its contents from raw materials, by composition.
func brought(t testing.TB, inci string, pairs ...string) *limits.LimitUse {
	s := &formula.Substance{INCI: inci, MergeKey: ingredients.NameKey(inci)}
	for i := 0; i < len(pairs); i += 2 {
		pct := rangeOf(t, pairs[i+1])
		s.Total = s.Total.Add(pct)
		s.Pct = s.Pct.Add(pct)
		s.Contributions = append(s.Contributions, formula.Contribution{Ingredient: pairs[i], Pct: pct, Route: formula.ByComposition, LinePos: exact.Pos{File: "p", Line: i + 1}})
	}
	return &limits.LimitUse{S: s, PerComp: []*formula.Substance{s}}
}

func handRun(t testing.TB, shares ...string) *limits.Run {
	mix := formula.Mixture{}
	for i := 0; i < len(shares); i += 2 {
		mix.Shares = append(mix.Shares, formula.Share{Ingredient: shares[i], Pct: num(t, shares[i+1])})
	}
	in := exposureInput(t, "body-lotion", formula.Adults, nil)
	return &limits.Run{In: in, Comps: []*formula.Composition{{Mixture: mix}}, Matcher: limits.MatcherOf(in.Session)}
}

// one material of one substance.
func pure(t testing.TB, functions, name string) *ingredients.Sheet {
	t.Helper()
	return material(t, ingredients.NameKey(name), functions, name, "100")
}

func verdictOfRow(t testing.TB, r *calc.Result, key string) limits.LimitVerdict {
	t.Helper()
	return checkOf(t, r, key).Verdict
}

// job computes a product of water and one material that is one substance.
func job(t testing.TB, productType, pct string, m *ingredients.Sheet, o *formula.OwnExposure) *calc.Result {
	t.Helper()
	p := withFormula(t, formula.Percent, "water", "q.s.", m.ID, pct)
	p.IntendedFor, p.Exposure = formula.Adults, o
	return assessed(t, p, &formula.Variant{}, productType, rows.EU, 20261125, m, sheet(t, "water", "Aqua", "100"))
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

// assessed runs the main job on a product of one variant.
func assessed(t testing.TB, p *formula.Product, v *formula.Variant, productType string, market rows.Market, day int, sheets ...*ingredients.Sheet) *calc.Result {
	t.Helper()
	tables := table.Builtin()
	pt, ok := law.ProductType(tables, productType)
	require.True(t, ok, productType)
	byID := map[string]*ingredients.Sheet{}
	for _, s := range sheets {
		byID[s.ID] = s
	}
	dict := tables.Dictionary()
	return calc.Assess(&formula.Input{Product: p, Variant: v, Type: pt, Sheets: byID, Materials: formula.PrepareAll(byID, dict), Market: market,
		Date: exact.Date(day), Session: testSession(tables)})
}

// declared gives a sheet an allergen declaration from pairs of name and content.
func declared(t testing.TB, s *ingredients.Sheet, list string, pairs ...string) *ingredients.Sheet {
	t.Helper()
	s.Allergens = &ingredients.AllergenDeclaration{List: list}
	for i := 0; i < len(pairs); i += 2 {
		a, err := exact.ParseAmount(pairs[i+1])
		require.NoError(t, err)
		s.Allergens.Declared = append(s.Allergens.Declared, ingredients.DeclaredAllergen{Name: pairs[i], Pct: a})
	}
	return s
}

// certified gives a sheet a certificate with one limit.
func certified(t testing.TB, s *ingredients.Sheet, category, limit string) *ingredients.Sheet {
	t.Helper()
	s.FragranceLimits = &ingredients.Certificate{Amendment: 51, Limits: []ingredients.CategoryLimit{{Category: category, MaxPct: num(t, limit)}}}
	return s
}

// said puts a finding into the words of the table, for tests of what is said.
func said(f finding.Finding) *words.Said {
	s := words.Say(&f, words.Terminal)
	return &s
}

// termText puts a summand into words.
func termText(t finding.Term) string { return words.Term(t.Key, t.Values, words.Terminal) }

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
	p.Saponify = &formula.Saponification{Alkali: []string{"KOH"}, WaterLossPct: num(t, "20"), Pos: exact.Pos{File: "products/test.yaml", Line: 3, Col: 3},
		Values: []formula.OwnSV{{Ingredient: "oil", MgKOH: exact.Range{Min: exact.Int(180), Typ: exact.Int(200), Max: exact.Int(220)}}}}
	if change != nil {
		change(p, oil)
	}
	return assessed(t, p, &formula.Variant{}, "bar-soap", rows.GB, 20261125, append(sheets, scentSheet("fo"))...)
}

// soapProduct is a bar of the given fats, lye and water, in grams, with one part
// of scent and colour where asked.
func soapProduct(t testing.TB, lye string, lines ...string) *formula.Product {
	t.Helper()
	p := withFormula(t, formula.Grams, lines...)
	p.Saponify = &formula.Saponification{Alkali: strings.Split(lye, "+"), Pos: exact.Pos{File: "products/test.yaml", Line: 3, Col: 3}}
	return p
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

var builtinSession = sync.OnceValue(func() *formula.Session { return formula.NewSession(table.Builtin()) })

// testSession is the session of the tests over the program's own tables, one for
// all of them; other tables get a session of their own.
func testSession(tables *table.Tables) *formula.Session {
	if tables == table.Builtin() {
		return builtinSession()
	}
	return formula.NewSession(tables)
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

// traced gives a sheet impurities from pairs of name and content.
func traced(t testing.TB, m *ingredients.Sheet, pairs ...string) *ingredients.Sheet {
	t.Helper()
	for i := 0; i < len(pairs); i += 2 {
		a, err := exact.ParseAmount(pairs[i+1])
		require.NoError(t, err)
		m.Impurities = append(m.Impurities, ingredients.Impurity{Name: pairs[i], Amount: a,
			Pos: exact.Pos{File: "ingredients/" + m.ID + ".yaml", Line: 20 + i}})
	}
	return m
}

func ptr(n exact.Num) *exact.Num { return &n }
