package plaintest

import (
	"maps"
	"math/big"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"

	"gallipot/ingredients"
)

// Generator makes formulas. What it makes depends on the seed alone.
type Generator struct {
	*rand.Rand
	Book      *tableBook
	limited   []Use
	groups    [][]Use
	toxic     []string
	allergens []string
	fats      []string
	kinds     []string
	others    map[string][]string // other names of a substance
	c         *Case
	functions map[string]string // what each limited substance of the case is for
}

func NewGenerator(b *tableBook) *Generator {
	g := &Generator{Book: b, limited: b.rules.Pool(b.limits), others: map[string][]string{}}
	g.limited = slices.DeleteFunc(g.limited, func(u Use) bool { return b.isGuide(u.Name) })
	g.groups = Groups(b.limits, g.limited)
	for _, r := range b.tox {
		for n := range strings.SplitSeq(r["inci"], ";") {
			if n = strings.TrimSpace(n); n != "" && b.dict.Canonical(n) == n && len(b.limitsOf(n)) == 0 &&
				!b.rules.Plant(n) && !b.rules.Colour(n) && !b.isGuide(n) {
				g.toxic = append(g.toxic, n)
			}
		}
	}
	for _, r := range b.allergens {
		n := r["label_name"]
		if r["botanical"] != "yes" && r["prohibited"] != "yes" && b.dict.Canonical(n) == n && !b.rules.Plant(n) &&
			!slices.Contains(g.allergens, n) {
			g.allergens = append(g.allergens, n)
		}
	}
	for _, r := range b.fats {
		if !strings.Contains(r["inci"], " / ") && b.dict.Canonical(r["inci"]) == r["inci"] &&
			r["sv_min_mg_koh_g"] != "" && !b.numberOfAllergen(r["inci"]) && !slices.Contains(g.fats, r["inci"]) {
			g.fats = append(g.fats, r["inci"])
		}
	}
	for _, synonym := range slices.Sorted(maps.Keys(b.synonyms)) {
		if s := b.dict.Lookup(synonym); s != nil && s.INCI == b.synonyms[synonym] {
			g.others[s.INCI] = append(g.others[s.INCI], synonym)
		}
	}
	g.kinds = b.kinds
	return g
}

func (g *Generator) chance(of int) bool { return g.IntN(of) == 0 }

func pick[T any](g *Generator, list []T) T { return list[g.IntN(len(list))] }

// Generate makes the case of a seed.
func (g *Generator) Generate(seed uint64) *Case {
	g.Rand = rand.New(rand.NewPCG(seed, 1223))
	c := &Case{seed: seed, Kind: pick(g, g.kinds), Market: pick(g, []string{"EU", "GB"}),
		Ages: pick(g, []string{"adults", "adults", "children-3-plus", "under-3"}),
		Day:  pick(g, []string{"2024-06-01", "2026-05-01", "2026-11-25", "2026-11-25", "2027-01-01", "2028-08-02"}),
		Fill: map[string][]Fill{}}
	g.c, g.functions = c, map[string]string{}
	c.Materials = []*Material{{Id: "water", Function: "other", Complete: true,
		Parts: []Part{{Name: "Aqua", Text: "100", pct: only(Q(100, 1))}}}}
	if g.chance(8) {
		g.soap()
	} else {
		for i := range 1 + g.IntN(4) {
			g.blend("m" + strconv.Itoa(i))
		}
	}
	for i := range g.IntN(4) {
		g.scent("fo-" + strconv.Itoa(i))
	}
	g.formula()
	g.ownExposure()
	g.weighing()
	return c
}

// Amount writes a content near a point of the composition, in one of the ways
// that papers have, so that the point stays within it. Steps are tenths.
func (g *Generator) amount(tenths int) Part {
	at := Q(int64(tenths), 10)
	switch g.IntN(8) {
	case 0:
		d := g.IntN(tenths/2 + 2)
		lo, hi := Q(int64(max(tenths-d, 0)), 10), Q(int64(min(tenths+g.IntN(tenths/2+2), 1000)), 10)
		return Part{Text: text(lo) + "-" + text(hi), pct: Span{lo, Over(Plus(lo, hi), Q(2, 1)), hi}}
	case 1:
		hi := Q(int64(min(2*tenths, 1000)), 10)
		return Part{Text: "<" + text(hi), pct: Span{new(big.Rat), Over(hi, Q(2, 1)), hi}}
	case 2:
		lo := Q(int64(tenths-g.IntN(tenths/2+1)), 10)
		if lo.Sign() > 0 {
			return Part{Text: ">=" + text(lo), pct: Span{lo, Over(Plus(lo, Q(100, 1)), Q(2, 1)), Q(100, 1)}}
		}
	case 3:
		if tenths < 100 {
			return Part{Text: text(Times(at, Q(10_000, 1))) + " ppm", pct: only(at)}
		}
	}
	return Part{Text: text(at), pct: only(at)}
}

// Text writes a number that ends as a decimal.
func text(r Rat) string {
	n, exact := r.FloatPrec()
	if !exact {
		panic("no decimal: " + r.String())
	}
	return r.FloatString(n)
}

// split cuts 1000 tenths into parts.
func (g *Generator) split(n int) []int {
	out, left := make([]int, n), 1000
	for i := range n - 1 {
		out[i] = 1 + g.IntN(max(1, (left-(n-i))*[]int{1, 3, 10}[g.IntN(3)]/10))
		left -= out[i]
	}
	out[n-1] = left
	return out
}

// substance names a part of a material with a function.
func (g *Generator) substance(function string) string {
	switch g.IntN(4) {
	case 0, 1:
		u := pick(g, g.limited)
		if g.chance(2) {
			u = pick(g, pick(g, g.groups))
		}
		if f := g.functions[u.Name]; f == "" || f == function {
			g.functions[u.Name] = function
			return u.Name
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
var carriers = []string{"Aqua", "Aqua", "CI 77491", "CI 77492", "Squalane", "Isopropyl Myristate",
	"Decyl Glucoside", "Betaine", "Panthenol", "Sorbitan Olivate",
	"Lecithin", "Mica", "Silica", "Erythritol"}

func (g *Generator) blend(id string) {
	m := &Material{Id: id, Function: pick(g, []string{"preservative", "other", "other", "fragrance", "uv-filter",
		"ph-adjuster"}), Complete: !g.chance(5)}
	points := g.split(1 + g.IntN(4))
	for _, tenths := range points {
		name := g.substance(m.Function)
		for slices.ContainsFunc(m.Parts, func(p Part) bool { return g.Book.same(p.Name, name) }) {
			name = pick(g, carriers)
		}
		p := g.amount(tenths)
		p.Name = g.alias(name)
		m.Parts = append(m.Parts, p)
	}
	last := &m.Parts[len(m.Parts)-1]
	switch {
	case m.Complete && g.chance(2):
		last.rest, last.Text, last.pct = true, "q.s.", Nothing()
	case !m.Complete && len(m.Parts) > 1:
		m.Parts = m.Parts[:len(m.Parts)-1]
	}
	g.extras(m)
	if m.Function == "fragrance" {
		g.declare(m)
		g.certify(m)
	}
	g.c.Materials = append(g.c.Materials, m)
}

// alias sometimes returns another name of a substance.
func (g *Generator) alias(name string) string {
	if others := g.others[name]; len(others) > 0 && g.chance(4) {
		return pick(g, others)
	}
	return name
}

// extras adds traces and toxicological values.
func (g *Generator) extras(m *Material) {
	if g.chance(4) {
		t := g.amount(1 + g.IntN(20))
		t.Name = pick(g, []string{"Invented Residue", m.Parts[0].Name})
		m.Traces = append(m.Traces, t)
	}
	if !g.chance(2) {
		return
	}
	number := func(most int) Rat { return Q(int64(1+g.IntN(most)), 10) }
	v := toxValue{Name: pick(g, m.Parts).Name, Replaces: g.chance(2),
		Kind:  pick(g, []string{"NOAEL", "NOAEL", "LOAEL", "BMDL10", "ADI", ""}),
		Study: pick(g, []string{"rat, 90 days", "rat, 28 days", "rabbit, dermal, 90 days"})}
	if v.Kind != "" {
		v.Value = number(5000)
	} else {
		v.Cramer = pick(g, []string{"I", "II", "III"})
	}
	if g.chance(3) {
		v.Dermal = number(1000)
	}
	if g.chance(3) {
		v.Oral = number(1000)
	}
	if g.chance(6) {
		v.Area = number(100)
	}
	m.Tox = append(m.Tox, v)
}

func (g *Generator) scent(id string) {
	m := &Material{Id: id, Scent: pick(g, []string{"Parfum", "Parfum", "Parfum", "Aroma"})}
	if g.chance(3) {
		p := g.amount(1 + g.IntN(400))
		p.Name = pick(g, g.allergens)
		if f := g.functions[p.Name]; f == "" || f == "fragrance" {
			g.functions[p.Name] = "fragrance"
			m.Parts = append(m.Parts, p)
		}
	}
	g.declare(m)
	g.certify(m)
	g.c.Materials = append(g.c.Materials, m)
}

func (g *Generator) declare(m *Material) {
	m.List = pick(g, []string{"", ingredients.List2003, ingredients.List2023, ingredients.List2023})
	if m.List == "" {
		return
	}
	for range g.IntN(6) {
		name := pick(g, g.allergens)
		if f := g.functions[name]; f != "" && f != "fragrance" ||
			slices.ContainsFunc(m.Declared, func(p Part) bool { return p.Name == name }) {
			continue
		}
		g.functions[name] = "fragrance"
		d := g.amount(1 + g.IntN(100))
		d.Name = name
		m.Declared = append(m.Declared, d)
	}
}

func (g *Generator) certify(m *Material) {
	m.Certificate = pick(g, []string{"", "figure", "figure", "figure", "closed", "open"})
	if m.Certificate == "" {
		return
	}
	m.Category = g.Book.types[g.c.Kind]["ifra_category"]
	switch g.IntN(6) {
	case 0:
		m.Category = "3"
	case 1:
		m.Category = strings.TrimRight(m.Category, "ABCD")
	}
	m.Limit = Q(int64(1+g.IntN(500)), 100)
}

// formula writes the lines: water takes the rest, or is what is missing to the
// whole.
func (g *Generator) formula() {
	c := g.c
	c.Grams = g.chance(3)
	left := Q(100, 1)
	if c.Grams {
		left = Q(int64(pick(g, []int{300, 700, 1000, 1234})), pick(g, []int64{1, 3, 7}))
	}
	whole := left
	var free []Fill
	for _, m := range c.Materials[1:] {
		if m.Scent != "" {
			free = append(free, Fill{Material: m.Id})
		}
	}
	take := func(permille int) Rat {
		a := Over(Times(whole, Q(int64(permille), 1)), Q(1000, 1))
		if a.Cmp(Over(left, Q(2, 1))) > 0 {
			a = Over(left, Q(2, 1))
		}
		left = Minus(left, a)
		return a
	}
	var lines []formulaLine
	for _, m := range c.Materials[1:] {
		if m.Scent == "" {
			lines = append(lines, formulaLine{Material: m.Id, Amount: take(1 + g.IntN([]int{5, 30, 400}[g.IntN(3)]))})
		}
	}
	for _, slot := range []string{"one", "two"}[:g.IntN(3)] {
		if len(free) > 0 {
			lines = append(lines, formulaLine{Slot: slot, Amount: take(1 + g.IntN(30))})
		}
	}
	water := formulaLine{Material: "water", Amount: left}
	if !c.Grams && g.chance(2) || !c.Grams && c.Soap != nil {
		water.Rest, water.Amount = true, new(big.Rat)
	}
	c.Lines = append([]formulaLine{water}, lines...)
	if len(free) > 0 {
		g.fills(free)
	}
	if g.chance(6) && c.Soap == nil {
		c.Then = append(c.Then, Fill{pick(g, c.Materials).Id, Q(int64(1+g.IntN(50)), 7)})
	}
}

func (g *Generator) fills(free []Fill) {
	c := g.c
	one := func() []Fill {
		if g.chance(3) {
			third := Q(100, 3)
			return []Fill{{pick(g, free).Material, third}, {pick(g, free).Material, Minus(Q(100, 1), third)}}
		}
		return []Fill{{pick(g, free).Material, Q(100, 1)}}
	}
	for _, slot := range []string{"one", "two"} {
		if !g.chance(4) {
			c.Fill[slot] = one()
		}
	}
	if !g.chance(3) {
		return
	}
	for _, share := range pick(g, [][]Rat{{Q(60, 1), Q(40, 1)}, {Q(100, 3), Q(200, 3)},
		{Q(100, 7), Q(200, 7), Q(400, 7)}}) {
		p := onePortion{Share: share, Fill: map[string][]Fill{}}
		for _, slot := range []string{"one", "two"} {
			if g.chance(2) {
				p.Fill[slot] = one()
			}
		}
		c.Portions = append(c.Portions, p)
	}
}

func (g *Generator) ownExposure() {
	if !g.chance(3) {
		return
	}
	tenths := func(most int) Rat { return Q(int64(1+g.IntN(most)), 10) }
	o := &ownFigures{}
	switch g.IntN(3) {
	case 0:
		o.Relative = tenths(3000)
	case 1:
		o.Amount = tenths(200)
	}
	if g.chance(2) {
		o.Retention = tenths(1000)
	}
	if g.chance(4) {
		o.Weight = tenths(700)
	}
	if g.chance(4) {
		o.Area = Q(int64(1+g.IntN(17500)), 1)
	}
	if g.chance(4) {
		o.PerDay = tenths(40)
	}
	g.c.Own = o
}

func (g *Generator) weighing() {
	g.c.Batch = Q(int64(1+g.IntN(50_000)), pick(g, []int64{1, 3, 10}))
	g.c.Division = pick(g, []Rat{Q(1, 10), Q(1, 1), Q(1, 2), Q(1, 100)})
	if g.chance(2) {
		g.c.Fine, g.c.FineMost = Over(g.c.Division, Q(10, 1)), Q(int64(1+g.IntN(300)), 1)
	}
}

// Soap makes fats and lye; the water is the first line of the formula.
func (g *Generator) soap() {
	c := g.c
	c.Soap = &soapMaking{Alkali: pick(g, []string{"Sodium Hydroxide", "Potassium Hydroxide"}),
		Loss: Q(int64(g.IntN(12)), 1)}
	c.Kind = "bar-soap"
	for i := range 1 + g.IntN(3) {
		c.Materials = append(c.Materials, &Material{Id: "fat-" + strconv.Itoa(i), Function: "other", Complete: true,
			Parts: []Part{{Name: pick(g, g.fats), Text: "100", pct: only(Q(100, 1))}}})
	}
	c.Materials = append(c.Materials, &Material{Id: "lye", Function: "other", Complete: true,
		Parts: []Part{{Name: c.Soap.Alkali, Text: "97-99", pct: Span{Q(97, 1), Q(98, 1), Q(99, 1)}},
			{Name: "Aqua", Text: "q.s.", rest: true, pct: Nothing()}}})
}
