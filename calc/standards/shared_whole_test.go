package standards_test

import (
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc"
	"gallipot/calc/exposure"
	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
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

const today = 20261125

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

// coded gives the constituents of a sheet their CAS numbers, in order.
func coded(s *ingredients.Sheet, cas ...string) *ingredients.Sheet {
	for i, c := range cas {
		s.Composition.Constituents[i].CAS = c
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

// limitCase is a product of water and a few materials.
type limitCase struct {
	product  string
	market   rows.Market
	day      int
	audience formula.Audience
	change   func(*formula.Product)
}

// of assesses the product with pairs of sheet and amount.
func (c limitCase) of(t testing.TB, parts ...any) *calc.Result {
	t.Helper()
	lines := []string{"water", "q.s."}
	sheets := []*ingredients.Sheet{material(t, "water", "solvent", "Aqua", "100")}
	for i := 0; i < len(parts); i += 2 {
		s := parts[i].(*ingredients.Sheet)
		sheets = append(sheets, s)
		lines = append(lines, s.ID, parts[i+1].(string))
	}
	p := withFormula(t, formula.Percent, lines...)
	no := false
	p.Professional = &no
	p.IntendedFor = formula.Adults
	if c.audience != "" {
		p.IntendedFor = c.audience
	}
	if c.change != nil {
		c.change(p)
	}
	if c.day == 0 {
		c.day = today
	}
	if c.market == "" {
		c.market = rows.EU
	}
	return assessed(t, p, &formula.Variant{}, c.product, c.market, c.day, sheets...)
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

// findingOf returns the one finding with a code, which must be there.
func findingOf(t testing.TB, r *calc.Result, code string) finding.Finding {
	t.Helper()
	fs := findingsOf(r, code)
	require.Len(t, fs, 1, "%s in %v", code, codes(r.Findings))
	return fs[0]
}

func terms(f finding.Finding) []string {
	var out []string
	for _, s := range f.Sum {
		out = append(out, termText(s))
	}
	return out
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

func exactRange(r exact.Range) [3]string {
	return [3]string{r.Min.Exact(), r.Typ.Exact(), r.Max.Exact()}
}

func ptr(n exact.Num) *exact.Num { return &n }
