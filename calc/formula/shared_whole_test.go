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

	"gallipot/calc"
	"gallipot/calc/exposure"
	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/calc/listing"
	"gallipot/calc/masses"
	"gallipot/dossier/words"
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

// rawTable reads a table as text.
func rawTable(t testing.TB, name string) []map[string]string {
	t.Helper()
	f, err := os.Open("../law/table/data/" + name)
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
	counted func(key string, amount *big.Rat)
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

func plainCondition(text string) table.Condition {
	if c, ok := plainConditions.Load(text); ok {
		return c.(table.Condition)
	}
	c, err := table.Parse(text)
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
	byID := map[string]*ingredients.Sheet{"water": material(t, "water", "solvent", "Aqua", "100")}
	add := func(id string, amount exact.Num, rest bool) {
		line := formula.Line{Ingredient: id, Amount: amount, Rest: rest, Pos: exact.Pos{File: "products/generated.yaml", Line: 10 + len(byID), Col: 5}}
		product.Formula.Phases[0].Lines = append(product.Formula.Phases[0].Lines, line)
	}
	add("water", exact.Num{}, true)
	for i, u := range p.uses {
		id := fmt.Sprintf("m%d", i)
		byID[id] = material(t, id, plainFunctions[u.function], u.name, "100")
		byID[id].Form = "powder"
		pct := u.pct
		if i == scaled {
			pct = new(big.Rat).Mul(pct, scale)
		}
		add(id, exact.Frac(pct.Num().Int64(), pct.Denom().Int64()), false)
	}
	dict := tables.Dictionary()
	in := &formula.Input{Product: product, Variant: &formula.Variant{}, Type: pt, Sheets: byID, Materials: formula.PrepareAll(byID, dict), Market: p.market, Date: day, Session: testSession(tables)}
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

// one material of one substance.
func pure(t testing.TB, functions, name string) *ingredients.Sheet {
	t.Helper()
	return material(t, ingredients.NameKey(name), functions, name, "100")
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

type noColours struct{}

func (noColours) ColourName(inci string, _ []string) (string, bool) { return inci, formula.IsCI(inci) }

func (noColours) IsSubstrate(string) bool { return false }

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

// said puts a finding into the words of the table, for tests of what is said.
func said(f finding.Finding) *words.Said {
	s := words.Say(&f, words.Terminal)
	return &s
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
	p.Saponify = &formula.Saponification{Alkali: []string{"KOH"}, WaterLossPct: num(t, "20"), Pos: exact.Pos{File: "products/test.yaml", Line: 3, Col: 3},
		Values: []formula.OwnSV{{Ingredient: "oil", MgKOH: exact.Range{Min: exact.Int(180), Typ: exact.Int(200), Max: exact.Int(220)}}}}
	if change != nil {
		change(p, oil)
	}
	return assessed(t, p, &formula.Variant{}, "bar-soap", rows.GB, 20261125, append(sheets, scentSheet("fo"))...)
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

func exactRange(r exact.Range) [3]string {
	return [3]string{r.Min.Exact(), r.Typ.Exact(), r.Max.Exact()}
}

func ptr(n exact.Num) *exact.Num { return &n }
