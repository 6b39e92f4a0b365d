package calc

import (
	"cmp"
	"math/big"
	"slices"
	"strings"
)

// exactRun is the plain calculation of one case.
type exactRun struct {
	*exactCase
	book  *exactBook
	mixes []exactMix
	parts map[string][]exactPart // of each material, tightened
	// content of each mixture by name
	content []map[string]*exactContent
	soaps   []*exactMaterial
}

func (x *exactRun) material(id string) *exactMaterial {
	for _, m := range x.soaps {
		if m.id == id {
			return m
		}
	}
	return x.exactCase.material(id)
}

// name is the one name that all names of a substance have.
func (x *exactRun) name(typed string) string {
	if n, ok := x.book.synonyms[strings.ToLower(typed)]; ok {
		return n
	}
	return typed
}

func newExactRun(c *exactCase, book *exactBook) *exactRun {
	x := &exactRun{exactCase: c, book: book, mixes: c.mixtures(), parts: map[string][]exactPart{}}
	for _, m := range c.materials {
		x.parts[m.id] = m.tightened()
	}
	if c.soap != nil {
		x.react()
	}
	for _, m := range x.mixes {
		x.content = append(x.content, x.contents(m))
	}
	return x
}

// worst is the content in the mixture with the highest one, the whole first.
func (x *exactRun) worst(of func(i int) span) (span, string) {
	worst, where := of(0), ""
	for i := 1; i < len(x.mixes); i++ {
		if s := of(i); s.hi.Cmp(worst.hi) > 0 {
			worst, where = s, x.mixes[i].name
		}
	}
	return worst, where
}

func (x *exactRun) total(name string) func(i int) span {
	return func(i int) span {
		if e := x.content[i][name]; e != nil {
			return e.total
		}
		return nothing()
	}
}

// exactEntry is a name of the ingredient list.
type exactEntry struct {
	name   string
	pct    span
	group  int // 0 sorted by content, 1 below it, 2 allergens below it, 3 colourants
	kind   string
	inside map[string][]int // parts of each material it stands for
}

// list is Article 19(1)(g) step by step: by weight, what is below 1 % behind it,
// colourants last; fragrance as one word with the allergens to declare behind.
func (x *exactRun) list(allergens []exactAllergen) []exactEntry {
	var entries []exactEntry
	find := func(name, kind string) *exactEntry {
		for i := range entries {
			if strings.EqualFold(entries[i].name, name) && entries[i].kind == kind {
				return &entries[i]
			}
		}
		entries = append(entries, exactEntry{name: name, kind: kind, pct: nothing(), inside: map[string][]int{}})
		return &entries[len(entries)-1]
	}
	for _, s := range x.mixes[0].shares {
		m := x.material(s.material)
		if m.scent != "" {
			e := find(m.scent, "scent")
			e.pct = e.pct.plus(only(s.pct))
			for i := range x.parts[m.id] {
				if !slices.Contains(e.inside[m.id], i) {
					e.inside[m.id] = append(e.inside[m.id], i)
				}
			}
			continue
		}
		for i, p := range x.parts[m.id] {
			name, kind := x.name(p.name), "ingredient"
			switch {
			case p.unknown:
				name, kind = "["+name+"]", "undeclared"
			case strings.HasPrefix(name, "CI "):
				kind = "colourant"
			}
			e := find(name, kind)
			e.pct = e.pct.plus(p.pct.times(over(s.pct, q(100, 1))))
			if !slices.Contains(e.inside[m.id], i) {
				e.inside[m.id] = append(e.inside[m.id], i)
			}
		}
	}
	for _, a := range allergens {
		known := slices.ContainsFunc(entries, func(e exactEntry) bool { return strings.EqualFold(e.name, a.label) })
		if !known && (a.verdict == "declare" || a.verdict == "open") {
			e := find(a.label, "allergen")
			e.pct = a.whole
		}
	}
	one := x.book.fact("order-threshold")
	for i := range entries {
		e := &entries[i]
		switch below := e.pct.ty.Cmp(one) < 0; {
		case e.kind == "colourant":
			e.group = 3
		case below && e.kind == "allergen":
			e.group = 2
		case below:
			e.group = 1
		}
	}
	slices.SortStableFunc(entries, func(a, b exactEntry) int {
		byContent := b.pct.ty.Cmp(a.pct.ty)
		if a.group == 3 {
			byContent = 0
		}
		return cmp.Or(cmp.Compare(a.group, b.group), byContent, strings.Compare(a.name, b.name))
	})
	return entries
}

// exactOpen is a pair of neighbours that may stand the other way round.
type exactOpen struct {
	first, second string
	least         rat
}

// open finds, for each pair of neighbours, the smallest first − second that any
// composition within the papers gives.
func (x *exactRun) open(entries []exactEntry) []exactOpen {
	var out []exactOpen
	for i := 1; i < len(entries); i++ {
		a, b := entries[i-1], entries[i]
		if b.group == 3 || b.pct.hi.Cmp(x.book.fact("order-threshold")) < 0 {
			continue
		}
		low := new(big.Rat)
		for _, e := range []exactEntry{a, b} { // a declared allergen varies on its own
			switch {
			case e.kind != "allergen":
			case e.name == a.name:
				low = plus(low, e.pct.lo)
			default:
				low = minus(low, e.pct.hi)
			}
		}
		seen := map[string]bool{}
		for _, s := range x.mixes[0].shares {
			if seen[s.material] || a.inside[s.material] == nil && b.inside[s.material] == nil {
				continue
			}
			seen[s.material] = true
			weight := make([]int64, len(x.parts[s.material]))
			for _, k := range a.inside[s.material] {
				weight[k]++
			}
			for _, k := range b.inside[s.material] {
				weight[k]--
			}
			low = plus(low, percent(lowest(x.parts[s.material], weight), x.mixes[0].use(s.material)))
		}
		if low.Sign() < 0 {
			out = append(out, exactOpen{a.name, b.name, low})
		}
	}
	return out
}

// lowest is the smallest Σ weight × content over all contents within their
// bounds that add up to 100. By the duality of linear programmes it is the
// highest value, over all prices of a per cent of content, of
//
//	100 × price + Σ (weight − price) × the bound that makes it smallest
//
// and a best price is among the weights. TestLowestAtEveryCorner tries the
// corners of the programme itself.
func lowest(parts []exactPart, weight []int64) rat {
	var best rat
	for _, price := range []int64{-1, 0, 1} {
		sum := q(100*price, 1)
		for i, p := range parts {
			w := q(weight[i]-price, 1)
			sum = plus(sum, least(times(w, p.pct.lo), times(w, p.pct.hi)))
		}
		if best == nil || sum.Cmp(best) > 0 {
			best = sum
		}
	}
	return best
}

// exactAllergen is a label name of the market's list.
type exactAllergen struct {
	key, label, where, verdict string
	whole, worst               span
	threshold                  rat
}

// allergens adds up each label name and compares it with the threshold for the
// kind of product. Source: Annex III, fragrance allergen entries: named when its
// concentration exceeds 0.001 % in leave-on and 0.01 % in rinse-off products.
func (x *exactRun) allergens() []exactAllergen {
	var out []exactAllergen
	limit := q(1, 1000)
	if x.book.types[x.kind]["rinse_off"] == "yes" {
		limit = q(1, 100)
	}
	sums := make([]map[int]span, len(x.mixes)) // by row
	for i, content := range x.content {
		sums[i] = map[int]span{}
		for name, e := range content {
			for _, at := range x.book.allergensOf(name) {
				if have, ok := sums[i][at]; ok {
					sums[i][at] = have.plus(e.total)
				} else {
					sums[i][at] = e.total
				}
			}
		}
	}
	for at, row := range x.book.allergens {
		if row["market"] != x.market || row["prohibited"] == "yes" || row["applies_from"] > x.day {
			continue
		}
		a := exactAllergen{key: row["key"], label: row["label_name"], threshold: limit}
		sum := func(i int) span {
			if s, ok := sums[i][at]; ok {
				return s
			}
			return nothing()
		}
		a.whole = sum(0)
		a.worst, a.where = x.worst(sum)
		silent := new(big.Rat)
		for _, m := range x.materials {
			if (m.scent != "" || m.function == "fragrance" || m.list != "" || x.isPlantEntry(m)) && (m.list == "" || m.list == "2003-15" && row["regime"] != "2003-list") && x.mixes[0].use(m.id).Sign() > 0 {
				use := new(big.Rat)
				for _, mix := range x.mixes {
					use = most(use, mix.use(m.id))
				}
				if use.Cmp(limit) > 0 {
					silent = plus(silent, use)
				}
			}
		}
		switch {
		case a.worst.lo.Cmp(limit) > 0:
			a.verdict = "declare"
		case a.worst.hi.Cmp(limit) > 0:
			a.verdict = "open"
		case silent.Sign() > 0:
			a.verdict = "unstated"
		case a.worst.hi.Sign() == 0:
			continue
		default:
			a.verdict = "below"
		}
		out = append(out, a)
	}
	return out
}

// isPlantEntry says whether an oil or extract in a material is an entry of the
// list itself: its allergens have to be declared too.
func (x *exactRun) isPlantEntry(m *exactMaterial) bool {
	return slices.ContainsFunc(x.parts[m.id], func(p exactPart) bool {
		return slices.ContainsFunc(x.book.allergensOf(x.name(p.name)), func(at int) bool {
			row := x.book.allergens[at]
			return row["botanical"] == "yes" && row["market"] == x.market && row["prohibited"] != "yes" && row["applies_from"] <= x.day
		})
	})
}

// exactScent is the use of a scent against its certificate.
type exactScent struct {
	material, where, status string
	use, ratio              rat
}

// scents compares the highest use of each with its certificate, and adds the
// shares of the limits that each mixture uses up.
func (x *exactRun) scents() (uses []exactScent, sums []rat) {
	for range x.mixes {
		sums = append(sums, new(big.Rat))
	}
	for _, m := range x.materials {
		if x.mixes[0].use(m.id).Sign() == 0 || m.scent == "" && m.function != "fragrance" && m.certificate == "" {
			continue
		}
		u := exactScent{material: m.id}
		share, where := x.worst(func(i int) span { return only(x.mixes[i].use(m.id)) })
		u.use, u.where = share.hi, where
		category := x.book.types[x.kind]["ifra_category"]
		covered := m.category == category || m.category != "" && m.category == strings.TrimRight(category, "ABCD")
		switch {
		case m.certificate == "":
			u.status = "no certificate"
		case !covered:
			u.status = "not covered"
		case m.certificate == "closed":
			u.status = "not permitted"
		case m.certificate == "open":
			u.status = "no limit"
		default:
			u.ratio = over(u.use, m.limit)
			u.status = "kept"
			if u.ratio.Cmp(q(1, 1)) > 0 {
				u.status = "exceeded"
			}
			for i, mix := range x.mixes {
				sums[i] = plus(sums[i], over(mix.use(m.id), m.limit))
			}
		}
		uses = append(uses, u)
	}
	return uses, sums
}
