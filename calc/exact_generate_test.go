package calc

import (
	"maps"
	"math/big"
	"math/rand/v2"
	"slices"
	"strings"

	"gallipot/calc/law"
	"gallipot/ingredients"
)

// exactGenerator makes formulas. What it makes depends on the seed alone.
type exactGenerator struct {
	*rand.Rand
	book      *exactBook
	limited   []plainUse
	groups    [][]plainUse
	toxic     []string
	allergens []string
	fats      []string
	kinds     []string
	others    map[string][]string // other names of a substance
	c         *exactCase
	functions map[string]string // what each limited substance of the case is for
}

func newExactGenerator(b *exactBook) *exactGenerator {
	g := &exactGenerator{book: b, limited: plainPool(b.limits, b.dict), others: map[string][]string{}}
	g.limited = slices.DeleteFunc(g.limited, func(u plainUse) bool { return b.isGuide(u.name) })
	g.groups = poolGroups(b.limits, g.limited)
	for _, r := range b.tox {
		for n := range strings.SplitSeq(r["inci"], ";") {
			if n = strings.TrimSpace(n); n != "" && b.dict.Canonical(n) == n && len(b.limitsOf(n)) == 0 && !isBotanical(law.Builtin(), n) && !isCI(n) && !b.isGuide(n) {
				g.toxic = append(g.toxic, n)
			}
		}
	}
	for _, r := range b.allergens {
		n := r["label_name"]
		if r["botanical"] != "yes" && r["prohibited"] != "yes" && b.dict.Canonical(n) == n && !isBotanical(law.Builtin(), n) && !slices.Contains(g.allergens, n) {
			g.allergens = append(g.allergens, n)
		}
	}
	for _, r := range b.fats {
		if !strings.Contains(r["inci"], " / ") && b.dict.Canonical(r["inci"]) == r["inci"] && r["sv_min_mg_koh_g"] != "" && !b.numberOfAllergen(r["inci"]) && !slices.Contains(g.fats, r["inci"]) {
			g.fats = append(g.fats, r["inci"])
		}
	}
	for _, synonym := range slices.Sorted(maps.Keys(b.synonyms)) {
		if s := b.dict.Lookup(synonym); s != nil && s.INCI == b.synonyms[synonym] {
			g.others[s.INCI] = append(g.others[s.INCI], synonym)
		}
	}
	for _, p := range law.Builtin().ProductTypes() {
		g.kinds = append(g.kinds, p.Key)
	}
	return g
}

func (g *exactGenerator) chance(of int) bool { return g.IntN(of) == 0 }

func pick[T any](g *exactGenerator, list []T) T { return list[g.IntN(len(list))] }

// generate makes the case of a seed.
func (g *exactGenerator) generate(seed uint64) *exactCase {
	g.Rand = rand.New(rand.NewPCG(seed, 1223))
	c := &exactCase{seed: seed, kind: pick(g, g.kinds), market: pick(g, []string{"EU", "GB"}), ages: pick(g, []string{"adults", "adults", "children-3-plus", "under-3"}),
		day:  pick(g, []string{"2024-06-01", "2026-05-01", "2026-11-25", "2026-11-25", "2027-01-01", "2028-08-02"}),
		fill: map[string][]exactFill{}}
	g.c, g.functions = c, map[string]string{}
	c.materials = []*exactMaterial{{id: "water", function: "other", complete: true, parts: []exactPart{{name: "Aqua", text: "100", pct: only(q(100, 1))}}}}
	if g.chance(8) {
		g.soap()
	} else {
		for i := range 1 + g.IntN(4) {
			g.blend("m" + itoa(i))
		}
	}
	for i := range g.IntN(4) {
		g.scent("fo-" + itoa(i))
	}
	g.formula()
	g.ownExposure()
	g.weighing()
	return c
}

// amount writes a content near a point of the composition, in one of the ways
// that papers have, so that the point stays within it. Steps are tenths.
func (g *exactGenerator) amount(tenths int) exactPart {
	at := q(int64(tenths), 10)
	switch g.IntN(8) {
	case 0:
		d := g.IntN(tenths/2 + 2)
		lo, hi := q(int64(max(tenths-d, 0)), 10), q(int64(min(tenths+g.IntN(tenths/2+2), 1000)), 10)
		return exactPart{text: text(lo) + "-" + text(hi), pct: span{lo, over(plus(lo, hi), q(2, 1)), hi}}
	case 1:
		hi := q(int64(min(2*tenths, 1000)), 10)
		return exactPart{text: "<" + text(hi), pct: span{new(big.Rat), over(hi, q(2, 1)), hi}}
	case 2:
		lo := q(int64(tenths-g.IntN(tenths/2+1)), 10)
		if lo.Sign() > 0 {
			return exactPart{text: ">=" + text(lo), pct: span{lo, over(plus(lo, q(100, 1)), q(2, 1)), q(100, 1)}}
		}
	case 3:
		if tenths < 100 {
			return exactPart{text: text(times(at, q(10_000, 1))) + " ppm", pct: only(at)}
		}
	}
	return exactPart{text: text(at), pct: only(at)}
}

// text writes a number that ends as a decimal.
func text(r rat) string {
	n, exact := r.FloatPrec()
	if !exact {
		panic("no decimal: " + r.String())
	}
	return r.FloatString(n)
}

// split cuts 1000 tenths into parts.
func (g *exactGenerator) split(n int) []int {
	out, left := make([]int, n), 1000
	for i := range n - 1 {
		out[i] = 1 + g.IntN(max(1, (left-(n-i))*[]int{1, 3, 10}[g.IntN(3)]/10))
		left -= out[i]
	}
	out[n-1] = left
	return out
}

// substance names a part of a material with a function.
func (g *exactGenerator) substance(function string) string {
	switch g.IntN(4) {
	case 0, 1:
		u := pick(g, g.limited)
		if g.chance(2) {
			u = pick(g, pick(g, g.groups))
		}
		if f := g.functions[u.name]; f == "" || f == function {
			g.functions[u.name] = function
			return u.name
		}
	case 2:
		return pick(g, g.toxic)
	}
	if g.chance(20) {
		return "Invented Ester" // a name that no table has
	}
	return pick(g, carriers)
}

// carriers are names without a row in the table of limits, save colourants.
var carriers = []string{"Aqua", "Aqua", "CI 77491", "CI 77492", "Squalane", "Isopropyl Myristate", "Decyl Glucoside", "Betaine", "Panthenol", "Sorbitan Olivate",
	"Lecithin", "Mica", "Silica", "Erythritol"}

func (g *exactGenerator) blend(id string) {
	m := &exactMaterial{id: id, function: pick(g, []string{"preservative", "other", "other", "fragrance", "uv-filter", "ph-adjuster"}), complete: !g.chance(5)}
	points := g.split(1 + g.IntN(4))
	for _, tenths := range points {
		name := g.substance(m.function)
		for slices.ContainsFunc(m.parts, func(p exactPart) bool { return g.book.same(p.name, name) }) {
			name = pick(g, carriers)
		}
		p := g.amount(tenths)
		p.name = g.alias(name)
		m.parts = append(m.parts, p)
	}
	last := &m.parts[len(m.parts)-1]
	switch {
	case m.complete && g.chance(2):
		last.rest, last.text, last.pct = true, "q.s.", nothing()
	case !m.complete && len(m.parts) > 1:
		m.parts = m.parts[:len(m.parts)-1]
	}
	g.extras(m)
	if m.function == "fragrance" {
		g.declare(m)
		g.certify(m)
	}
	g.c.materials = append(g.c.materials, m)
}

// alias sometimes returns another name of a substance.
func (g *exactGenerator) alias(name string) string {
	if others := g.others[name]; len(others) > 0 && g.chance(4) {
		return pick(g, others)
	}
	return name
}

// extras adds traces and toxicological values.
func (g *exactGenerator) extras(m *exactMaterial) {
	if g.chance(4) {
		t := g.amount(1 + g.IntN(20))
		t.name = pick(g, []string{"Invented Residue", m.parts[0].name})
		m.traces = append(m.traces, t)
	}
	if !g.chance(2) {
		return
	}
	number := func(most int) rat { return q(int64(1+g.IntN(most)), 10) }
	v := exactTox{name: pick(g, m.parts).name, replaces: g.chance(2), kind: pick(g, []string{"NOAEL", "NOAEL", "LOAEL", "BMDL10", "ADI", ""}),
		study: pick(g, []string{"rat, 90 days", "rat, 28 days", "rabbit, dermal, 90 days"})}
	if v.kind != "" {
		v.value = number(5000)
	} else {
		v.cramer = pick(g, []string{"I", "II", "III"})
	}
	if g.chance(3) {
		v.dermal = number(1000)
	}
	if g.chance(3) {
		v.oral = number(1000)
	}
	if g.chance(6) {
		v.area = number(100)
	}
	m.tox = append(m.tox, v)
}

func (g *exactGenerator) scent(id string) {
	m := &exactMaterial{id: id, scent: pick(g, []string{"Parfum", "Parfum", "Parfum", "Aroma"})}
	if g.chance(3) {
		p := g.amount(1 + g.IntN(400))
		p.name = pick(g, g.allergens)
		if f := g.functions[p.name]; f == "" || f == "fragrance" {
			g.functions[p.name] = "fragrance"
			m.parts = append(m.parts, p)
		}
	}
	g.declare(m)
	g.certify(m)
	g.c.materials = append(g.c.materials, m)
}

func (g *exactGenerator) declare(m *exactMaterial) {
	m.list = pick(g, []string{"", ingredients.List2003, ingredients.List2023, ingredients.List2023})
	if m.list == "" {
		return
	}
	for range g.IntN(6) {
		name := pick(g, g.allergens)
		if f := g.functions[name]; f != "" && f != "fragrance" || slices.ContainsFunc(m.declared, func(p exactPart) bool { return p.name == name }) {
			continue
		}
		g.functions[name] = "fragrance"
		d := g.amount(1 + g.IntN(100))
		d.name = name
		m.declared = append(m.declared, d)
	}
}

func (g *exactGenerator) certify(m *exactMaterial) {
	m.certificate = pick(g, []string{"", "figure", "figure", "figure", "closed", "open"})
	if m.certificate == "" {
		return
	}
	m.category = g.book.types[g.c.kind]["ifra_category"]
	switch g.IntN(6) {
	case 0:
		m.category = "3"
	case 1:
		m.category = strings.TrimRight(m.category, "ABCD")
	}
	m.limit = q(int64(1+g.IntN(500)), 100)
}

// formula writes the lines: water takes the rest, or is what is missing to the
// whole.
func (g *exactGenerator) formula() {
	c := g.c
	c.grams = g.chance(3)
	left := q(100, 1)
	if c.grams {
		left = q(int64(pick(g, []int{300, 700, 1000, 1234})), pick(g, []int64{1, 3, 7}))
	}
	whole := left
	var free []exactFill
	for _, m := range c.materials[1:] {
		if m.scent != "" {
			free = append(free, exactFill{material: m.id})
		}
	}
	take := func(permille int) rat {
		a := over(times(whole, q(int64(permille), 1)), q(1000, 1))
		if a.Cmp(over(left, q(2, 1))) > 0 {
			a = over(left, q(2, 1))
		}
		left = minus(left, a)
		return a
	}
	var lines []exactLine
	for _, m := range c.materials[1:] {
		if m.scent == "" {
			lines = append(lines, exactLine{material: m.id, amount: take(1 + g.IntN([]int{5, 30, 400}[g.IntN(3)]))})
		}
	}
	for _, slot := range []string{"one", "two"}[:g.IntN(3)] {
		if len(free) > 0 {
			lines = append(lines, exactLine{slot: slot, amount: take(1 + g.IntN(30))})
		}
	}
	water := exactLine{material: "water", amount: left}
	if !c.grams && g.chance(2) || !c.grams && c.soap != nil {
		water.rest, water.amount = true, new(big.Rat)
	}
	c.lines = append([]exactLine{water}, lines...)
	if len(free) > 0 {
		g.fills(free)
	}
	if g.chance(6) && c.soap == nil {
		c.then = append(c.then, exactFill{pick(g, c.materials).id, q(int64(1+g.IntN(50)), 7)})
	}
}

func (g *exactGenerator) fills(free []exactFill) {
	c := g.c
	one := func() []exactFill {
		if g.chance(3) {
			third := q(100, 3)
			return []exactFill{{pick(g, free).material, third}, {pick(g, free).material, minus(q(100, 1), third)}}
		}
		return []exactFill{{pick(g, free).material, q(100, 1)}}
	}
	for _, slot := range []string{"one", "two"} {
		if !g.chance(4) {
			c.fill[slot] = one()
		}
	}
	if !g.chance(3) {
		return
	}
	for _, share := range pick(g, [][]rat{{q(60, 1), q(40, 1)}, {q(100, 3), q(200, 3)}, {q(100, 7), q(200, 7), q(400, 7)}}) {
		p := exactPortion{share: share, fill: map[string][]exactFill{}}
		for _, slot := range []string{"one", "two"} {
			if g.chance(2) {
				p.fill[slot] = one()
			}
		}
		c.portions = append(c.portions, p)
	}
}

func (g *exactGenerator) ownExposure() {
	if !g.chance(3) {
		return
	}
	tenths := func(most int) rat { return q(int64(1+g.IntN(most)), 10) }
	o := &exactOwn{}
	switch g.IntN(3) {
	case 0:
		o.relative = tenths(3000)
	case 1:
		o.amount = tenths(200)
	}
	if g.chance(2) {
		o.retention = tenths(1000)
	}
	if g.chance(4) {
		o.weight = tenths(700)
	}
	if g.chance(4) {
		o.area = q(int64(1+g.IntN(17500)), 1)
	}
	if g.chance(4) {
		o.perDay = tenths(40)
	}
	g.c.own = o
}

func (g *exactGenerator) weighing() {
	g.c.batch = q(int64(1+g.IntN(50_000)), pick(g, []int64{1, 3, 10}))
	g.c.division = pick(g, []rat{q(1, 10), q(1, 1), q(1, 2), q(1, 100)})
	if g.chance(2) {
		g.c.fine, g.c.fineMost = over(g.c.division, q(10, 1)), q(int64(1+g.IntN(300)), 1)
	}
}

// soap makes fats and lye; the water is the first line of the formula.
func (g *exactGenerator) soap() {
	c := g.c
	c.soap = &exactSoap{alkali: pick(g, []string{"Sodium Hydroxide", "Potassium Hydroxide"}), loss: q(int64(g.IntN(12)), 1)}
	c.kind = "bar-soap"
	for i := range 1 + g.IntN(3) {
		c.materials = append(c.materials, &exactMaterial{id: "fat-" + itoa(i), function: "other", complete: true,
			parts: []exactPart{{name: pick(g, g.fats), text: "100", pct: only(q(100, 1))}}})
	}
	c.materials = append(c.materials, &exactMaterial{id: "lye", function: "other", complete: true,
		parts: []exactPart{{name: c.soap.alkali, text: "97-99", pct: span{q(97, 1), q(98, 1), q(99, 1)}}, {name: "Aqua", text: "q.s.", rest: true, pct: nothing()}}})
}
