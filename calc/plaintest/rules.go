package plaintest

import (
	"math/big"
	"math/rand/v2"
	"slices"
	"strings"
	"sync"

	"gallipot/ingredients"
)

// Use is one substance of a generated product.
type Use struct {
	Name     string
	CAS      []string
	Function string   // in the words of the conditions
	Scent    bool     // a scent brings it in: whether it is natural is not known
	Pct      *big.Rat // % w/w
}

// Product is a generated product: pure materials in water.
type Product struct {
	Kind   string
	Market string // EU or GB
	Day    string // YYYY-MM-DD
	Ages   string
	Uses   []Use
	// Counted is told what was added up for a row, where it is not nil
	Counted func(key string, amount *big.Rat)
}

// Verdict says whether a row holds.
type Verdict string

// The verdicts. A row is open where a fact is missing.
const (
	RowHolds   Verdict = "holds"
	RowDoesNot Verdict = "does-not"
	RowOpen    Verdict = "open"
)

// Rules judges rows of limits.csv as they stand there.
type Rules struct {
	Asked
	named, factors sync.Map // what was found, by row and name
}

// Asked is what the calculation asks of others, which are tried elsewhere.
type Asked struct {
	Names *ingredients.Dictionary // which names are those of one substance
	// Judge says whether a condition holds for a use of a product.
	Judge func(condition string, p Product, u Use) Verdict
	// Plant and Colour say what a name is that of.
	Plant, Colour func(name string) bool
}

// Holds says whether a row holds for a use: date, market, condition.
func (pr *Rules) Holds(row map[string]string, p Product, u Use) Verdict {
	market := "EU"
	if p.Market == "GB" {
		market = "GB"
	}
	if !slices.Contains(strings.Split(row["market"], "+"), market) || row["applies_from"] > p.Day ||
		row["applies_until"] != "" && row["applies_until"] < p.Day {
		return RowDoesNot
	}
	if row["replaced_from"] != "" && row["replaced_from"] <= p.Day &&
		slices.Contains(strings.Split(row["replaced_in"], "+"), market) {
		return RowDoesNot
	}
	v := pr.Judge(row["condition"], p, u)
	switch other := v == RowHolds; { // purposes and forms beside the condition leave a row open
	case other && row["only_form"] != "",
		other && row["annex"] == "V" && u.Function == "fragrance" &&
			!strings.Contains(row["condition"], "function="),
		other && row["annex"] == "VI" && u.Function != "uv-filter":
		return RowOpen
	}
	return v
}

// names says whether a row names a substance, by name or number.
func (pr *Rules) names(row map[string]string, u Use) bool {
	key := [2]string{row["key"], u.Name}
	is, ok := pr.named.Load(key)
	if !ok {
		is = pr.findName(row, u)
		pr.named.Store(key, is)
	}
	return is.(bool)
}

func (pr *Rules) findName(row map[string]string, u Use) bool {
	for n := range strings.SplitSeq(row["inci_names"], ";") {
		n = strings.TrimSpace(n)
		if strings.EqualFold(n, u.Name) || pr.Names.Lookup(n) != nil &&
			pr.Names.Lookup(n) == pr.Names.Lookup(u.Name) {
			return true
		}
	}
	for c := range strings.SplitSeq(row["cas"], ";") {
		if slices.Contains(u.CAS, strings.TrimSpace(c)) {
			return true
		}
	}
	return false
}

// Factor is the mass factor of a substance in a basis, nil where none is
// known.
func (pr *Rules) Factor(rows []map[string]string, row map[string]string, name string) *big.Rat {
	key := row["key"] + "|" + name
	f, ok := pr.factors.Load(key)
	if !ok {
		f = pr.findFactor(rows, row, name)
		pr.factors.Store(key, f)
	}
	return f.(*big.Rat)
}

func (pr *Rules) findFactor(rows []map[string]string, row map[string]string, name string) *big.Rat {
	one := big.NewRat(1, 1)
	if row["counted_as"] == "" || row["whole"] == "yes" {
		return one
	}
	if f := factorIn(row["factors"], name); f != nil {
		return f
	}
	var best *big.Rat
	for _, r := range rows {
		if r["counted_as"] != row["counted_as"] {
			continue
		}
		if f := factorIn(r["factors"], name); f != nil && (best == nil || best.Cmp(f) < 0) {
			best = f
		}
	}
	if best != nil {
		return best
	}
	for as := range strings.SplitSeq(row["counted_as"], ";") {
		if end, ok := strings.CutPrefix(as, "*"); ok && strings.HasSuffix(strings.ToLower(name), end) ||
			strings.EqualFold(as, name) {
			return one
		}
	}
	return nil
}

// factorIn reads a factor of a name from a cell name|form|factor;…, the highest
// of several forms.
func factorIn(factors, name string) *big.Rat {
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

// Skip names rows whose limit is not the content of a substance.
func Skip(row map[string]string) bool { return row["counts"] != "" || row["annex"] == "IV" }

// adds says whether the substances of another row are added to those of a
// row.
func adds(row, other map[string]string) bool {
	if row["sum_entries"] != "" {
		return row["sum_group"] == other["sum_group"] && slices.Contains(strings.Split(row["sum_entries"], ";"),
			other["annex"]+"/"+other["entry"])
	}
	groups := row["sum_groups"]
	if groups == "" {
		groups = row["sum_group"]
	}
	if other["sum_group"] == "" || !slices.Contains(strings.Split(groups, ";"), other["sum_group"]) {
		return false
	}
	return row["sum_conditions"] == "any" || other["condition"] == row["condition"]
}

// Verdicts judges every row that names a substance of the product, keyed by
// row, or by row and substance where each stands alone. Rows that a missing fact
// or factor leaves open are left out.
// table is where rows that are added and factors are looked up.
func (pr *Rules) Verdicts(rows, table []map[string]string, p Product) map[string]string {
	out := map[string]string{}
	for _, row := range rows {
		if Skip(row) {
			continue
		}
		summed := slices.Contains([]string{"all", "below", "label"}, row["sum"])
		var own []Use
		for _, u := range p.Uses {
			if pr.names(row, u) {
				own = append(own, u)
			}
		}
		if len(own) == 0 ||
			pr.Holds(map[string]string{"condition": "all", "market": row["market"],
				"applies_from": row["applies_from"], "applies_until": row["applies_until"],
				"replaced_from": row["replaced_from"], "replaced_in": row["replaced_in"]}, p, own[0]) == RowDoesNot {
			continue
		}
		switch {
		case row["sum"] == "exclusive":
			continue // by hand in TestIsothiazolinones and TestAlkynoates
		case summed:
			if v := pr.sum(rows, table, row, p, own); v != "" {
				out[row["key"]] = v
			}
		default:
			for _, u := range own {
				if v := pr.Each(table, row, p, u); v != "" {
					out[row["key"]+"|"+u.Name] = v
				}
			}
		}
	}
	return out
}

// Each judges a row for one use; empty where it is open.
func (pr *Rules) Each(rows []map[string]string, row map[string]string, p Product, u Use) string {
	switch v := pr.Holds(row, p, u); {
	case v == RowDoesNot:
		return "not applicable"
	case v == RowOpen:
		return ""
	case row["max_pct"] == "":
		return "no figure"
	}
	if row["max_pct"] == "0" {
		for _, e := range strings.Split(row["excepted"], ";") {
			for _, other := range rows {
				if other["annex"]+"/"+other["entry"] != e || other["max_pct"] == "0" || !pr.names(other, u) {
					continue
				}
				if v := pr.Holds(other, p, u); v == RowHolds {
					return "not applicable"
				} else if v == RowOpen {
					return ""
				}
			}
		}
		return "exceeded"
	}
	f := pr.Factor(rows, row, u.Name)
	if f == nil {
		return ""
	}
	amount := new(big.Rat).Mul(u.Pct, f)
	if p.Counted != nil {
		p.Counted(row["key"]+"|"+u.Name, amount)
	}
	return compare(amount, row["max_pct"], false)
}

func (pr *Rules) sum(rows, table []map[string]string, row map[string]string, p Product, own []Use) string {
	sum, part := new(big.Rat), new(big.Rat)
	counted := map[string]bool{}
	any := false
	add := func(r map[string]string, u Use, isOwn bool) bool {
		switch pr.Holds(r, p, u) {
		case RowDoesNot:
			return true
		case RowOpen:
			return false
		}
		if counted[u.Name] {
			return true
		}
		f := pr.Factor(table, r, u.Name)
		if f == nil {
			return false
		}
		counted[u.Name] = true
		any = any || isOwn
		amount := new(big.Rat).Mul(u.Pct, f)
		sum.Add(sum, amount)
		if isOwn {
			part.Add(part, amount)
		}
		return true
	}
	for _, u := range own {
		if !add(row, u, true) {
			return ""
		}
	}
	if !any {
		return "not applicable"
	}
	for _, other := range rows {
		if other["key"] == row["key"] || !adds(row, other) {
			continue
		}
		for _, u := range p.Uses {
			if pr.names(other, u) && !add(other, u, false) {
				return ""
			}
		}
	}
	if row["max_pct"] == "" {
		return "no figure"
	}
	if row["sum_pct"] != "" && row["sum_pct"] != row["max_pct"] {
		if v := compare(part, row["max_pct"], false); v == "exceeded" {
			return v
		}
		return compare(sum, row["sum_pct"], false)
	}
	if p.Counted != nil {
		p.Counted(row["key"], sum)
	}
	return compare(sum, row["max_pct"], row["sum"] == "below")
}

func compare(amount *big.Rat, limit string, strict bool) string {
	l, _ := new(big.Rat).SetString(limit)
	if c := amount.Cmp(l); c > 0 || strict && c == 0 {
		return "exceeded"
	}
	return "kept"
}

// Pool lists names of substances that a generated product may hold.
func (pr *Rules) Pool(rows []map[string]string) []Use {
	var pool []Use
	seen := map[string]bool{}
	for _, r := range rows {
		if Skip(r) || r["class"] != "" {
			continue
		}
		for n := range strings.SplitSeq(r["inci_names"], ";") {
			n = strings.TrimSpace(n)
			sub := pr.Names.Lookup(n)
			if sub == nil || sub.INCI != n || seen[n] || pr.Plant(n) || pr.Colour(n) || strings.Contains(n, "(") ||
				strings.Contains(n, " and ") || strings.Contains(n, "preparations") {
				continue
			}
			seen[n] = true
			pool = append(pool, Use{Name: n, CAS: sub.CAS})
		}
	}
	return pool
}

// Groups gathers the pool by sum group.
func Groups(rows []map[string]string, pool []Use) [][]Use {
	var names []string
	by := map[string][]Use{}
	for _, r := range rows {
		for _, u := range pool {
			if r["sum_group"] != "" && slices.Contains(strings.Split(r["inci_names"], ";"), u.Name) {
				if by[r["sum_group"]] == nil {
					names = append(names, r["sum_group"])
				}
				by[r["sum_group"]] = append(by[r["sum_group"]], u)
			}
		}
	}
	var out [][]Use
	for _, n := range names {
		out = append(out, by[n])
	}
	return out
}

// Random makes a product of a few substances of the pool, two of them often from one
// sum group, with contents around the figures of their rows.
func Random(r *rand.Rand, rows []map[string]string, kinds []string, pool []Use, groups [][]Use) Product {
	p := Product{
		Kind: kinds[r.IntN(len(kinds))], Market: []string{"EU", "GB"}[r.IntN(2)],
		Day:  []string{"2024-06-01", "2026-05-01", "2026-11-25", "2027-01-01", "2028-01-01"}[r.IntN(5)],
		Ages: []string{"adults", "children-3-plus", "under-3"}[r.IntN(3)],
	}
	from := pool
	if r.IntN(2) == 0 {
		from = groups[r.IntN(len(groups))]
	}
	functions := []string{"preservative", "other", "fragrance", "uv-filter", "ph-adjuster",
		"peroxide-stabiliser"}
	seen := map[string]bool{}
	for range 1 + r.IntN(4) {
		u := from[r.IntN(len(from))]
		if r.IntN(4) == 0 {
			u = pool[r.IntN(len(pool))]
		}
		if seen[u.Name] {
			continue
		}
		seen[u.Name] = true
		u.Function = functions[r.IntN(len(functions))]
		u.Pct = around(r, rows, u)
		p.Uses = append(p.Uses, u)
	}
	return p
}

// around picks a content at, just above, or somewhere near a figure of a row
// that names the substance, at most 20 %.
func around(r *rand.Rand, rows []map[string]string, u Use) *big.Rat {
	var figures []string
	for _, row := range rows {
		if row["max_pct"] != "" && row["max_pct"] != "0" && slices.Contains(strings.Split(row["inci_names"], ";"),
			u.Name) {
			figures = append(figures, row["max_pct"])
		}
	}
	pct := big.NewRat(1, 10)
	if len(figures) > 0 {
		pct, _ = new(big.Rat).SetString(figures[r.IntN(len(figures))])
	}
	times := []*big.Rat{big.NewRat(1, 3), big.NewRat(1, 2), big.NewRat(9, 10), big.NewRat(1, 1),
		big.NewRat(1001, 1000), big.NewRat(13, 10), big.NewRat(2, 1)}
	pct = new(big.Rat).Mul(pct, times[r.IntN(len(times))])
	if pct.Cmp(big.NewRat(20, 1)) > 0 {
		return big.NewRat(20, 1)
	}
	return pct
}

// Of is a product in which a row holds, or may hold, with a content just above its
// figure.
func (pr *Rules) Of(row map[string]string, kinds []string) Product {
	name, _, _ := strings.Cut(row["inci_names"], ";")
	pct := big.NewRat(1, 10)
	if f, ok := new(big.Rat).SetString(row["max_pct"]); ok && f.Sign() > 0 {
		pct = new(big.Rat).Mul(f, big.NewRat(101, 100))
	}
	if pct.Cmp(big.NewRat(50, 1)) > 0 {
		pct = big.NewRat(50, 1)
	}
	p := Product{Market: "EU", Day: max(row["applies_from"], "2026-11-25"), Ages: "under-3"}
	if !strings.Contains(row["market"], "EU") {
		p.Market = "GB"
	}
	if row["applies_until"] != "" {
		p.Day = row["applies_until"]
	}
	best := RowDoesNot
	for _, function := range []string{"preservative", "fragrance", "uv-filter", "ph-adjuster", "other",
		"colourant"} {
		u := Use{Name: name, Function: function, Pct: pct}
		for _, kind := range kinds {
			try := p
			try.Kind, try.Uses = kind, []Use{u}
			v := pr.Holds(row, try, u)
			if best == RowDoesNot || v == RowHolds && best != RowHolds {
				best = v
				p.Kind, p.Uses = try.Kind, try.Uses
			}
			if best == RowHolds {
				return p
			}
		}
	}
	return p
}
