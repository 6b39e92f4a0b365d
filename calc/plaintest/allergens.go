package plaintest

import (
	"math/big"
	"slices"
)

// Allergen is a label name of the market's list.
type Allergen struct {
	key, Label, Where, Verdict string
	Whole, Worst               Span
	Threshold                  Rat
}

// Allergens adds up each label name and compares it with the threshold for the
// Kind of product. Source: Annex III, fragrance allergen entries: named when its
// concentration exceeds 0.001 % in leave-on and 0.01 % in rinse-off products.
func (x *Run) Allergens() []Allergen {
	var out []Allergen
	limit := Q(1, 1000)
	if x.book.types[x.Kind]["rinse_off"] == "yes" {
		limit = Q(1, 100)
	}
	sums := make([]map[int]Span, len(x.Mixes)) // by row
	for i, content := range x.Content {
		sums[i] = map[int]Span{}
		for name, e := range content {
			for _, at := range x.book.allergensOf(name) {
				if have, ok := sums[i][at]; ok {
					sums[i][at] = have.plus(e.Total)
				} else {
					sums[i][at] = e.Total
				}
			}
		}
	}
	for at, row := range x.book.allergens {
		if row["market"] != x.Market || row["prohibited"] == "yes" || row["applies_from"] > x.Day {
			continue
		}
		a := Allergen{key: row["key"], Label: row["label_name"], Threshold: limit}
		sum := func(i int) Span {
			if s, ok := sums[i][at]; ok {
				return s
			}
			return Nothing()
		}
		a.Whole = sum(0)
		a.Worst, a.Where = x.Worst(sum)
		silent := new(big.Rat)
		for _, m := range x.Materials {
			if (m.Scent != "" || m.Function == "fragrance" || m.List != "" || x.isPlantEntry(m)) &&
				(m.List == "" || m.List == "2003-15" && row["regime"] != "2003-list") &&
				x.Mixes[0].Use(m.Id).Sign() > 0 {
				use := new(big.Rat)
				for _, mix := range x.Mixes {
					use = most(use, mix.Use(m.Id))
				}
				if use.Cmp(limit) > 0 {
					silent = Plus(silent, use)
				}
			}
		}
		switch {
		case a.Worst.Lo.Cmp(limit) > 0:
			a.Verdict = "declare"
		case a.Worst.Hi.Cmp(limit) > 0:
			a.Verdict = "open"
		case silent.Sign() > 0:
			a.Verdict = "unstated"
		case a.Worst.Hi.Sign() == 0:
			continue
		default:
			a.Verdict = "below"
		}
		out = append(out, a)
	}
	return out
}

// isPlantEntry says whether an oil or extract in a material is an entry of the
// List itself: its allergens have to be declared too.
func (x *Run) isPlantEntry(m *Material) bool {
	return slices.ContainsFunc(x.parts[m.Id], func(p Part) bool {
		return slices.ContainsFunc(x.book.allergensOf(x.name(p.Name)), func(at int) bool {
			row := x.book.allergens[at]
			return row["botanical"] == "yes" && row["market"] == x.Market && row["prohibited"] != "yes" &&
				row["applies_from"] <= x.Day
		})
	})
}
