package preservation_test

import (
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

// findingOf returns the one finding with a code, which must be there.
func findingOf(t testing.TB, r *calc.Result, code string) finding.Finding {
	t.Helper()
	fs := findingsOf(r, code)
	require.Len(t, fs, 1, "%s in %v", code, codes(r.Findings))
	return fs[0]
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

func ptr(n exact.Num) *exact.Num { return &n }
