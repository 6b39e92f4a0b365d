package limits

import (
	"encoding/csv"
	"fmt"
	"math/big"
	"os"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law"
	"gallipot/calc/law/condition"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/dossier/words"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

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

var plainNamed sync.Map // row and name → bool

// plainNames says whether a row names a substance, by name or number.
func plainNames(row map[string]string, u plainUse, dict *ingredients.Dictionary) bool {
	key := [2]string{row["key"], u.name}
	is, ok := plainNamed.Load(key)
	if !ok {
		is = findPlainName(row, u, dict)
		plainNamed.Store(key, is)
	}
	return is.(bool)
}

func findPlainName(row map[string]string, u plainUse, dict *ingredients.Dictionary) bool {
	for n := range strings.SplitSeq(row["inci_names"], ";") {
		n = strings.TrimSpace(n)
		if strings.EqualFold(n, u.name) || dict.Lookup(n) != nil && dict.Lookup(n) == dict.Lookup(u.name) {
			return true
		}
	}
	for c := range strings.SplitSeq(row["cas"], ";") {
		if slices.Contains(u.cas, strings.TrimSpace(c)) {
			return true
		}
	}
	return false
}

var plainFactors sync.Map // row and name → *big.Rat

// plainFactor is the mass factor of a substance in a basis, nil where none is
// known.
func plainFactor(rows []map[string]string, row map[string]string, name string) *big.Rat {
	key := row["key"] + "|" + name
	f, ok := plainFactors.Load(key)
	if !ok {
		f = findPlainFactor(rows, row, name)
		plainFactors.Store(key, f)
	}
	return f.(*big.Rat)
}

func findPlainFactor(rows []map[string]string, row map[string]string, name string) *big.Rat {
	one := big.NewRat(1, 1)
	if row["counted_as"] == "" || row["whole"] == "yes" {
		return one
	}
	if f := plainIn(row["factors"], name); f != nil {
		return f
	}
	var best *big.Rat
	for _, r := range rows {
		if r["counted_as"] != row["counted_as"] {
			continue
		}
		if f := plainIn(r["factors"], name); f != nil && (best == nil || best.Cmp(f) < 0) {
			best = f
		}
	}
	if best != nil {
		return best
	}
	for as := range strings.SplitSeq(row["counted_as"], ";") {
		if end, ok := strings.CutPrefix(as, "*"); ok && strings.HasSuffix(strings.ToLower(name), end) || strings.EqualFold(as, name) {
			return one
		}
	}
	return nil
}

// plainIn reads a factor of a name from a cell name|form|factor;…, the highest
// of several forms.
func plainIn(factors, name string) *big.Rat {
	var best *big.Rat
	for item := range strings.SplitSeq(factors, ";") {
		p := strings.Split(item, "|")
		if len(p) != 3 || !strings.EqualFold(p[0], name) && !strings.EqualFold(p[0]+" ("+p[1]+")", name) {
			continue
		}
		if f, _ := new(big.Rat).SetString(p[2]); best == nil || best.Cmp(f) < 0 {
			best = f
		}
	}
	return best
}

// plainSkip names rows whose limit is not the content of a substance.
func plainSkip(row map[string]string) bool { return row["counts"] != "" || row["annex"] == "IV" }

func plainEach(rows []map[string]string, row map[string]string, p plainProduct, u plainUse, dict *ingredients.Dictionary) string {
	switch v := plainJudge(row, p, u); {
	case v == law.DoesNot:
		return "not applicable"
	case v == law.Undecided:
		return ""
	case row["max_pct"] == "":
		return "no figure"
	}
	if row["max_pct"] == "0" {
		for _, e := range strings.Split(row["excepted"], ";") {
			for _, other := range rows {
				if other["annex"]+"/"+other["entry"] != e || other["max_pct"] == "0" || !plainNames(other, u, dict) {
					continue
				}
				if v := plainJudge(other, p, u); v == law.Holds {
					return "not applicable"
				} else if v == law.Undecided {
					return ""
				}
			}
		}
		return "exceeded"
	}
	f := plainFactor(rows, row, u.name)
	if f == nil {
		return ""
	}
	amount := new(big.Rat).Mul(u.pct, f)
	if p.counted != nil {
		p.counted(row["key"]+"|"+u.name, amount)
	}
	return plainCompare(amount, row["max_pct"], false)
}

func plainCompare(amount *big.Rat, limit string, strict bool) string {
	l, _ := new(big.Rat).SetString(limit)
	if c := amount.Cmp(l); c > 0 || strict && c == 0 {
		return "exceeded"
	}
	return "kept"
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

// rowProduct is a product in which a row holds, or may hold, with a content just
// above its figure.
func rowProduct(row map[string]string) plainProduct {
	name, _, _ := strings.Cut(row["inci_names"], ";")
	pct := big.NewRat(1, 10)
	if f, ok := new(big.Rat).SetString(row["max_pct"]); ok && f.Sign() > 0 {
		pct = new(big.Rat).Mul(f, big.NewRat(101, 100))
	}
	if pct.Cmp(big.NewRat(50, 1)) > 0 {
		pct = big.NewRat(50, 1)
	}
	p := plainProduct{market: rows.EU, day: max(row["applies_from"], "2026-11-25"), ages: "under-3"}
	if !strings.Contains(row["market"], "EU") {
		p.market = rows.GB
	}
	if row["applies_until"] != "" {
		p.day = row["applies_until"]
	}
	best := law.DoesNot
	for _, function := range []string{"preservative", "fragrance", "uv-filter", "ph-adjuster", "other", "colourant"} {
		u := plainUse{name: name, function: function, pct: pct}
		for _, kind := range law.ProductTypes(table.Builtin()) {
			try := p
			try.kind, try.uses = kind.Key, []plainUse{u}
			v := plainJudge(row, try, u)
			if best == law.DoesNot || v == law.Holds && best != law.Holds {
				best = v
				p.kind, p.uses = try.kind, try.uses
			}
			if best == law.Holds {
				return p
			}
		}
	}
	return p
}

// rowText puts what a finding rests on into words.
func rowText(source finding.Values) string {
	return words.Term(source[0].Text, source[0].List, words.Terminal)
}
