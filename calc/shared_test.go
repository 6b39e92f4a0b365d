package calc

import (
	"math/big"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc/exposure"
	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
	"gallipot/testdata/testrun"
)

func TestMain(m *testing.M) { testrun.Main(m) }

type rat = *big.Rat

func q(n, d int64) rat { return big.NewRat(n, d) }

func plus(all ...rat) rat {
	sum := new(big.Rat)
	for _, a := range all {
		sum.Add(sum, a)
	}
	return sum
}

func minus(a, b rat) rat { return new(big.Rat).Sub(a, b) }

func times(all ...rat) rat {
	p := q(1, 1)
	for _, a := range all {
		p.Mul(p, a)
	}
	return p
}

func least(a, b rat) rat {
	if b.Cmp(a) < 0 {
		return b
	}
	return a
}

// span is a content between bounds, with a typical value.
type span struct{ lo, ty, hi rat }

// exactPart is a content of a sheet as typed, and what that text means.
type exactPart struct {
	pct span
}

const today = 20261125

// limitCase is a product of water and a few materials.
type limitCase struct {
	product  string
	market   rows.Market
	day      int
	audience formula.Audience
	change   func(*formula.Product)
}

// of assesses the product with pairs of sheet and amount.
func (c limitCase) of(t testing.TB, parts ...any) *Result {
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
func findingsOf(r *Result, code string) []finding.Finding {
	var out []finding.Finding
	for _, f := range r.Findings {
		if f.Code == code {
			out = append(out, f)
		}
	}
	return out
}

// findingOf returns the one finding with a code, which must be there.
func findingOf(t testing.TB, r *Result, code string) finding.Finding {
	t.Helper()
	fs := findingsOf(r, code)
	require.Len(t, fs, 1, "%s in %v", code, formulatest.Codes(r.Findings))
	return fs[0]
}

// job computes a product of water and one material that is one substance.
func job(t testing.TB, productType, pct string, m *ingredients.Sheet, o *formula.OwnExposure) *Result {
	t.Helper()
	p := formulatest.WithFormula(t, formula.Percent, "water", "q.s.", m.ID, pct)
	p.IntendedFor, p.Exposure = formula.Adults, o
	return assessed(t, p, &formula.Variant{}, productType, rows.EU, 20261125, m,
		formulatest.Sheet(t, "water", "Aqua", "100"))
}

func foundBy(r *Result, code string) []finding.Finding {
	var fs []finding.Finding
	for _, f := range r.Findings {
		if f.Code == code {
			fs = append(fs, f)
		}
	}
	return fs
}

// marginOf returns the margin of a substance.
func marginOf(t testing.TB, r *Result, inci string) *exposure.Margin {
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
func assessed(t testing.TB, p *formula.Product, v *formula.Variant, productType string, market rows.Market,
	day int, sheets ...*ingredients.Sheet) *Result {
	t.Helper()
	tables := table.Builtin()
	pt, ok := law.ProductType(tables, productType)
	require.True(t, ok, productType)
	byID := map[string]*ingredients.Sheet{}
	for _, s := range sheets {
		byID[s.ID] = s
	}
	dict := tables.Dictionary()
	return Assess(&formula.Input{Product: p, Variant: v, Type: pt, Sheets: byID,
		Materials: formula.PrepareAll(byID, dict), Market: market,
		Date: exact.Date(day), Session: formulatest.Session(tables)})
}
