package labelling

import (
	"encoding/csv"
	"os"
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

// exposureInput is a product of a type and audience without formula.
func exposureInput(t testing.TB, productType string, audience formula.Audience, own *formula.OwnExposure) *formula.Input {
	t.Helper()
	tables := table.Builtin()
	pt, ok := law.ProductType(tables, productType)
	require.True(t, ok, productType)
	return &formula.Input{Product: &formula.Product{ID: "test", IntendedFor: audience, Exposure: own}, Type: pt, Session: testSession(tables)}
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

// publishedRows reads a table of outside check values and refuses a row without
// source and seen.
func publishedRows(t *testing.T, name string) []map[string]string {
	t.Helper()
	f, err := os.Open("../../testdata/published/" + name)
	require.NoError(t, err)
	defer f.Close()
	records, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	var out []map[string]string
	for i, r := range records[1:] {
		row := map[string]string{}
		for j, c := range records[0] {
			row[c] = r[j]
		}
		require.NotEmpty(t, row["source"], "%s line %d has no source", name, i+2)
		require.Contains(t, []string{"seen", "memory"}, row["seen"], "%s line %d", name, i+2)
		out = append(out, row)
	}
	return out
}

// one material of one substance.
func pure(t testing.TB, functions, name string) *ingredients.Sheet {
	t.Helper()
	return material(t, ingredients.NameKey(name), functions, name, "100")
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

// job computes a product of water and one material that is one substance.
func job(t testing.TB, productType, pct string, m *ingredients.Sheet, o *formula.OwnExposure) *calc.Result {
	t.Helper()
	p := withFormula(t, formula.Percent, "water", "q.s.", m.ID, pct)
	p.IntendedFor, p.Exposure = formula.Adults, o
	return assessed(t, p, &formula.Variant{}, productType, rows.EU, 20261125, m, sheet(t, "water", "Aqua", "100"))
}

func foundBy(r *calc.Result, code string) []finding.Finding {
	var fs []finding.Finding
	for _, f := range r.Findings {
		if f.Code == code {
			fs = append(fs, f)
		}
	}
	return fs
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

// said puts a finding into the words of the table, for tests of what is said.
func said(f finding.Finding) *words.Said {
	s := words.Say(&f, words.Terminal)
	return &s
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

func traceOf(t testing.TB, r *calc.Result, name string) *exposure.Trace {
	t.Helper()
	for i := range r.Traces {
		if r.Traces[i].Name == name {
			return &r.Traces[i]
		}
	}
	t.Fatalf("no trace %s", name)
	return nil
}

func checkFor(t testing.TB, tr *exposure.Trace, key string) exposure.TraceCheck {
	t.Helper()
	for _, c := range tr.Checks {
		if c.Guide.Key == key {
			return c
		}
	}
	t.Fatalf("%s is not compared with %s", tr.Name, key)
	return exposure.TraceCheck{}
}
