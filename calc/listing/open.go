package listing

import (
	"cmp"
	"slices"

	"gallipot/calc/formula"
	"gallipot/ingredients/exact"
)

// openPairs tests each neighbouring pair of the printed list.
//
// A pair is open when the second could be more than the first and at least what the order is fixed from, 1 %.
// Testing neighbours is enough: if every one is at least its successor whenever
// that successor can reach 1 %, then so is every earlier one.
func openPairs(entries []ListEntry, uses []formula.Use, materials map[string]*formula.Material,
	sortedFrom exact.Num) []OpenPair {
	var open []OpenPair
	var used map[string]exact.Num
	for i := 1; i < len(entries); i++ {
		a, b := &entries[i-1], &entries[i]
		if b.Kind == EntryColourant || b.Pct.Max.Less(sortedFrom) {
			continue
		}
		if used == nil {
			used = shares(uses)
		}
		if pair, ok := openPair(a, b, used, materials); ok {
			open = append(open, pair)
		}
	}
	return open
}

// shares are the shares of materials by their ids.
func shares(uses []formula.Use) map[string]exact.Num {
	used := make(map[string]exact.Num, len(uses))
	for _, u := range uses {
		used[u.Ingredient] = u.Pct
	}
	return used
}

// openPair finds the smallest possible a − b, exactly.
//
// Each material is a small linear programme of its own: contents between their
// bounds that add up to 100, of which those of a count +1, those of b −1 and the
// others 0. It is solved by giving the room above the lower bounds first to −1,
// then to 0, then to +1.
func openPair(a, b *ListEntry, used map[string]exact.Num,
	materials map[string]*formula.Material) (OpenPair, bool) {
	if settled(a, b) {
		return OpenPair{}, false
	}
	least := rangeBeside(a).Min.Sub(rangeBeside(b).Max)
	type slack struct {
		ingredient string
		pct        exact.Num // how far its ranges pull the difference below the typical one
	}
	var room [8]slack
	pulls := room[:0]
	pull := func(id string, ofA, ofB []int) {
		m := materials[id]
		if m == nil {
			return
		}
		low, typical := leastDifference(m, ofA, ofB)
		least = least.Add(low.Pct(used[id]))
		if d := typical.Sub(low).Pct(used[id]); d.Sign() > 0 {
			pulls = append(pulls, slack{id, d})
		}
	}
	for _, f := range a.From {
		pull(f.Ingredient, f.Parts, b.Of(f.Ingredient))
	}
	for _, f := range b.From {
		if a.Of(f.Ingredient) == nil {
			pull(f.Ingredient, nil, f.Parts)
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

// settled says whether the lowest content of the first is at least the highest of the second:
// no choice of contents between their bounds reaches below that. A scent has one content
// whatever those of its parts, which are what is chosen.
func settled(a, b *ListEntry) bool {
	return a.Kind != EntryScent && b.Kind != EntryScent && !a.Pct.Min.Less(b.Pct.Max)
}

// rangeBeside is the content of an entry that no material's sum of 100 ties: a
// declared allergen varies inside its material on its own.
func rangeBeside(e *ListEntry) exact.Range {
	if e.Kind == EntryAllergen {
		return e.Pct
	}
	return exact.Range{}
}

// leastDifference returns the smallest and the typical Σ content(plus) − Σ
// content(minus) of one material, in % of it.
func leastDifference(m *formula.Material, plus, minus []int) (least, typical exact.Num) {
	var room [32]int
	weight := room[:0]
	for range m.Parts {
		weight = append(weight, 0)
	}
	for _, i := range plus {
		weight[i]++
	}
	for _, i := range minus {
		weight[i]--
	}
	left := formula.Hundred
	for i := range m.Parts {
		p := &m.Parts[i]
		left = left.Sub(p.Pct.Min)
		w := exact.Int(int64(weight[i]))
		least = least.Add(p.Pct.Min.Mul(w))
		typical = typical.Add(p.Pct.Typ.Mul(w))
	}
	for w := -1; w <= 1; w++ {
		for i := range m.Parts {
			if weight[i] != w {
				continue
			}
			p := &m.Parts[i]
			take := left.Min(p.Pct.Max.Sub(p.Pct.Min)).Max(exact.Num{})
			left = left.Sub(take)
			least = least.Add(take.Mul(exact.Int(int64(w))))
		}
	}
	return least, typical
}
