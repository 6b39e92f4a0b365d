package listing_test

import (
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc"
	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/dossier/words"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

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

var tolerance = exact.Frac(1, 100)

func codes(fs []finding.Finding) []string {
	var out []string
	for _, f := range fs {
		out = append(out, f.Severity.String()+" "+f.Code)
	}
	return out
}

const today = 20261125

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

// withName assesses a leave-on or rinse-off product that holds one printed name.
func withName(t testing.TB, productType, printed, cas, pct string) *calc.Result {
	t.Helper()
	m := sheet(t, "m", printed, "100")
	m.Composition.Constituents[0].CAS = cas
	if strings.Contains(printed, "isothiazolinone") || strings.Contains(printed, "Ethylhexylglycerin") {
		m.Functions = []string{"preservative"}
	}
	return assessed(t, withFormula(t, formula.Percent, "base", "q.s.", "m", pct), &formula.Variant{}, productType, rows.EU, 20261125, squalane(t), m)
}

// hardCodes are the codes of kind stop and ask, once each, sorted.
func hardCodes(r *calc.Result) []string {
	var out []string
	for _, c := range codes(r.Findings) {
		if !strings.HasPrefix(c, "note ") && !slices.Contains(out, c) {
			out = append(out, c)
		}
	}
	slices.Sort(out)
	return out
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

// termText puts a summand into words.
func termText(t finding.Term) string { return words.Term(t.Key, t.Values, words.Terminal) }

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

func exactRange(r exact.Range) [3]string {
	return [3]string{r.Min.Exact(), r.Typ.Exact(), r.Max.Exact()}
}
