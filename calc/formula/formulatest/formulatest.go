// Package formulatest builds formulas, sheets and inputs for the tests of this room and of
// those above it. Everything in it is invented.
package formulatest

import (
	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/calc/law/table"
	"gallipot/dossier/words/wordstest"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"
)

// Num reads a number.
func Num(t testing.TB, text string) exact.Num {
	t.Helper()
	n, err := exact.ParseNum(text)
	require.NoError(t, err)
	return n
}

// Range reads an amount as a range.
func Range(t testing.TB, text string) exact.Range {
	t.Helper()
	a, err := exact.ParseAmount(text)
	require.NoError(t, err)
	return a.Range
}

// Ptr is a number behind a pointer.
func Ptr(n exact.Num) *exact.Num { return &n }

// Session is the session of the tests over the program's own tables, one for
// all of them; other tables get a session of their own.
func Session(tables *table.Tables) *formula.Session {
	if tables == table.Builtin() {
		return builtinSession()
	}
	return formula.NewSession(tables)
}

var builtinSession = sync.OnceValue(func() *formula.Session { return formula.NewSession(table.Builtin()) })

// WithFormula builds a product of one phase from pairs of material or ":slot" and
// amount.
func WithFormula(t testing.TB, basis formula.Basis, lines ...string) *formula.Product {
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
			l.Amount = Num(t, lines[i+1])
		}
		p.Formula.Phases[0].Lines = append(p.Formula.Phases[0].Lines, l)
	}
	return p
}

// Sheet builds a complete sheet from pairs of INCI name and content.
func Sheet(t testing.TB, id string, parts ...string) *ingredients.Sheet {
	t.Helper()
	s := &ingredients.Sheet{ID: id, Name: id, LabelAs: ingredients.LabelINCI,
		Composition: ingredients.Composition{Complete: true}}
	for i := 0; i < len(parts); i += 2 {
		a, err := exact.ParseAmount(parts[i+1])
		require.NoError(t, err)
		s.Composition.Constituents = append(s.Composition.Constituents, ingredients.Constituent{INCI: parts[i],
			Pct: a})
	}
	return s
}

// ScentSheet is a scent that is labelled as one.
func ScentSheet(id string) *ingredients.Sheet {
	return &ingredients.Sheet{ID: id, Name: id, LabelAs: ingredients.LabelParfum}
}

// Declared gives a sheet an allergen declaration from pairs of name and content.
func Declared(t testing.TB, s *ingredients.Sheet, list string, pairs ...string) *ingredients.Sheet {
	t.Helper()
	s.Allergens = &ingredients.AllergenDeclaration{List: list}
	for i := 0; i < len(pairs); i += 2 {
		a, err := exact.ParseAmount(pairs[i+1])
		require.NoError(t, err)
		s.Allergens.Declared = append(s.Allergens.Declared, ingredients.DeclaredAllergen{Name: pairs[i], Pct: a})
	}
	return s
}

// Material is a sheet of named contents with its functions.
func Material(t testing.TB, id, functions string, parts ...string) *ingredients.Sheet {
	t.Helper()
	s := Sheet(t, id, parts...)
	for f := range strings.SplitSeq(functions, ";") {
		if f != "" {
			s.Functions = append(s.Functions, f)
		}
	}
	return s
}

// Fill puts one material into a slot, or pairs of materials and shares.
func Fill(slot string, parts ...string) formula.Fill {
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

// Squalane is a material of one substance that no row is about.
func Squalane(t testing.TB) *ingredients.Sheet { return Sheet(t, "base", "Squalane", "100") }

// OfType is a product of a type and audience without formula.
func OfType(t testing.TB, productType string, audience formula.Audience,
	own *formula.OwnExposure) *formula.Input {
	t.Helper()
	tables := table.Builtin()
	pt, ok := law.ProductType(tables, productType)
	require.True(t, ok, productType)
	return &formula.Input{Product: &formula.Product{ID: "test", IntendedFor: audience, Exposure: own}, Type: pt,
		Session: Session(tables)}
}

// Tox gives a sheet a toxicological value; "" leaves a figure out.
func Tox(t testing.TB, m *ingredients.Sheet, podType, pod, dermal, oral string) *ingredients.Toxicology {
	t.Helper()
	m.Toxicology = append(m.Toxicology, ingredients.Toxicology{INCI: m.Composition.Constituents[0].INCI,
		PoDType: podType, Source: "study report"})
	v := &m.Toxicology[len(m.Toxicology)-1]
	for _, f := range []struct {
		text string
		into **exact.Num
	}{{pod, &v.PoD}, {dermal, &v.DermalAbsorptionPct}, {oral, &v.OralAbsorptionPct}} {
		if f.text != "" {
			n := Num(t, f.text)
			*f.into = &n
		}
	}
	return v
}

// Supplied gives a sheet its supplier.
func Supplied(s *ingredients.Sheet, name, code string) *ingredients.Sheet {
	s.Supplier.Name, s.Supplier.Code = name, code
	return s
}

// Certified gives a sheet a certificate with one limit.
func Certified(t testing.TB, s *ingredients.Sheet, category, limit string) *ingredients.Sheet {
	t.Helper()
	s.FragranceLimits = &ingredients.Certificate{Amendment: 51,
		Limits: []ingredients.CategoryLimit{{Category: category, MaxPct: Num(t, limit)}}}
	return s
}

// Impure gives a sheet an impurity.
func Impure(t testing.TB, s *ingredients.Sheet, name, amount string) *ingredients.Sheet {
	t.Helper()
	a, err := exact.ParseAmount(amount)
	require.NoError(t, err)
	s.Impurities = append(s.Impurities, ingredients.Impurity{Name: name, Amount: a})
	return s
}

// Pure is a material of one substance.
func Pure(t testing.TB, functions, name string) *ingredients.Sheet {
	t.Helper()
	return Material(t, ingredients.NameKey(name), functions, name, "100")
}

// Coded gives the constituents of a sheet their CAS numbers, in order.
func Coded(s *ingredients.Sheet, cas ...string) *ingredients.Sheet {
	for i, c := range cas {
		s.Composition.Constituents[i].CAS = c
	}
	return s
}

// Traced gives a sheet impurities from pairs of name and content.
func Traced(t testing.TB, m *ingredients.Sheet, pairs ...string) *ingredients.Sheet {
	t.Helper()
	for i := 0; i < len(pairs); i += 2 {
		a, err := exact.ParseAmount(pairs[i+1])
		require.NoError(t, err)
		m.Impurities = append(m.Impurities, ingredients.Impurity{Name: pairs[i], Amount: a,
			Pos: exact.Pos{File: "ingredients/" + m.ID + ".yaml", Line: 20 + i}})
	}
	return m
}

// Own is the maker's own exposure from pairs of what and how much.
func Own(t testing.TB, pairs ...string) *formula.OwnExposure {
	t.Helper()
	o := &formula.OwnExposure{Source: "weighed by the maker"}
	for i := 0; i < len(pairs); i += 2 {
		n := Num(t, pairs[i+1])
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

// Shares prints the shares of a mixture.
func Shares(m formula.Mixture) []string {
	var out []string
	for _, s := range m.Shares {
		out = append(out, s.Ingredient+" "+s.Pct.Exact())
	}
	return out
}

// SoapSheets are the sheets of lyes and water, and of pairs of id and name.
func SoapSheets(t testing.TB, pairs ...string) []*ingredients.Sheet {
	t.Helper()
	var out []*ingredients.Sheet
	all := append(slices.Clone(lyeSheets), pairs...)
	for i := 0; i < len(all); i += 2 {
		out = append(out, Sheet(t, all[i], all[i+1], "100"))
	}
	return out
}

var lyeSheets = []string{"naoh", "Sodium Hydroxide", "koh", "Potassium Hydroxide", "water", "Aqua"}

// SoapProduct is a bar of the given fats, lye and water, in grams, with one part
// of scent and colour where asked.
func SoapProduct(t testing.TB, lye string, lines ...string) *formula.Product {
	t.Helper()
	p := WithFormula(t, formula.Grams, lines...)
	p.Saponify = &formula.Saponification{Alkali: strings.Split(lye, "+"),
		Pos: exact.Pos{File: "products/test.yaml", Line: 3, Col: 3}}
	return p
}

// ExactRange prints a range in full.
func ExactRange(r exact.Range) [3]string {
	return [3]string{r.Min.Exact(), r.Typ.Exact(), r.Max.Exact()}
}

// Codes prints severity and code of each finding.
func Codes(fs []finding.Finding) []string {
	var out []string
	for _, f := range fs {
		out = append(out, f.Severity.String()+" "+f.Code)
	}
	return out
}

// Terms puts the summands of a finding into words.
func Terms(f finding.Finding) []string {
	var out []string
	for _, s := range f.Sum {
		out = append(out, wordstest.Term(s))
	}
	return out
}
