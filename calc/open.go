package calc

import (
	"cmp"
	"slices"

	"gallipot/ingredients"
)

// openPairs tests each neighbouring pair of the printed list.
//
// A pair is open when the second could be more than the first and at least what the order is fixed from, 1 %.
// Testing neighbours is enough: if every one is at least its successor whenever
// that successor can reach 1 %, then so is every earlier one.
func openPairs(entries []ListEntry, mix Mixture, materials map[string]*Material, sortedFrom ingredients.Num) []OpenPair {
	uses := useOf(mix)
	var open []OpenPair
	for i := 1; i < len(entries); i++ {
		a, b := entries[i-1], entries[i]
		if b.Kind == EntryColourant || b.Pct.Max.Less(sortedFrom) {
			continue
		}
		if pair, ok := openPair(a, b, uses, materials); ok {
			open = append(open, pair)
		}
	}
	return open
}

// use is how much of one material a mixture holds, over all its lines.
type use struct {
	ingredient string
	pct        ingredients.Num
}

// useOf adds up lines of the same material: its composition is the same in all
// of them, so they vary together.
func useOf(mix Mixture) []use {
	uses := make([]use, 0, len(mix.Shares))
	for _, s := range mix.Shares {
		i := slices.IndexFunc(uses, func(u use) bool { return u.ingredient == s.Ingredient })
		if i < 0 {
			uses = append(uses, use{ingredient: s.Ingredient})
			i = len(uses) - 1
		}
		uses[i].pct = uses[i].pct.Add(s.Pct)
	}
	return uses
}

// openPair finds the smallest possible a − b, exactly.
//
// Each material is a small linear programme of its own: contents between their
// bounds that add up to 100, of which those of a count +1, those of b −1 and the
// others 0. It is solved by giving the room above the lower bounds first to −1,
// then to 0, then to +1.
func openPair(a, b ListEntry, uses []use, materials map[string]*Material) (OpenPair, bool) {
	least := rangeBeside(a).Min.Sub(rangeBeside(b).Max)
	type slack struct {
		ingredient string
		pct        ingredients.Num // how far its ranges pull the difference below the typical one
	}
	var pulls []slack
	for _, u := range uses {
		m := materials[u.ingredient]
		if m == nil || a.from[u.ingredient] == nil && b.from[u.ingredient] == nil {
			continue
		}
		low, typical := leastDifference(m, a.from[u.ingredient], b.from[u.ingredient])
		least = least.Add(low.Pct(u.pct))
		if d := typical.Sub(low).Pct(u.pct); d.Sign() > 0 {
			pulls = append(pulls, slack{u.ingredient, d})
		}
	}
	if least.Sign() >= 0 {
		return OpenPair{}, false
	}
	slices.SortStableFunc(pulls, func(x, y slack) int {
		if c := y.pct.Cmp(x.pct); c != 0 {
			return c
		}
		return cmp.Compare(x.ingredient, y.ingredient)
	})
	pair := OpenPair{First: a.Name, Second: b.Name, LeastPct: least}
	for _, p := range pulls {
		if least.Add(p.pct).Sign() >= 0 { // known exactly, it would settle the order alone
			pair.Materials = append(pair.Materials, p.ingredient)
		}
	}
	if len(pair.Materials) > 0 {
		return pair, true
	}
	for _, p := range pulls {
		pair.Materials = append(pair.Materials, p.ingredient)
	}
	pair.Together = true
	return pair, true
}

// rangeBeside is the content of an entry that no material's sum of 100 ties: a
// declared allergen varies inside its material on its own.
func rangeBeside(e ListEntry) ingredients.Range {
	if e.Kind == EntryAllergen {
		return e.Pct
	}
	return ingredients.Range{}
}

// leastDifference returns the smallest and the typical Σ content(plus) − Σ
// content(minus) of one material, in % of it.
func leastDifference(m *Material, plus, minus []int) (least, typical ingredients.Num) {
	weight := make([]int, len(m.Parts))
	for _, i := range plus {
		weight[i]++
	}
	for _, i := range minus {
		weight[i]--
	}
	left := hundred
	for i, p := range m.Parts {
		left = left.Sub(p.Pct.Min)
		w := ingredients.Int(int64(weight[i]))
		least = least.Add(p.Pct.Min.Mul(w))
		typical = typical.Add(p.Pct.Typ.Mul(w))
	}
	for w := -1; w <= 1; w++ {
		for i, p := range m.Parts {
			if weight[i] != w {
				continue
			}
			take := left.Min(p.Pct.Max.Sub(p.Pct.Min)).Max(ingredients.Num{})
			left = left.Sub(take)
			least = least.Add(take.Mul(ingredients.Int(int64(w))))
		}
	}
	return least, typical
}
