package calc

import (
	"fmt"
	"math/big"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law"
	"gallipot/ingredients"
)

// slowAllergens is the rule of the allergen entries taken word by word, on
// big.Rat and without any of the program's own arithmetic: for every entry add
// up, over all raw materials, what is declared of any of its members, and name
// the entry when the sum exceeds the threshold for the kind of product.
//
// Source: Regulation (EC) 1223/2009 Annex III, fragrance allergen entries: "when
// its concentration exceeds 0.001 % in leave-on and 0.01 % in rinse-off".
func slowAllergens(rows []*law.Allergen, use map[string]*big.Rat, sheets []*ingredients.Sheet, rinseOff bool) map[string]string {
	verdicts := map[string]string{}
	for _, row := range rows {
		low, high := new(big.Rat), new(big.Rat)
		for _, s := range sheets {
			for _, d := range s.Allergens.Declared {
				if !slowMember(row, d.Name) {
					continue
				}
				low.Add(low, slowShare(use[s.ID], d.Pct.Min))
				high.Add(high, slowShare(use[s.ID], d.Pct.Max))
			}
		}
		if high.Sign() == 0 {
			continue
		}
		limit := big.NewRat(1, 1000)
		if rinseOff {
			limit = big.NewRat(1, 100)
		}
		switch {
		case low.Cmp(limit) > 0:
			verdicts[row.LabelName] = "declare"
		case high.Cmp(limit) > 0:
			verdicts[row.LabelName] = "open"
		default:
			verdicts[row.LabelName] = "below"
		}
	}
	return verdicts
}

func slowMember(row *law.Allergen, name string) bool {
	if strings.EqualFold(row.LabelName, name) {
		return true
	}
	for _, m := range row.Members {
		if strings.EqualFold(m.Name, name) {
			return true
		}
	}
	return false
}

func slowShare(use *big.Rat, pct ingredients.Num) *big.Rat {
	r, _ := new(big.Rat).SetString(pct.Exact())
	r.Mul(r, use)
	return r.Quo(r, big.NewRat(100, 1))
}

// Names whose entries hold several members, and some that hold one.
var slowNames = []string{"Linalool", "Limonene", "Citral", "Geraniol", "Coumarin", "Pinene", "Vanillin", "Eugenol", "Linalyl Acetate", "Camphor", "Hexyl Cinnamal", "Benzyl Benzoate"}

func TestAllergensAgainstTheRuleStepByStep(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 8))
	for round := range 300 {
		market, day := law.EU, ingredients.Date(20261125)
		if round%3 == 0 {
			market = law.GB
		}
		productType := "body-butter"
		if round%2 == 0 {
			productType = "shower-gel"
		}
		lines := []string{"base", "q.s."}
		all := []*ingredients.Sheet{sheet(t, "base", "Squalane", "100")}
		use := map[string]*big.Rat{}
		var scents []*ingredients.Sheet
		for i := range 1 + rng.IntN(4) {
			id := fmt.Sprintf("fo-%d", i)
			pct := ingredients.Frac(int64(1+rng.IntN(200)), 100)
			var pairs []string
			for _, name := range slowNames {
				if rng.IntN(2) == 0 {
					continue
				}
				// contents on a grid where totals often fall exactly on the threshold
				text := ingredients.Frac(int64(1+rng.IntN(60)), 20).Exact()
				if rng.IntN(4) == 0 {
					text = "<" + text
				}
				pairs = append(pairs, name, text)
			}
			s := declared(t, scentSheet(id), ingredients.List2023, pairs...)
			scents, all = append(scents, s), append(all, s)
			lines = append(lines, id, pct.Exact())
			use[id], _ = new(big.Rat).SetString(pct.Exact())
		}
		r := assessed(t, formula(t, Percent, lines...), &Variant{}, productType, market, int(day), all...)
		want := slowAllergens(law.Builtin().Allergens(market, day), use, scents, productType == "shower-gel")
		got := map[string]string{}
		for name, v := range totals(r) {
			got[name] = v[2]
		}
		require.Equal(t, want, got)
	}
}
