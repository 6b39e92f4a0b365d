package formula_test

import (
	"encoding/csv"
	"fmt"
	"math/big"
	"math/rand/v2"
	"os"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law"
	"gallipot/calc/law/condition"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/calc/masses"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
)

func made(t testing.TB, ingredient, portion, planned, g string) masses.MadeLine {
	t.Helper()
	l := masses.MadeLine{Ingredient: ingredient, Portion: portion, G: formulatest.Num(t, g)}
	if planned != "" {
		l.PlannedG = formulatest.Ptr(formulatest.Num(t, planned))
	}
	return l
}

// rawTable reads a table as text.
func rawTable(t testing.TB, name string) []map[string]string {
	t.Helper()
	f, err := os.Open("../law/data/" + name)
	require.NoError(t, err)
	defer f.Close()
	records, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	var rows []map[string]string
	for _, r := range records[1:] {
		row := map[string]string{}
		for i, c := range records[0] {
			row[c] = r[i]
		}
		rows = append(rows, row)
	}
	return rows
}

// rawLimits reads the table as text: the plain implementation below shares no
// reader, no index and no sum code with the engine.
func rawLimits(t testing.TB) []map[string]string {
	t.Helper()
	return rawTable(t, "limits.csv")
}

// plainUse is one substance of a generated product.
type plainUse struct {
	name     string
	cas      []string
	function string // in the words of the conditions
	scent    bool   // a scent brings it in: whether it is natural is not known
	pct      *big.Rat
}

// plainProduct is a generated product: pure materials in water.
type plainProduct struct {
	kind   string
	market rows.Market
	day    string
	ages   string
	uses   []plainUse
	// counted is told what was added up for a row, where it is not nil
}

var plainFunctions = map[string]string{"preservative": "preservative", "other": "emollient", "fragrance": "fragrance", "uv-filter": "UV filter", "ph-adjuster": "pH adjuster", "peroxide-stabiliser": "peroxide stabiliser", "colourant": "colourant"}

// plainJudge says whether a row holds for a use: date, market, condition.
func plainJudge(row map[string]string, p plainProduct, u plainUse) law.Verdict {
	market := "EU"
	if p.market == rows.GB {
		market = "GB"
	}
	if !slices.Contains(strings.Split(row["market"], "+"), market) || row["applies_from"] > p.day || row["applies_until"] != "" && row["applies_until"] < p.day {
		return law.DoesNot
	}
	if row["replaced_from"] != "" && row["replaced_from"] <= p.day && slices.Contains(strings.Split(row["replaced_in"], "+"), market) {
		return law.DoesNot
	}
	c := plainCondition(row["condition"])
	pt, _ := law.ProductType(table.Builtin(), p.kind)
	s := law.SituationOf(pt)
	ages, _ := law.AgesOf(p.ages)
	if s.Ages != nil {
		ages = law.Ages{From: min(ages.From, s.Ages.From), To: max(ages.To, s.Ages.To)}
	}
	s.Ages, s.Professional, s.Nano, s.Massive, s.Natural, s.RefiningKnown = &ages, law.No, law.No, law.No, law.No, law.Unknown
	s.Functions, s.FunctionsKnown = []string{u.function}, true
	if u.scent {
		s.Natural = law.Unknown
	}
	v := law.JudgeCondition(c, s).Verdict
	switch other := v == law.Holds; { // purposes and forms beside the condition leave a row open
	case other && row["only_form"] != "",
		other && row["annex"] == "V" && u.function == "fragrance" && !strings.Contains(row["condition"], "function="),
		other && row["annex"] == "VI" && u.function != "uv-filter":
		return law.Undecided
	}
	return v
}

var plainConditions sync.Map // text → law.Condition

func plainCondition(text string) condition.Condition {
	if c, ok := plainConditions.Load(text); ok {
		return c.(condition.Condition)
	}
	c, err := condition.Parse(text)
	if err != nil {
		panic(err)
	}
	plainConditions.Store(text, c)
	return c
}

// plainSkip names rows whose limit is not the content of a substance.
func plainSkip(row map[string]string) bool { return row["counts"] != "" || row["annex"] == "IV" }

// plainPool lists names of substances that a generated product may hold.
func plainPool(rows []map[string]string, dict *ingredients.Dictionary) []plainUse {
	var pool []plainUse
	seen := map[string]bool{}
	for _, r := range rows {
		if plainSkip(r) || r["class"] != "" {
			continue
		}
		for n := range strings.SplitSeq(r["inci_names"], ";") {
			n = strings.TrimSpace(n)
			sub := dict.Lookup(n)
			if sub == nil || sub.INCI != n || seen[n] || formula.IsBotanical(table.Builtin(), n) || formula.IsCI(n) || strings.Contains(n, "(") || strings.Contains(n, " and ") || strings.Contains(n, "preparations") {
				continue
			}
			seen[n] = true
			pool = append(pool, plainUse{name: n, cas: sub.CAS})
		}
	}
	return pool
}

// generate makes a product of a few substances, two of them often from one sum
// group, with contents around the figures of their rows.
func generate(r *rand.Rand, tableRows []map[string]string, pool []plainUse, groups [][]plainUse) plainProduct {
	types := law.ProductTypes(table.Builtin())
	p := plainProduct{kind: types[r.IntN(len(types))].Key, market: rows.EU,
		day:  []string{"2024-06-01", "2026-05-01", "2026-11-25", "2027-01-01", "2028-01-01"}[r.IntN(5)],
		ages: []string{"adults", "children-3-plus", "under-3"}[r.IntN(3)]}
	if r.IntN(2) == 0 {
		p.market = rows.GB
	}
	from := pool
	if r.IntN(2) == 0 {
		from = groups[r.IntN(len(groups))]
	}
	seen := map[string]bool{}
	for range 1 + r.IntN(4) {
		u := from[r.IntN(len(from))]
		if r.IntN(4) == 0 {
			u = pool[r.IntN(len(pool))]
		}
		if seen[u.name] {
			continue
		}
		seen[u.name] = true
		u.function = []string{"preservative", "other", "fragrance", "uv-filter", "ph-adjuster", "peroxide-stabiliser"}[r.IntN(6)]
		u.pct = around(r, tableRows, u)
		p.uses = append(p.uses, u)
	}
	return p
}

// around picks a content at, just above, or somewhere near a figure of a row
// that names the substance, at most 20 %.
func around(r *rand.Rand, rows []map[string]string, u plainUse) *big.Rat {
	var figures []string
	for _, row := range rows {
		if row["max_pct"] != "" && row["max_pct"] != "0" && slices.Contains(strings.Split(row["inci_names"], ";"), u.name) {
			figures = append(figures, row["max_pct"])
		}
	}
	pct := big.NewRat(1, 10)
	if len(figures) > 0 {
		pct, _ = new(big.Rat).SetString(figures[r.IntN(len(figures))])
	}
	pct = new(big.Rat).Mul(pct, []*big.Rat{big.NewRat(1, 3), big.NewRat(1, 2), big.NewRat(9, 10), big.NewRat(1, 1), big.NewRat(1001, 1000), big.NewRat(13, 10), big.NewRat(2, 1)}[r.IntN(7)])
	if pct.Cmp(big.NewRat(20, 1)) > 0 {
		return big.NewRat(20, 1)
	}
	return pct
}

// input turns a generated product into the engine's input; scale multiplies the
// content of one substance.
func (p plainProduct) input(t testing.TB, scaled int, scale *big.Rat) (*formula.Input, []*formula.Composition) {
	t.Helper()
	tables := table.Builtin()
	pt, _ := law.ProductType(tables, p.kind)
	day, err := exact.ParseDate(p.day)
	require.NoError(t, err)
	no := false
	product := &formula.Product{ID: "generated", IntendedFor: formula.Audience(p.ages), Professional: &no, Formula: formula.Formula{Basis: formula.Percent, Phases: []formula.Phase{{ID: "A"}}}}
	byID := map[string]*ingredients.Sheet{"water": formulatest.Material(t, "water", "solvent", "Aqua", "100")}
	add := func(id string, amount exact.Num, rest bool) {
		line := formula.Line{Ingredient: id, Amount: amount, Rest: rest, Pos: exact.Pos{File: "products/generated.yaml", Line: 10 + len(byID), Col: 5}}
		product.Formula.Phases[0].Lines = append(product.Formula.Phases[0].Lines, line)
	}
	add("water", exact.Num{}, true)
	for i, u := range p.uses {
		id := fmt.Sprintf("m%d", i)
		byID[id] = formulatest.Material(t, id, plainFunctions[u.function], u.name, "100")
		byID[id].Form = "powder"
		pct := u.pct
		if i == scaled {
			pct = new(big.Rat).Mul(pct, scale)
		}
		add(id, exact.Frac(pct.Num().Int64(), pct.Denom().Int64()), false)
	}
	dict := tables.Dictionary()
	in := &formula.Input{Product: product, Variant: &formula.Variant{}, Type: pt, Sheets: byID, Materials: formula.PrepareAll(byID, dict), Market: p.market, Date: day, Session: formulatest.Session(tables)}
	recipe, _ := formula.Resolve(product, in.Variant, exact.Int(0))
	var comps []*formula.Composition
	for _, mix := range recipe.Mixtures() {
		comps = append(comps, formula.Compose(mix, in.Materials))
	}
	return in, comps
}

// poolGroups gathers the pool by sum group.
func poolGroups(rows []map[string]string, pool []plainUse) [][]plainUse {
	var names []string
	by := map[string][]plainUse{}
	for _, r := range rows {
		for _, u := range pool {
			if r["sum_group"] != "" && slices.Contains(strings.Split(r["inci_names"], ";"), u.name) {
				if by[r["sum_group"]] == nil {
					names = append(names, r["sum_group"])
				}
				by[r["sum_group"]] = append(by[r["sum_group"]], u)
			}
		}
	}
	var out [][]plainUse
	for _, n := range names {
		out = append(out, by[n])
	}
	return out
}

// deltas compares a range with three figures worked by hand.
func deltas(t testing.TB, low, middle, high float64, got exact.Range, what string) {
	t.Helper()
	assert.InDelta(t, low, got.Min.Float(), 1e-4, what+", lowest")
	assert.InDelta(t, middle, got.Typ.Float(), 1e-4, what+", middle")
	assert.InDelta(t, high, got.Max.Float(), 1e-4, what+", highest")
}
