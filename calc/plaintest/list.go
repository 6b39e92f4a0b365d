package plaintest

import (
	"cmp"
	"math/big"
	"slices"
	"strings"
)

// listEntry is a name of the ingredient list.
type listEntry struct {
	Name   string
	pct    Span
	group  int // 0 sorted by content, 1 below it, 2 allergens below it, 3 colourants
	kind   string
	inside map[string][]int // Parts of each material it stands for
}

// List is Article 19(1)(g) step by step: by weight, what is below 1 % behind it,
// colourants last; fragrance as one word with the allergens to declare behind.
func (x *Run) List(allergens []Allergen) []listEntry {
	var entries []listEntry
	find := func(name, kind string) *listEntry {
		for i := range entries {
			if strings.EqualFold(entries[i].Name, name) && entries[i].kind == kind {
				return &entries[i]
			}
		}
		entries = append(entries, listEntry{Name: name, kind: kind, pct: Nothing(), inside: map[string][]int{}})
		return &entries[len(entries)-1]
	}
	for _, s := range x.Mixes[0].Shares {
		m := x.material(s.Material)
		if m.Scent != "" {
			e := find(m.Scent, "scent")
			e.pct = e.pct.plus(only(s.Pct))
			for i := range x.parts[m.Id] {
				if !slices.Contains(e.inside[m.Id], i) {
					e.inside[m.Id] = append(e.inside[m.Id], i)
				}
			}
			continue
		}
		for i, p := range x.parts[m.Id] {
			name, kind := x.name(p.Name), "ingredient"
			switch {
			case p.unknown:
				name, kind = "["+name+"]", "undeclared"
			case strings.HasPrefix(name, "CI "):
				kind = "colourant"
			}
			e := find(name, kind)
			e.pct = e.pct.plus(p.pct.Times(Over(s.Pct, Q(100, 1))))
			if !slices.Contains(e.inside[m.Id], i) {
				e.inside[m.Id] = append(e.inside[m.Id], i)
			}
		}
	}
	for _, a := range allergens {
		known := slices.ContainsFunc(entries, func(e listEntry) bool { return strings.EqualFold(e.Name, a.Label) })
		if !known && (a.Verdict == "declare" || a.Verdict == "open") {
			e := find(a.Label, "allergen")
			e.pct = a.Whole
		}
	}
	one := x.book.fact("order-threshold")
	for i := range entries {
		e := &entries[i]
		switch below := e.pct.Ty.Cmp(one) < 0; {
		case e.kind == "colourant":
			e.group = 3
		case below && e.kind == "allergen":
			e.group = 2
		case below:
			e.group = 1
		}
	}
	slices.SortStableFunc(entries, func(a, b listEntry) int {
		byContent := b.pct.Ty.Cmp(a.pct.Ty)
		if a.group == 3 {
			byContent = 0
		}
		return cmp.Or(cmp.Compare(a.group, b.group), byContent, strings.Compare(a.Name, b.Name))
	})
	return entries
}

// openPair is a pair of neighbours that may stand the other way round.
type openPair struct {
	First, Second string
	Least         Rat
}

// Open finds, for each pair of neighbours, the smallest first − second that any
// composition within the papers gives.
func (x *Run) Open(entries []listEntry) []openPair {
	var out []openPair
	for i := 1; i < len(entries); i++ {
		a, b := entries[i-1], entries[i]
		if b.group == 3 || b.pct.Hi.Cmp(x.book.fact("order-threshold")) < 0 {
			continue
		}
		low := new(big.Rat)
		for _, e := range []listEntry{a, b} { // a declared allergen varies on its own
			switch {
			case e.kind != "allergen":
			case e.Name == a.Name:
				low = Plus(low, e.pct.Lo)
			default:
				low = Minus(low, e.pct.Hi)
			}
		}
		seen := map[string]bool{}
		for _, s := range x.Mixes[0].Shares {
			if seen[s.Material] || a.inside[s.Material] == nil && b.inside[s.Material] == nil {
				continue
			}
			seen[s.Material] = true
			weight := make([]int64, len(x.parts[s.Material]))
			for _, k := range a.inside[s.Material] {
				weight[k]++
			}
			for _, k := range b.inside[s.Material] {
				weight[k]--
			}
			low = Plus(low, Percent(lowest(x.parts[s.Material], weight), x.Mixes[0].Use(s.Material)))
		}
		if low.Sign() < 0 {
			out = append(out, openPair{a.Name, b.Name, low})
		}
	}
	return out
}

// lowest is the smallest Σ weight × content over all contents within their
// bounds that add up to 100. By the duality of linear programmes it is the
// Highest value, over all prices of a per cent of content, of
//
//	100 × price + Σ (weight − price) × the bound that makes it smallest
//
// and a best price is among the weights. TestLowestAtEveryCorner tries the
// corners of the programme itself.
func lowest(parts []Part, weight []int64) Rat {
	var best Rat
	for _, price := range []int64{-1, 0, 1} {
		sum := Q(100*price, 1)
		for i, p := range parts {
			w := Q(weight[i]-price, 1)
			sum = Plus(sum, least(Times(w, p.pct.Lo), Times(w, p.pct.Hi)))
		}
		if best == nil || sum.Cmp(best) > 0 {
			best = sum
		}
	}
	return best
}
