package formulatest

import (
	"fmt"
	"math/big"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/calc/law/condition"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/calc/plaintest"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
)

// PlainFunctions are functions in the words of conditions, as sheets word them.
var PlainFunctions = map[string]string{
	"preservative": "preservative", "other": "emollient", "fragrance": "fragrance", "uv-filter": "UV filter",
	"ph-adjuster": "pH adjuster", "peroxide-stabiliser": "peroxide stabiliser", "colourant": "colourant",
}

// PlainKinds are the product types, in the order of the table.
func PlainKinds() (kinds []string) {
	for _, p := range law.ProductTypes(table.Builtin()) {
		kinds = append(kinds, p.Key)
	}
	return kinds
}

// PlainAsked answers what the second calculation asks of others.
func PlainAsked() plaintest.Asked {
	t := table.Builtin()
	var read sync.Map // text → condition
	return plaintest.Asked{
		Names: t.Dictionary(),
		Judge: func(text string, p plaintest.Product, u plaintest.Use) plaintest.Verdict {
			c, known := read.Load(text)
			if !known {
				parsed, err := condition.Parse(text)
				if err != nil {
					panic(err)
				}
				c, _ = read.LoadOrStore(text, parsed)
			}
			switch judged(t, c.(condition.Condition), p, u) {
			case law.Holds:
				return plaintest.RowHolds
			case law.DoesNot:
				return plaintest.RowDoesNot
			}
			return plaintest.RowOpen
		},
		Plant:  func(n string) bool { return formula.IsBotanical(t, n) },
		Colour: formula.IsCI,
	}
}

func judged(t *table.Tables, c condition.Condition, p plaintest.Product, u plaintest.Use) law.Verdict {
	pt, _ := law.ProductType(t, p.Kind)
	s := law.SituationOf(pt)
	ages, _ := law.AgesOf(p.Ages)
	if s.Ages != nil {
		ages = law.Ages{From: min(ages.From, s.Ages.From), To: max(ages.To, s.Ages.To)}
	}
	s.Ages, s.Professional, s.Nano, s.Massive = &ages, law.No, law.No, law.No
	s.Natural, s.RefiningKnown = law.No, law.Unknown
	s.Functions, s.FunctionsKnown = []string{u.Function}, true
	if u.Scent {
		s.Natural = law.Unknown
	}
	return law.JudgeCondition(c, s).Verdict
}

// PlainInput turns a generated product into the program's input, with the
// composition of each mixture; scale multiplies the content of the use at scaled,
// and -1 of none.
func PlainInput(t testing.TB, p plaintest.Product, scaled int,
	scale *big.Rat) (*formula.Input, []*formula.Composition) {
	t.Helper()
	tables := table.Builtin()
	pt, _ := law.ProductType(tables, p.Kind)
	day, err := exact.ParseDate(p.Day)
	require.NoError(t, err)
	no := false
	product := &formula.Product{ID: "generated", IntendedFor: formula.Audience(p.Ages), Professional: &no,
		Formula: formula.Formula{Basis: formula.Percent, Phases: []formula.Phase{{ID: "A"}}}}
	byID := map[string]*ingredients.Sheet{"water": Material(t, "water", "solvent", "Aqua", "100")}
	add := func(id string, amount exact.Num, rest bool) {
		at := exact.Pos{File: "products/generated.yaml", Line: 10 + len(byID), Col: 5}
		lines := &product.Formula.Phases[0].Lines
		*lines = append(*lines, formula.Line{Ingredient: id, Amount: amount, Rest: rest, Pos: at})
	}
	add("water", exact.Num{}, true)
	for i, u := range p.Uses {
		id := fmt.Sprintf("m%d", i)
		byID[id] = Material(t, id, PlainFunctions[u.Function], u.Name, "100")
		byID[id].Form = "powder"
		pct := u.Pct
		if i == scaled {
			pct = new(big.Rat).Mul(pct, scale)
		}
		add(id, exact.Frac(pct.Num().Int64(), pct.Denom().Int64()), false)
	}
	in := &formula.Input{Product: product, Variant: &formula.Variant{}, Type: pt, Sheets: byID,
		Materials: formula.PrepareAll(byID,
			tables.Dictionary()), Market: rows.Market(p.Market), Date: day, Session: Session(tables)}
	recipe, _ := formula.Resolve(product, in.Variant, exact.Int(0))
	var comps []*formula.Composition
	for _, mix := range recipe.Mixtures() {
		comps = append(comps, formula.Compose(mix, in.Materials))
	}
	return in, comps
}
