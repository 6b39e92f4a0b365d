package calc_test

import (
	"cmp"
	"encoding/csv"
	"maps"
	"math/big"
	"math/rand/v2"
	"os"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc"
	"gallipot/calc/calctest"
	"gallipot/calc/exposure"
	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law"
	"gallipot/calc/law/condition"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/calc/masses"
	"gallipot/ingredients"
)

// rawTable reads a table as text.
func rawTable(t testing.TB, name string) []map[string]string {
	t.Helper()
	f, err := os.Open("law/data/" + name)
	require.NoError(t, err)
	defer f.Close()
	records, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	var rows []map[string]string
	for _, r := range records[1:] {
		row := map[string]string{}
		for i, c := range records[0] {
			row[c] = r[i]
		}
		rows = append(rows, row)
	}
	return rows
}

func keyed(rows []map[string]string) map[string]map[string]string {
	out := map[string]map[string]string{}
	for _, r := range rows {
		out[r["key"]] = r
	}
	return out
}

// exactBook holds the tables as text.
type exactBook struct {
	inventory                                                    map[string]string // official names, small: CAS numbers
	limits, allergens, tox, toxUse, cramer, closed, fats, guides []map[string]string
	types, exposure, facts                                       map[string]map[string]string
	synonyms                                                     map[string]string   // lower case → name
	official                                                     map[string][]string // lower case → names of the inventory it is another name of
	dict                                                         *ingredients.Dictionary
	named, toxic                                                 map[string][]map[string]string // limit and toxicological rows of a name
	scented                                                      map[string][]int               // places of the allergen rows of a name
	known                                                        map[string]bool                // what was looked up before
	numbers                                                      []exactNames                   // what each limit row names
}

// exactNames are the names and numbers of a limit row.
type exactNames struct {
	names, cas []string
	known      []*ingredients.Substance
}

func newExactBook(t testing.TB) *exactBook {
	b := &exactBook{
		limits: rawTable(t, "limits.csv"), allergens: rawTable(t, "allergens.csv"), tox: append(rawTable(t, "tox-values.csv"), rawTable(t, "tox-values-more.csv")...), cramer: rawTable(t, "cramer-classes.csv"), toxUse: rawTable(t, "tox-use.csv"),
		closed: rawTable(t, "ttc-exclusions.csv"), fats: rawTable(t, "saponification.csv"), guides: rawTable(t, "trace-guides.csv"), types: keyed(rawTable(t, "product-types.csv")),
		exposure: keyed(rawTable(t, "exposure.csv")), facts: keyed(rawTable(t, "facts.csv")), synonyms: map[string]string{}, official: map[string][]string{},
		dict: table.Builtin().Dictionary(), named: map[string][]map[string]string{}, toxic: map[string][]map[string]string{}, scented: map[string][]int{}, known: map[string]bool{},
	}
	for _, r := range b.limits {
		var n exactNames
		for name := range strings.SplitSeq(r["inci_names"], ";") {
			name = strings.TrimSpace(name)
			n.names = append(n.names, strings.ToLower(name))
			if s := b.dict.Lookup(name); s != nil {
				n.known = append(n.known, s)
			}
		}
		for c := range strings.SplitSeq(r["cas"], ";") {
			n.cas = append(n.cas, strings.TrimSpace(c))
		}
		b.numbers = append(b.numbers, n)
	}
	for _, r := range rawTable(t, "synonyms.csv") {
		b.synonyms[strings.ToLower(r["synonym"])] = r["inci"]
	}
	return b
}

func (b *exactBook) fact(key string) rat { return dec(b.facts[key]["value"]) }

// figure reads a cell; nil where it is empty.
func figure(row map[string]string, column string) rat {
	if row == nil || row[column] == "" {
		return nil
	}
	return dec(row[column])
}

// same says whether two names are those of one substance.
func (b *exactBook) same(x, y string) bool {
	return strings.EqualFold(x, y) || b.dict.Lookup(x) != nil && b.dict.Lookup(x) == b.dict.Lookup(y)
}

func (b *exactBook) memo(key string, look func() bool) bool {
	is, ok := b.known[key]
	if !ok {
		is = look()
		b.known[key] = is
	}
	return is
}

// remember looks a list up once for each name.
func remember[T any](known map[string][]T, name string, look func() []T) []T {
	list, ok := known[name]
	if !ok {
		list = look()
		known[name] = list
	}
	return list
}

// allergensOf returns the places of the allergen rows that a name counts for.
func (b *exactBook) allergensOf(name string) []int {
	return remember(b.scented, name, func() (at []int) {
		for i, row := range b.allergens {
			is := strings.EqualFold(row["label_name"], name)
			for member := range strings.SplitSeq(row["substances"], ";") {
				n, numbers, _ := strings.Cut(member, "|")
				is = is || b.same(strings.TrimSpace(n), name)
				cas, _, _ := strings.Cut(numbers, "|")
				// the number of the list is that of the entry; plants share theirs
				is = is || row["botanical"] != "yes" && slices.Contains(b.officialNumbers(name), cas)
				if plain, _, bracketed := strings.Cut(strings.TrimSpace(n), " ("); bracketed && strings.HasSuffix(n, ")") {
					is = is || b.same(plain, name) // the bracket is another name of it
				}
			}
			if is {
				at = append(at, i)
			}
		}
		return at
	})
}

// limitsOf returns the limit rows that name a substance.
func (b *exactBook) limitsOf(name string) []map[string]string {
	return remember(b.named, name, func() (rows []map[string]string) {
		u, me := b.useOf(name), b.dict.Lookup(name)
		for i, r := range b.limits {
			if slices.Contains(b.numbers[i].names, strings.ToLower(name)) || me != nil && slices.Contains(b.numbers[i].known, me) ||
				slices.ContainsFunc(u.cas, func(c string) bool { return slices.Contains(b.numbers[i].cas, c) }) {
				rows = append(rows, r)
			}
		}
		return rows
	})
}

func (b *exactBook) useOf(name string) plainUse {
	u := plainUse{name: name}
	if s := b.dict.Lookup(name); s != nil {
		u.cas = s.CAS
	}
	return u
}

// listed says whether an annex has a substance on a day.
func (b *exactBook) listed(annex, name, market, day string) bool {
	return b.memo(strings.Join([]string{annex, name, market, day}, "|"), func() bool {
		return slices.ContainsFunc(b.limitsOf(name), func(r map[string]string) bool {
			return r["annex"] == annex && slices.Contains(strings.Split(r["market"], "+"), market) && r["applies_from"] <= day &&
				(r["applies_until"] == "" || r["applies_until"] >= day) && r["sum"] != "label"
		})
	})
}

// toxOf returns the toxicological rows of a name.
func (b *exactBook) toxOf(name string) []map[string]string {
	return remember(b.toxic, name, func() (rows []map[string]string) {
		for _, r := range b.tox {
			if slices.ContainsFunc(append(strings.FieldsFunc(r["inci"], func(c rune) bool { return c == ';' || c == '|' }), r["substance"]), func(n string) bool { return b.same(strings.TrimSpace(n), name) }) {
				rows = append(rows, r)
			}
		}
		return rows
	})
}

// classOf returns the highest class that the list of classes gives a name or, where
// it has none of that name, one of its numbers; 0 for none.
func (b *exactBook) classOf(name string) int {
	if len(b.official) == 0 {
		b.readOfficial()
	}
	named, numbered := 0, 0
	cas := b.useOf(name).cas
	for _, r := range b.cramer {
		class := 0
		for _, c := range append(strings.Split(r["other_classes"], ";"), r["cramer_class"]) {
			class = max(class, len(c))
		}
		switch {
		case b.same(r["inci"], name), slices.Contains(b.official[strings.ToLower(name)], r["inci"]):
			named = max(named, class)
		case r["cas"] != "" && slices.Contains(cas, r["cas"]):
			numbered = max(numbered, class)
		}
	}
	if named > 0 {
		return named
	}
	return numbered
}

// officialNumbers are the CAS numbers that the inventory gives the official names of
// a further name.
func (b *exactBook) officialNumbers(name string) (numbers []string) {
	if len(b.official) == 0 {
		b.readOfficial()
	}
	if _, own := b.inventory[strings.ToLower(name)]; own {
		return nil // an official name itself: no further name of another
	}
	for _, o := range b.official[strings.ToLower(name)] {
		numbers = append(numbers, strings.Fields(strings.ReplaceAll(b.inventory[strings.ToLower(o)], ";", " "))...)
	}
	return numbers
}

// readOfficial reads the further names that the inventory lists, and the numbers of
// its own.
func (b *exactBook) readOfficial() {
	names, err := os.Open("../ingredients/inventory/data/inci-inventory.csv")
	if err != nil {
		panic(err)
	}
	defer names.Close()
	listed, err := csv.NewReader(names).ReadAll()
	if err != nil {
		panic(err)
	}
	b.inventory = map[string]string{}
	for _, r := range listed[1:] {
		b.inventory[strings.ToLower(r[0])] = r[1]
	}
	f, err := os.Open("../ingredients/inventory/data/inci-synonyms.csv")
	if err != nil {
		panic(err)
	}
	defer f.Close()
	records, err := csv.NewReader(f).ReadAll()
	if err != nil {
		panic(err)
	}
	for _, r := range records[1:] {
		b.official[strings.ToLower(r[1])] = append(b.official[strings.ToLower(r[1])], r[0])
	}
}

// reading returns what tox-use.csv says of a row, or of a name, in one column.
func (b *exactBook) reading(substance, name, column string) string {
	for _, u := range b.toxUse {
		if strings.EqualFold(u["substance"], substance) && (u["inci"] == "" || b.same(u["inci"], name)) && u[column] != "" {
			return u[column]
		}
	}
	return ""
}

// closedTo says whether the threshold of concern is closed to a name.
func (b *exactBook) closedTo(name string) bool {
	name = strings.ToLower(strings.NewReplacer("-", " ", ".", "", "'", "").Replace(name))
	words := strings.FieldsFunc(name, func(r rune) bool { return strings.ContainsRune(" /(),", r) })
	for _, g := range b.closed {
		for w := range strings.SplitSeq(g["words"], ";") {
			if slices.Contains(words, w) {
				return true
			}
		}
		for p := range strings.SplitSeq(g["parts"], ";") {
			if p != "" && strings.Contains(name, p) {
				return true
			}
		}
	}
	return false
}

// isGuide says whether a name stands in the guidance on traces, under whose
// numbers toxicological values are looked up too.
func (b *exactBook) isGuide(name string) bool {
	return slices.ContainsFunc(b.guides, func(r map[string]string) bool {
		return slices.ContainsFunc(strings.Split(r["names"], ";"), func(n string) bool { return b.same(n, name) })
	})
}

// numberOfAllergen says whether an allergen entry has a number of a name: the
// reaction with lye gives its parts numbers, and no other part has one here.
func (b *exactBook) numberOfAllergen(name string) bool {
	return slices.ContainsFunc(b.useOf(name).cas, func(number string) bool {
		return slices.ContainsFunc(b.allergens, func(r map[string]string) bool { return strings.Contains(r["substances"], "|"+number+"|") })
	})
}

// exactExposure is how much of a product reaches its user; nil is not known.
type exactExposure struct {
	perKg           rat // mg/kg bw/d that stays
	amount          rat // g/d applied
	weight, user    rat // kg
	area, perDay    rat
	child           rat // factor of skin surface; nil: none
	audience, key   string
	swallowed       bool
	inhaled         rat // mg/kg bw/d of product; nil: none
	retention, kept rat // share that stays; g/d that stays
}

// exposure follows the guidance: E/bw = amount × 1000 × retention / body weight,
// the printed value where the source prints one, an adult's times the factor of
// skin surface for children. Source: SCCS/1647/22, 3-3.4; stand-ins with the
// cautious choices of DEVELOPERS.md.
func (x *exactRun) exposure() exactExposure {
	t, f := x.book.types[x.kind], x.book.fact
	has := func(column, word string) bool { return slices.Contains(strings.Split(t[column], ";"), word) }
	e := exactExposure{audience: x.ages, user: f("body-weight-adult"), swallowed: has("limit_codes", "lip") || has("limit_codes", "oral")}
	switch {
	case t["population"] == "under-3", t["population"] == "children" && x.ages == "adults":
		e.audience = "under-3"
	}
	own := x.own
	if own == nil {
		own = &exactOwn{}
	}
	var row map[string]string
	proxy := false
	if own.amount == nil && own.relative == nil {
		if row = x.book.exposure[t["exposure_key"]]; row == nil {
			row, proxy = x.book.exposure[t["proxy_exposure_key"]], true
		}
		e.key = row["key"]
	}
	surface := e.audience != "adults" && row != nil && row["group"] != "child" && !e.swallowed
	switch e.audience {
	case "children-3-plus":
		e.user = f("child-body-weight-3-plus")
	case "under-3":
		e.user = f("child-body-weight-under-3")
	}
	if own.weight != nil {
		e.user = own.weight
	}
	e.weight = e.user
	if surface {
		e.weight = f("body-weight-adult")
		e.child = f("child-surface-factor-0-months")
		if e.audience == "children-3-plus" {
			e.child = f("child-surface-factor-12-months")
		}
	}
	switch same := figure(x.book.exposure[x.kind], "skin_surface_area_cm2"); {
	case own.area != nil:
		e.area = own.area
	case same != nil:
		e.area = same
	default:
		e.area = figure(row, "skin_surface_area_cm2")
	}
	printed := figure(row, "relative_daily_exposure_mg_per_kg_bw")
	e.amount, e.perDay, e.retention, e.kept = figure(row, "daily_amount_g"), figure(row, "frequency_per_day"), figure(row, "retention_factor"), figure(row, "daily_exposure_g")
	one := q(1, 1)
	if row != nil && printed == nil && e.amount != nil {
		if (e.retention == nil || e.swallowed || proxy && t["rinse_off"] != "yes") && (e.retention == nil || e.retention.Cmp(one) != 0) {
			e.retention, e.kept = one, nil
		}
		if e.perDay != nil && e.perDay.Sign() > 0 && e.perDay.Cmp(one) < 0 {
			e.amount, e.perDay, e.kept = over(e.amount, e.perDay), one, nil
		}
	}
	if own.perDay != nil {
		e.perDay = own.perDay
	}
	if own.amount != nil {
		e.amount, e.retention = own.amount, one
	}
	if own.retention != nil {
		e.retention, e.kept = over(own.retention, q(100, 1)), nil
	}
	if own.amount != nil {
		e.kept = times(own.amount, e.retention)
	}
	if e.kept == nil && e.amount != nil {
		e.kept = e.amount
		if e.retention != nil {
			e.kept = times(e.amount, e.retention)
		}
	}
	thousand := q(1000, 1)
	switch {
	case own.relative != nil:
		e.perKg = own.relative
	case row == nil && own.amount == nil:
	case row != nil && e.swallowed && e.audience != "adults" && row["group"] != "child" && e.amount != nil:
		e.perKg = over(times(e.amount, thousand), e.weight)
	case printed != nil && own.retention == nil && (own.weight == nil || surface):
		e.perKg = printed
		if e.child != nil {
			e.perKg = times(printed, e.child)
		}
	case e.kept != nil && e.kept.Sign() > 0:
		e.perKg = over(times(e.kept, thousand), e.weight)
		if e.child != nil {
			e.perKg = times(e.perKg, e.child)
		}
	}
	x.inhale(&e, t)
	return e
}

// inhale is the two-box model. Source: SCCS/1647/22, 3-3.4.1.3.
func (x *exactRun) inhale(e *exactExposure, t map[string]string) {
	f := x.book.fact
	forms := strings.Split(t["form_flags"], ";")
	kind := ""
	switch {
	case slices.Contains(forms, "aerosol"), slices.Contains(forms, "propellant-spray"):
		kind = "propellant"
	case slices.Contains(forms, "spray"), slices.Contains(forms, "pump-spray"):
		kind = "pump"
	case slices.Contains(forms, "inhalable"):
		kind = "powder"
	}
	var mg rat
	switch {
	case kind == "":
		return
	case e.amount != nil:
		mg = times(e.amount, q(1000, 1))
	case e.perKg != nil:
		mg = times(e.perKg, e.weight)
	default:
		return
	}
	air := times(mg, f("inhalation-airborne-"+kind), f("inhalation-breathing-rate"))
	near := over(times(air, f("inhalation-near-time")), f("inhalation-near-volume"))
	far := over(times(air, f("inhalation-far-time")), f("inhalation-far-volume"))
	e.inhaled = over(times(plus(near, far), f("inhalation-retained"), f("inhalation-respirable-"+kind), f("lung-absorption")), times(q(100, 1), e.user))
}

// exactMargin is exposure and margin of one substance.
type exactMargin struct {
	content           span
	where             string
	sed, typical      rat // mg/kg bw/d; nil where the exposure is not known
	absorbed, dermal  rat // %
	podSys, mos, goal rat // nil: none
	verdict, none     string
	highest           rat
	ttc               string // verdict of the screening; "" for none
	ttcDose, ttcMost  rat
	aggregate         *exactAggregate
	stated            bool // absorption in % is stated
	byArea            rat  // absorption in µg/cm²; nil: none
}

type exactAggregate struct {
	sed, mos rat
	verdict  string
}

// pod is one value that a margin could start from.
type exactPoD struct {
	sys, rank, target rat
	usable, threshold bool
}

// margins computes SED = E/bw × C/100 × DA/100 and MoS = PoD_sys / SED of each
// substance that is more than a trace. Source: SCCS/1647/22, 3-3.5.4 and 3-5.1.
func (x *exactRun) margins(e exactExposure) map[string]*exactMargin {
	out := map[string]*exactMargin{}
	for name, c := range x.content[0] {
		if c.counted {
			out[name] = x.margin(name, c, e)
		}
	}
	return out
}

func (x *exactRun) margin(name string, c *exactContent, e exactExposure) *exactMargin {
	b, hundred := x.book, q(100, 1)
	m := &exactMargin{verdict: "no margin", goal: b.fact("mos-target")}
	m.content, m.where = x.worst(x.total(name))
	rows := b.toxOf(name)
	var sheets []exactTox
	for _, mat := range x.materials {
		if x.mixes[0].use(mat.id).Sign() > 0 {
			for _, v := range mat.tox {
				if x.name(v.name) == name {
					sheets = append(sheets, v)
				}
			}
		}
	}
	m.dermal, m.stated, m.byArea = x.dermal(name, rows, sheets)
	m.absorbed = m.dermal
	if e.swallowed {
		m.absorbed = x.swallowed(rows, sheets)
	}
	best, noThreshold, any := x.pod(name, rows, sheets, m.dermal)
	if best != nil {
		m.podSys = best.sys
		if best.target != nil {
			m.goal = best.target
		}
	}
	noArea := false
	if e.perKg != nil {
		skin := percent(percent(e.perKg, m.content.hi), m.absorbed)
		m.typical = percent(percent(e.perKg, m.content.ty), m.absorbed)
		if m.byArea != nil && !e.swallowed && e.area != nil && e.perDay != nil {
			d := over(times(m.byArea, e.area, e.perDay), times(q(1000, 1), e.weight))
			if e.child != nil {
				d = times(d, e.child)
			}
			if !m.stated || d.Cmp(skin) >= 0 {
				skin, m.typical, noArea = d, d, true
			}
		}
		m.sed = skin
		if e.inhaled != nil {
			m.sed, m.typical = plus(skin, percent(e.inhaled, m.content.hi)), plus(m.typical, percent(e.inhaled, m.content.ty))
		}
	}
	if c.ingredient {
		x.aggregate(name, m, e)
	}
	switch {
	case m.content.hi.Sign() == 0:
		m.none = "not there"
	case b.reading(name, name, "use") == "not-needed":
		m.none = "not needed"
	case c.unknown:
		m.none = "undeclared"
	case name == "Parfum" || name == "Aroma":
		m.none = "not disclosed"
	case m.sed == nil:
		m.none = "no exposure"
	case m.sed.Sign() == 0:
		m.none = "not absorbed"
	case noThreshold:
		m.none = "no threshold"
	case best == nil && any:
		m.none = "unusable value"
	case best == nil:
		m.none = "no PoD"
		x.screen(name, m, rows, sheets)
	case m.podSys.Sign() == 0:
		m.none = "not absorbed"
	default:
		m.mos = over(m.podSys, m.sed)
		m.verdict = against(m.mos, m.goal)
		if !noArea {
			m.highest = least(over(times(m.content.hi, m.mos), m.goal), hundred)
		}
	}
	return m
}

func against(mos, goal rat) string {
	if mos.Cmp(goal) < 0 {
		return "below target"
	}
	return "at or above target"
}

// dermal takes the highest stated absorption, else the default of 50 %; a row
// with the default of 10 % is a case for poor absorption.
func (x *exactRun) dermal(name string, rows []map[string]string, sheets []exactTox) (pct rat, stated bool, area rat) {
	standard, poor := x.book.fact("dermal-absorption-default"), x.book.fact("dermal-absorption-poor")
	replaced := slices.ContainsFunc(sheets, func(v exactTox) bool { return v.replaces && (v.dermal != nil || v.area != nil) })
	isPoor := false
	for _, r := range rows {
		d := figure(r, "dermal_absorption_pct")
		switch {
		case replaced, d == nil, d.Cmp(standard) == 0, x.book.reading(r["substance"], name, "dermal") == "default":
		case d.Cmp(poor) == 0:
			isPoor = true
		case pct == nil || d.Cmp(pct) > 0:
			pct = d
		}
	}
	for _, v := range sheets {
		if v.dermal != nil && (pct == nil || v.dermal.Cmp(pct) > 0) {
			pct = v.dermal
		}
		if v.area != nil && (area == nil || v.area.Cmp(area) > 0) {
			area = v.area
		}
	}
	switch {
	case pct != nil:
		return pct, true, area
	case isPoor:
		return poor, false, area
	case x.book.reading(name, name, "dermal") == "insoluble": // no case of the generator is nano
		return new(big.Rat), false, area
	}
	return standard, false, area
}

// swallowed takes the highest stated oral absorption, else all of it.
func (x *exactRun) swallowed(rows []map[string]string, sheets []exactTox) (pct rat) {
	replaced := slices.ContainsFunc(sheets, func(v exactTox) bool { return v.replaces && v.oral != nil })
	take := func(o rat) {
		if o != nil && (pct == nil || o.Cmp(pct) > 0) {
			pct = o
		}
	}
	for _, r := range rows {
		if o := figure(r, "oral_absorption_pct"); !replaced && o != nil && o.Cmp(x.book.fact("oral-absorption-default")) != 0 {
			take(o)
		}
	}
	for _, v := range sheets {
		take(v.oral)
	}
	if pct == nil {
		return x.book.fact("oral-absorption-swallowed")
	}
	return pct
}

// pod chooses the lowest usable value before the factor for a short study.
func (x *exactRun) pod(name string, rows []map[string]string, sheets []exactTox, dermal rat) (best *exactPoD, noThreshold, any bool) {
	b := x.book
	standard := b.fact("oral-absorption-default")
	lowest := standard
	var all []exactPoD
	replaced := slices.ContainsFunc(sheets, func(v exactTox) bool { return v.replaces && v.value != nil })
	general := b.fact("mos-target")
	add := func(kind string, value, oral, target, short rat, route string, intake, threshold bool) {
		p := exactPoD{target: target, threshold: threshold, usable: threshold && !intake && value.Sign() > 0 && route != "inhalation" && route != "single"}
		divisor := q(1, 1)
		switch k := strings.ToUpper(kind); {
		case strings.HasPrefix(k, "LOAEL"), strings.HasPrefix(k, "LOEL"):
			divisor = b.fact("loael-factor")
		case strings.HasPrefix(k, "NOAEL"), strings.HasPrefix(k, "NOEL"), strings.HasPrefix(k, "BMDL"), strings.HasPrefix(k, "NO EFFECT LEVEL"):
		default:
			p.usable = false
		}
		internal := oral
		if route == "dermal" {
			internal = dermal
		}
		p.rank = percent(over(value, divisor), internal)
		p.sys = p.rank
		if target != nil { // what is held to less may be lower
			p.rank = over(times(p.rank, general), target)
		}
		if short != nil {
			p.sys = over(p.rank, short)
		}
		all = append(all, p)
	}
	for _, r := range rows {
		o := figure(r, "oral_absorption_pct")
		if o != nil && o.Cmp(lowest) < 0 {
			lowest = o
		}
		if o == nil {
			o = standard
		}
		use := b.reading(r["substance"], name, "use")
		value := figure(r, "value_mg_per_kg_bw_d")
		if value == nil || replaced && use != "no-threshold" {
			continue
		}
		var target, short rat
		if k := b.reading(r["substance"], name, "target"); k != "" {
			target = b.fact(k)
		}
		if k := b.reading(r["substance"], name, "duration_factor"); k != "" {
			short = b.fact(k)
		}
		route := b.reading(r["substance"], name, "route")
		if r["route"] == "dermal" {
			route = "dermal"
		}
		human := r["species"] == "human" || r["species"] == "" && strings.Contains(strings.ToLower(r["study"]), "human")
		switch k := r["study_kind"]; {
		case k == "acute":
			route = "single"
		case short != nil, human, k == "reproduction", k == "screening":
		case r["days"] != "" && dec(r["days"]).Cmp(b.fact("duration-short-study")) <= 0:
			short = b.fact("duration-factor-28d")
		}
		if human && target == nil {
			target = b.fact("mos-target-human")
		}
		add(r["pod_type"], value, o, target, short, route, use == "intake", use != "no-threshold")
	}
	for _, v := range sheets {
		if v.value == nil || replaced && !v.replaces {
			continue
		}
		oral := lowest
		if v.oral != nil {
			oral = v.oral
		}
		var short rat
		if strings.Contains(v.study, "28") {
			short = b.fact("duration-factor-28d")
		}
		route := ""
		if strings.Contains(v.study, "dermal") {
			route = "dermal"
		}
		add(v.kind, v.value, oral, nil, short, route, false, true)
	}
	for i, p := range all {
		noThreshold = noThreshold || !p.threshold
		if p.usable && (best == nil || p.rank.Cmp(best.rank) < 0 || p.rank.Cmp(best.rank) == 0 && p.sys.Cmp(best.sys) < 0) {
			best = &all[i]
		}
	}
	if noThreshold {
		best = nil
	}
	return best, noThreshold, len(all) > 0
}

// screen compares the dose with the threshold of the highest Cramer class.
// Source: SCCS/1647/22, 3-5.2.
func (x *exactRun) screen(name string, m *exactMargin, rows []map[string]string, sheets []exactTox) {
	class := 0
	for _, r := range rows {
		class = max(class, len(strings.TrimSuffix(r["cramer_class"], " (memory)")))
	}
	for _, v := range sheets {
		class = max(class, len(v.cramer))
	}
	if class = max(class, x.book.classOf(name)); class == 0 {
		return
	}
	m.ttcDose = times(m.sed, q(1000, 1))
	m.ttcMost = percent(x.book.fact("ttc-cramer-"+formula.Itoa(class)), x.book.fact("oral-absorption-default"))
	switch {
	case x.book.closedTo(name):
		m.ttc = "not applicable"
	case m.ttcDose.Cmp(m.ttcMost) > 0:
		m.ttc = "above the threshold"
	default:
		m.ttc = "at or below the threshold"
	}
}

// aggregate is the exposure to a preservative or UV filter from all cosmetics, a
// UV filter from the classes that use one. Source: SCCS/1647/22, 3-3.4.3;
// SCCS/1627/21.
func (x *exactRun) aggregate(name string, m *exactMargin, e exactExposure) {
	b := x.book
	prefix, total := "aggregate-part-", "aggregate-exposure-relative"
	switch {
	case b.listed("V", name, x.market, x.day):
	case b.listed("VI", name, x.market, x.day) && !strings.HasPrefix(name, "CI "):
		prefix, total = "aggregate-uv-part-", "aggregate-uv-exposure-relative"
	default:
		return
	}
	all, child := b.fact(total), q(1, 1)
	switch e.audience {
	case "children-3-plus":
		child = b.fact("child-surface-factor-12-months")
	case "under-3":
		child = b.fact("child-surface-factor-0-months")
	}
	key := e.key
	own := x.own != nil && (x.own.amount != nil || x.own.relative != nil)
	if own {
		key = x.book.types[x.kind]["exposure_key"]
	}
	part := prefix + strings.TrimSuffix(key, "-adult")
	_, counted := b.facts[part]
	stands := counted && own && e.perKg != nil
	if stands {
		all = minus(all, b.fact(part))
	}
	all = times(all, child)
	added := e.perKg != nil && (!counted || stands)
	if added {
		all = plus(all, e.perKg)
	}
	a := &exactAggregate{sed: percent(percent(all, m.content.hi), m.dermal), verdict: "no margin"}
	if d := x.aggregateArea(prefix, part, stands, added, e); d != nil && m.byArea != nil {
		if d = times(d, m.byArea, child); !m.stated || d.Cmp(a.sed) >= 0 {
			a.sed = d
		}
	}
	if m.podSys != nil && m.podSys.Sign() > 0 && a.sed.Sign() > 0 {
		a.mos = over(m.podSys, a.sed)
		a.verdict = against(a.mos, m.goal)
	}
	m.aggregate = a
}

// aggregateArea is the dose of all products for 1 µg/cm² absorbed, mg/kg bw/d;
// nil where an area or use is not known.
func (x *exactRun) aggregateArea(prefix, part string, stands, added bool, e exactExposure) rat {
	b, total := x.book, new(big.Rat)
	for key := range b.facts {
		of, is := strings.CutPrefix(key, prefix)
		if !is || stands && key == part {
			continue
		}
		row := b.exposure[of]
		if row == nil {
			row = b.exposure[of+"-adult"]
		}
		area, perDay := figure(row, "skin_surface_area_cm2"), figure(row, "frequency_per_day")
		if area == nil || perDay == nil {
			return nil
		}
		total = plus(total, times(area, perDay))
	}
	if added {
		if e.area == nil || e.perDay == nil {
			return nil
		}
		total = plus(total, times(e.area, e.perDay))
	}
	return over(total, times(q(1000, 1), b.fact("body-weight-adult")))
}

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
			if n = strings.TrimSpace(n); n != "" && b.dict.Canonical(n) == n && len(b.limitsOf(n)) == 0 && !formula.IsBotanical(table.Builtin(), n) && !formula.IsCI(n) && !b.isGuide(n) {
				g.toxic = append(g.toxic, n)
			}
		}
	}
	for _, r := range b.allergens {
		n := r["label_name"]
		if r["botanical"] != "yes" && r["prohibited"] != "yes" && b.dict.Canonical(n) == n && !formula.IsBotanical(table.Builtin(), n) && !slices.Contains(g.allergens, n) {
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
	for _, p := range law.ProductTypes(table.Builtin()) {
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
			g.blend("m" + formula.Itoa(i))
		}
	}
	for i := range g.IntN(4) {
		g.scent("fo-" + formula.Itoa(i))
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
		c.materials = append(c.materials, &exactMaterial{id: "fat-" + formula.Itoa(i), function: "other", complete: true,
			parts: []exactPart{{name: pick(g, g.fats), text: "100", pct: only(q(100, 1))}}})
	}
	c.materials = append(c.materials, &exactMaterial{id: "lye", function: "other", complete: true,
		parts: []exactPart{{name: c.soap.alkali, text: "97-99", pct: span{q(97, 1), q(98, 1), q(99, 1)}}, {name: "Aqua", text: "q.s.", rest: true, pct: nothing()}}})
}

// exactLimit is the plain verdict on one row of the limit table.
type exactLimit struct {
	verdict string
	counted rat // the highest amount in any mixture; nil where none was added up
}

// limits judges every row that names a substance of the product, in each
// mixture, with what is there at most; the worst mixture decides. The rules of a
// row are those of limits_plain_test.go.
func (x *exactRun) limits() map[string]exactLimit {
	out := map[string]exactLimit{}
	tableRows, seen := []map[string]string{}, map[string]bool{}
	certain := map[string]bool{}
	var names []string
	for name, e := range x.content[0] {
		if e.total.hi.Sign() == 0 || len(x.book.limitsOf(name)) == 0 {
			continue
		}
		names = append(names, name)
		for _, c := range x.content {
			certain[name] = certain[name] || c[name] != nil && c[name].certain
		}
		for _, r := range x.book.limitsOf(name) {
			if !seen[r["key"]] {
				seen[r["key"]] = true
				tableRows = append(tableRows, r)
			}
		}
	}
	tableRows = slices.DeleteFunc(tableRows, func(r map[string]string) bool { // what is a trace alone serves no purpose
		return slices.ContainsFunc(names, func(n string) bool {
			return len(x.content[0][n].functions) == 0 && slices.ContainsFunc(x.book.limitsOf(n), func(o map[string]string) bool { return o["key"] == r["key"] })
		})
	})
	names = slices.DeleteFunc(names, func(n string) bool { return len(x.content[0][n].functions) == 0 })
	for i := range x.mixes {
		p := plainProduct{kind: x.kind, market: rows.Market(x.market), day: x.day, ages: x.ages, counted: func(key string, amount *big.Rat) {
			l := out[key]
			if l.counted == nil || amount.Cmp(l.counted) > 0 {
				l.counted = new(big.Rat).Set(amount)
			}
			out[key] = l
		}}
		for _, name := range names {
			u, e := x.book.useOf(name), x.content[0][name]
			u.function, u.scent, u.pct = e.functions[0], e.scent, x.total(name)(i).hi
			p.uses = append(p.uses, u)
		}
		for key, v := range x.verdicts(tableRows, p) {
			l := out[key]
			if l.verdict == "" || v == "exceeded" {
				l.verdict = v
			}
			out[key] = l
		}
	}
	for _, r := range tableRows {
		for _, name := range names {
			key := r["key"] + "|" + name
			if l := out[key]; r["max_pct"] == "0" && l.verdict == "exceeded" && !certain[name] {
				out[key] = exactLimit{verdict: "undecided"}
			}
		}
	}
	return out
}

// verdicts judges the rows that name something of the product; factors are looked
// for in the whole table.
func (x *exactRun) verdicts(rows []map[string]string, p plainProduct) map[string]string {
	return plainVerdicts(rows, x.book.limits, p, x.book.dict)
}

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

// react turns each mixture into what it is when sold. Stoichiometry: 1 g of fat
// takes SV mg of KOH, or 40.00/56.11 of that as NaOH; three molecules of lye set
// one of glycerin free, one of lye one of water from a free acid. Where lye is
// short all fats react to the same degree. Source: saponification.csv and
// facts.csv, rows soap-…; the bounds hold every combination of saponification
// values and strengths of the lye.
func (x *exactRun) react() {
	for i := range x.mixes {
		m := &exactMaterial{id: strings.TrimSuffix("lye reaction of "+x.mixes[i].name, " of "), function: "other", complete: true}
		x.soaps = append(x.soaps, m)
		x.reactIn(&x.mixes[i], m)
	}
}

type exactFat struct {
	name      string
	pct       rat
	rows      []map[string]string
	sv, takes span
}

// most one: a share of what there is.
func share(a, b rat) rat {
	if b.Sign() <= 0 || a.Cmp(b) > 0 {
		return q(1, 1)
	}
	return over(a, b)
}

func (x *exactRun) reactIn(mix *exactMix, m *exactMaterial) {
	f := x.book.fact
	per := q(1, 1)
	if x.soap.alkali == "Sodium Hydroxide" {
		per = f("soap-naoh-per-koh")
	}
	var fats []*exactFat
	var others []exactShare
	given, takes, water, mass := nothing(), nothing(), nothing(), new(big.Rat)
	for _, s := range mix.shares {
		switch {
		case s.material == "lye":
			given = given.plus(x.parts["lye"][0].pct.times(over(s.pct, times(q(100, 1), per))))
			water = water.plus(x.parts["lye"][1].pct.times(over(s.pct, q(100, 1))))
		case s.material == "water":
			water = water.plus(only(s.pct))
		case strings.HasPrefix(s.material, "fat-"):
			fat := x.fat(x.parts[s.material][0].name, s.pct)
			fats = append(fats, fat)
			takes = takes.plus(fat.takes)
		default:
			others = append(others, s)
			continue
		}
		mass = plus(mass, s.pct)
	}
	add := func(name string, pct span, unknown bool) {
		if pct.hi.Sign() > 0 {
			m.parts = append(m.parts, exactPart{name: name, pct: pct, unknown: unknown})
		}
	}
	glycerin := nothing()
	loss := x.soap.loss
	for _, fat := range fats {
		d := fat.takes
		used := span{
			times(d.lo, share(given.lo, plus(minus(takes.hi, d.hi), d.lo))),
			times(d.ty, share(given.ty, takes.ty)),
			times(d.hi, share(given.hi, plus(minus(takes.lo, d.lo), d.hi))),
		}
		reacted := span{times(fat.pct, share(given.lo, takes.hi)), times(fat.pct, share(given.ty, takes.ty)), times(fat.pct, share(given.hi, takes.lo))}
		lost := new(big.Rat)
		switch fat.rows[0]["kind"] {
		case "glyceride":
			lost = f("soap-glycerin-per-koh")
			glycerin = glycerin.plus(used.times(lost))
		case "acid":
			lost = f("soap-water-per-koh")
			water = water.plus(used.times(lost))
		}
		soap := reacted.plus(used.times(minus(per, lost)))
		names := x.soapNames(fat)
		for _, n := range names {
			add(n.name, span{percent(soap.lo, n.pct.lo), percent(soap.ty, n.pct.ty), percent(soap.hi, n.pct.hi)}, false)
		}
		if len(names) == 0 {
			add(strings.ToLower(strings.Fields(x.soap.alkali)[0])+" soap of "+fat.name, soap, true)
		}
		add(fat.name, span{most(minus(fat.pct, reacted.hi), new(big.Rat)), minus(fat.pct, reacted.ty), minus(fat.pct, reacted.lo)}, false)
	}
	add("Glycerin", glycerin, false)
	if water.ty.Cmp(loss) < 0 {
		loss = new(big.Rat)
	}
	add("Aqua", span{most(minus(water.lo, loss), new(big.Rat)), minus(water.ty, loss), minus(water.hi, loss)}, false)
	free := span{given.lo, given.ty, given.hi}.beyond(span{takes.hi, takes.ty, takes.lo}).times(per)
	mass = minus(mass, loss)
	ofMass := over(q(100, 1), mass)
	if free.ty.Sign() > 0 {
		add(x.soap.alkali, free, false)
	} else if free.hi.Sign() > 0 {
		m.traces = append(m.traces, exactPart{name: x.soap.alkali, pct: free.times(ofMass)})
	}
	low, high := new(big.Rat), new(big.Rat)
	for i, p := range m.parts {
		m.parts[i].pct = p.pct.times(ofMass)
		low, high = plus(low, m.parts[i].pct.lo), plus(high, m.parts[i].pct.hi)
	}
	x.parts[m.id] = m.parts
	if low.Cmp(q(100, 1)) <= 0 && high.Cmp(q(100, 1)) >= 0 {
		x.parts[m.id] = tightParts(m.parts)
	}
	left := minus(q(100, 1), loss)
	mix.shares = []exactShare{{m.id, over(times(q(100, 1), mass), left), false, 0}}
	for _, s := range others {
		mix.shares = append(mix.shares, exactShare{s.material, over(times(q(100, 1), s.pct), left), s.added, s.line})
	}
}

// fat covers all rows of a name: olive and olive pomace oil share theirs. Waxes
// may not react at all.
func (x *exactRun) fat(name string, pct rat) *exactFat {
	f := &exactFat{name: name, pct: pct}
	var lo, hi rat
	for _, r := range x.book.fats {
		if !slices.ContainsFunc(strings.Split(r["inci"], " / "), func(n string) bool { return x.book.same(n, name) }) {
			continue
		}
		f.rows = append(f.rows, r)
		if a, b := figure(r, "sv_min_mg_koh_g"), figure(r, "sv_max_mg_koh_g"); a != nil && b != nil {
			if lo == nil {
				lo, hi = a, b
			}
			lo, hi = least(lo, a), most(hi, b)
		}
	}
	f.sv = span{lo, over(plus(lo, hi), q(2, 1)), hi}
	f.takes = f.sv.times(over(pct, q(1000, 1)))
	if f.rows[0]["kind"] == "wax" {
		f.takes.lo = new(big.Rat)
	}
	return f
}

// soapNames shares the soap of a fat out by the pattern of its acids, in order.
func (x *exactRun) soapNames(f *exactFat) []exactPart {
	column := "soap_inci_sodium"
	if x.soap.alkali == "Potassium Hydroxide" {
		column = "soap_inci_potassium"
	}
	var names, acids []string
	for n := range strings.SplitSeq(f.rows[0][column], ";") {
		if n = strings.TrimSpace(n); n != "" {
			names = append(names, n)
		}
	}
	for a := range strings.SplitSeq(f.rows[0]["fatty_acids_typical_pct"], ";") {
		if words := strings.Fields(a); len(words) == 2 && words[1][0] >= '0' && words[1][0] <= '9' {
			acids = append(acids, words[1])
		}
	}
	var parts []exactPart
	for i, n := range names {
		if len(names) == 1 {
			return []exactPart{{name: n, pct: only(q(100, 1))}}
		}
		lo, hi, isRange := strings.Cut(acids[i], "-")
		p := only(dec(lo))
		if isRange {
			p = span{dec(lo), over(plus(dec(lo), dec(hi)), q(2, 1)), dec(hi)}
		}
		parts = append(parts, exactPart{name: n, pct: p, text: acids[i]})
	}
	if len(parts) == 0 {
		return nil
	}
	low, sum, high := new(big.Rat), new(big.Rat), new(big.Rat)
	for _, p := range parts {
		low, sum, high = plus(low, p.pct.lo), plus(sum, p.pct.ty), plus(high, p.pct.hi)
	}
	if low.Cmp(q(100, 1)) <= 0 && high.Cmp(q(100, 1)) >= 0 {
		return tightParts(parts)
	}
	for i, p := range parts {
		parts[i].pct = span{new(big.Rat), over(times(q(100, 1), p.pct.ty), sum), q(100, 1)}
	}
	return parts
}

// The files exact_*_test.go hold the whole calculation a second time, on
// math/big.Rat, written from the published rules alone: no function of this
// package is called, and the tables are read as text. What is judged by other
// means is the condition of a limit row, which calc/law tests word by word on its
// own (see slow_test.go there).

type rat = *big.Rat

func q(n, d int64) rat { return big.NewRat(n, d) }

// dec reads a decimal or a quotient of two.
func dec(s string) rat {
	if top, bottom, ok := strings.Cut(s, "/"); ok {
		return over(dec(top), dec(bottom))
	}
	r, ok := new(big.Rat).SetString(strings.TrimSpace(s))
	if !ok {
		panic("no number: " + s)
	}
	return r
}

func plus(all ...rat) rat {
	sum := new(big.Rat)
	for _, a := range all {
		sum.Add(sum, a)
	}
	return sum
}

func minus(a, b rat) rat { return new(big.Rat).Sub(a, b) }

func times(all ...rat) rat {
	p := q(1, 1)
	for _, a := range all {
		p.Mul(p, a)
	}
	return p
}

func over(a, b rat) rat { return new(big.Rat).Quo(a, b) }

func least(a, b rat) rat {
	if b.Cmp(a) < 0 {
		return b
	}
	return a
}

func most(a, b rat) rat {
	if b.Cmp(a) > 0 {
		return b
	}
	return a
}

func percent(a, b rat) rat { return over(times(a, b), q(100, 1)) }

// span is a content between bounds, with a typical value.
type span struct{ lo, ty, hi rat }

func only(r rat) span { return span{r, r, r} }

func nothing() span { return only(new(big.Rat)) }

func (s span) plus(t span) span { return span{plus(s.lo, t.lo), plus(s.ty, t.ty), plus(s.hi, t.hi)} }

func (s span) times(f rat) span { return span{times(s.lo, f), times(s.ty, f), times(s.hi, f)} }

func (s span) beyond(t span) span {
	z := new(big.Rat)
	return span{most(minus(s.lo, t.lo), z), most(minus(s.ty, t.ty), z), most(minus(s.hi, t.hi), z)}
}

// exactPart is a content of a sheet as typed, and what that text means.
type exactPart struct {
	name string // as typed
	text string // the amount as typed
	pct  span
	rest bool // q.s.
	// unknown: nobody has said what it is
	unknown bool
}

// exactMaterial is a raw material.
type exactMaterial struct {
	id       string
	scent    string // "", Parfum or Aroma
	function string // in the words of the conditions
	complete bool
	parts    []exactPart
	traces   []exactPart
	list     string // the list its allergens are declared against; "" for no declaration
	declared []exactPart
	// category and figure of the certificate; nil and "" for none
	category    string
	limit       rat
	certificate string // "", figure, closed, open
	tox         []exactTox
}

// exactTox is a toxicological value on a sheet; nil figures are not given.
type exactTox struct {
	name, kind, study, cramer string
	value, dermal, oral, area rat
	replaces                  bool
}

type exactFill struct {
	material string
	share    rat // % of the slot; parts per 100 for additions
}

type exactLine struct {
	material, slot string
	amount         rat
	rest           bool
}

type exactPortion struct {
	share rat
	fill  map[string][]exactFill
}

// exactCase is one generated formula with everything that figures depend on.
type exactCase struct {
	seed      uint64
	kind      string // key of the product type
	market    string // EU or GB
	day, ages string
	grams     bool
	lines     []exactLine
	fill      map[string][]exactFill
	portions  []exactPortion
	then      []exactFill
	materials []*exactMaterial
	own       *exactOwn
	soap      *exactSoap

	batch, division, fine, fineMost rat // fine is nil without a second balance
}

// exactOwn is an exposure that the product file states; nil is not given.
type exactOwn struct{ amount, retention, relative, weight, area, perDay rat }

// exactSoap is the reaction with lye that the product file states.
type exactSoap struct {
	alkali string
	loss   rat
}

func (c *exactCase) material(id string) *exactMaterial {
	i := slices.IndexFunc(c.materials, func(m *exactMaterial) bool { return m.id == id })
	return c.materials[i]
}

// exactShare is one material of a mixture, in % of it.
type exactShare struct {
	material string
	pct      rat
	added    bool
	line     int // of the formula, or of what is added
}

// exactMix is a mixture that every rule is asked of: the whole, or a portion.
type exactMix struct {
	name   string
	share  rat
	shares []exactShare
}

// use adds up the lines of one material.
func (m exactMix) use(material string) rat {
	sum := new(big.Rat)
	for _, s := range m.shares {
		if s.material == material {
			sum.Add(sum, s.pct)
		}
	}
	return sum
}

// mixtures resolves the formula, step by step as the file format words it.
func (c *exactCase) mixtures() []exactMix {
	if len(c.portions) == 0 {
		return []exactMix{{"", q(100, 1), c.resolve(nil)}}
	}
	whole := exactMix{share: q(100, 1)}
	var parts []exactMix
	for i := range c.portions {
		p := &c.portions[i]
		m := exactMix{"portion " + formula.Itoa(i+1), p.share, c.resolve(p)}
		parts = append(parts, m)
		for _, s := range m.shares {
			s.pct = percent(s.pct, p.share)
			same := slices.IndexFunc(whole.shares, func(o exactShare) bool { return o.material == s.material && o.line == s.line && o.added == s.added })
			if same < 0 {
				whole.shares = append(whole.shares, s)
				continue
			}
			whole.shares[same].pct = plus(whole.shares[same].pct, s.pct)
		}
	}
	return append([]exactMix{whole}, parts...)
}

func (c *exactCase) resolve(p *exactPortion) []exactShare {
	var out []exactShare
	rest, typed, empty := -1, new(big.Rat), new(big.Rat)
	for li, l := range c.lines {
		fills := []exactFill{{l.material, q(100, 1)}}
		if l.slot != "" {
			fills = c.fill[l.slot]
			if p != nil && p.fill[l.slot] != nil {
				fills = p.fill[l.slot]
			}
		}
		if l.rest {
			rest = len(out)
		}
		if len(fills) == 0 {
			empty.Add(empty, l.amount)
			continue
		}
		for _, f := range fills {
			amount := new(big.Rat)
			if !l.rest {
				amount = percent(l.amount, f.share)
			}
			out = append(out, exactShare{f.material, amount, false, li})
			typed.Add(typed, amount)
		}
	}
	switch {
	case c.grams: // masses over their sum
		for i := range out {
			out[i].pct = over(times(out[i].pct, q(100, 1)), typed)
		}
	case rest >= 0: // whatever is missing to 100, an empty slot's part too
		out[rest].pct = minus(q(100, 1), typed)
	case empty.Sign() > 0: // nobody takes the place of what is left out
		for i := range out {
			out[i].pct = over(times(out[i].pct, q(100, 1)), typed)
		}
	}
	if len(c.then) == 0 {
		return out
	}
	total := q(100, 1)
	for _, a := range c.then {
		total.Add(total, a.share)
	}
	for i := range out {
		out[i].pct = over(times(out[i].pct, q(100, 1)), total)
	}
	for i, a := range c.then {
		out = append(out, exactShare{a.material, over(times(a.share, q(100, 1)), total), true, i})
	}
	return out
}

// tightened are the parts of a material with bounds that their sum of 100 leaves
// possible, the undeclared part at the end.
func (m *exactMaterial) tightened() []exactPart {
	parts := slices.Clone(m.parts)
	switch {
	case len(parts) == 0:
		return []exactPart{{name: m.scent, pct: only(q(100, 1))}}
	case !m.complete && m.scent != "":
		parts = append(parts, exactPart{name: m.scent, rest: true})
	case !m.complete:
		parts = append(parts, exactPart{name: "undeclared part of " + m.id, rest: true, unknown: true})
	}
	return tightParts(parts)
}

// tightParts is the rule of the composition that adds up to 100:
// max(i) ≤ 100 − Σ min(others), min(i) ≥ 100 − Σ max(others); typical values go
// towards their bounds in proportion to the room there.
func tightParts(parts []exactPart) []exactPart {
	hundred := q(100, 1)
	for i, p := range parts {
		if p.rest {
			left := hundred
			for j, o := range parts {
				if j != i {
					left = minus(left, o.pct.ty)
				}
			}
			parts[i].pct = span{new(big.Rat), most(left, new(big.Rat)), hundred}
		}
	}
	out := slices.Clone(parts)
	sum := new(big.Rat)
	for i, p := range parts {
		low, high := new(big.Rat), new(big.Rat)
		for j, o := range parts {
			if j != i {
				low, high = plus(low, o.pct.lo), plus(high, o.pct.hi)
			}
		}
		lo, hi := most(p.pct.lo, minus(hundred, high)), least(p.pct.hi, minus(hundred, low))
		out[i].pct = span{lo, least(most(p.pct.ty, lo), hi), hi}
		sum = plus(sum, out[i].pct.ty)
	}
	missing := minus(hundred, sum)
	if missing.Sign() != 0 {
		room := func(s span) rat {
			if missing.Sign() > 0 {
				return minus(s.hi, s.ty)
			}
			return minus(s.ty, s.lo)
		}
		all := new(big.Rat)
		for _, p := range out {
			all = plus(all, room(p.pct))
		}
		for i, p := range out {
			out[i].pct.ty = plus(p.pct.ty, over(times(missing, room(p.pct)), all))
		}
	}
	if last := len(out) - 1; parts[last].rest && parts[last].text == "" && out[last].pct.hi.Sign() == 0 {
		out = out[:last] // nothing is undeclared after all
	}
	return out
}

// exactContent is one substance in one mixture.
type exactContent struct {
	comp, total, trace span
	functions          []string // of what brings it in, traces apart
	scent              bool     // scents alone bring it in
	certain            bool     // it is there whatever the ranges, traces apart
	ingredient         bool     // a constituent, not only declared or a trace
	traced, counted    bool
	unknown            bool
}

// contents multiplies a mixture out: Σ lines share × content / 100. A declared
// allergen that the same material lists too counts for what it has beyond that.
func (x *exactRun) contents(m exactMix) map[string]*exactContent {
	out := map[string]*exactContent{}
	of := func(name string) *exactContent {
		if out[name] == nil {
			out[name] = &exactContent{comp: nothing(), total: nothing(), trace: nothing(), scent: true}
		}
		return out[name]
	}
	for _, s := range m.shares {
		mat, here := x.material(s.material), map[string]span{}
		by := over(s.pct, q(100, 1))
		function := mat.function
		if mat.scent != "" {
			function = "fragrance"
		}
		for _, p := range x.parts[s.material] {
			name, pct := x.name(p.name), p.pct.times(by)
			e := of(name)
			e.comp, e.total = e.comp.plus(pct), e.total.plus(pct)
			e.ingredient, e.counted, e.unknown = true, true, p.unknown
			e.certain = e.certain || pct.lo.Sign() > 0
			e.functions = append(e.functions, function)
			e.scent = e.scent && mat.scent != ""
			if have, ok := here[name]; ok {
				pct = pct.plus(have)
			}
			here[name] = pct
		}
		for _, d := range mat.declared {
			name, pct := x.name(d.name), d.pct.times(by)
			e := of(name)
			e.certain = e.certain || pct.lo.Sign() > 0
			if have, ok := here[name]; ok {
				pct = pct.beyond(have)
			}
			e.total = e.total.plus(pct)
			e.functions, e.counted = append(e.functions, "fragrance"), true
			e.scent = e.scent && mat.scent != ""
		}
		for _, t := range mat.traces {
			e := of(x.name(t.name))
			pct := t.pct.times(by)
			e.total, e.trace, e.traced = e.total.plus(pct), e.trace.plus(pct), true
		}
	}
	return out
}

// tie moves one amount of the case so that a figure falls exactly onto what it
// is compared with, or a billionth of it above or below, and says which; "" where
// nothing can be moved. All figures are straight lines in the amount of a line
// while water gives way.
func (g *exactGenerator) tie() string {
	c := g.c
	switch g.IntN(4) {
	case 0:
		return ""
	case 1:
		return g.tieMargin()
	}
	x := newExactRun(c, g.book)
	name, read, bound := g.measure(x)
	if read == nil {
		return ""
	}
	bound = times(bound, pick(g, []rat{q(1, 1), q(1, 1), q(1_000_000_001, 1_000_000_000), q(999_999_999, 1_000_000_000)}))
	for _, i := range g.Perm(len(c.lines)) {
		line := &c.lines[i]
		if i == 0 || c.soap != nil {
			continue
		}
		was, water := line.amount, c.lines[0].amount
		move := func(by rat) bool {
			line.amount = plus(was, by)
			if !c.lines[0].rest {
				c.lines[0].amount = minus(water, by)
			}
			others := new(big.Rat)
			for _, l := range c.lines[1:] {
				others = plus(others, l.amount)
			}
			return line.amount.Sign() > 0 && (c.lines[0].rest && others.Cmp(q(100, 1)) < 0 || !c.lines[0].rest && c.lines[0].amount.Sign() > 0)
		}
		here, small := read(newExactRun(c, g.book)), over(was, q(1000, 1))
		if move(small) && here != nil {
			if there := read(newExactRun(c, g.book)); there != nil && there.Cmp(here) != 0 {
				if move(over(times(minus(bound, here), small), minus(there, here))) {
					if now := read(newExactRun(c, g.book)); now != nil && now.Cmp(bound) == 0 {
						return name
					}
				}
			}
		}
		line.amount, c.lines[0].amount = was, water
	}
	return ""
}

// measure chooses a figure of the case and what it is compared with.
func (g *exactGenerator) measure(x *exactRun) (name string, read func(*exactRun) rat, bound rat) {
	allergens := x.allergens()
	uses, _ := x.scents()
	switch kind := g.IntN(4); {
	case kind == 0 && len(allergens) > 0:
		a := pick(g, allergens)
		low := g.chance(3)
		return "allergen " + a.label, func(x *exactRun) rat {
			for _, b := range x.allergens() {
				if b.label == a.label && low {
					return b.worst.lo
				} else if b.label == a.label {
					return b.worst.hi
				}
			}
			return nil
		}, a.threshold
	case kind == 1 && len(uses) > 0:
		u := pick(g, uses)
		if u.ratio != nil {
			return "certificate of " + u.material, func(x *exactRun) rat {
				uses, _ := x.scents()
				for _, v := range uses {
					if v.material == u.material {
						return v.ratio
					}
				}
				return nil
			}, q(1, 1)
		}
	case kind == 2:
		entries := x.list(allergens)
		if i := g.IntN(len(entries)); i > 0 {
			e, before, order := entries[i], entries[i-1], g.chance(2)
			find := func(x *exactRun, name string) rat {
				for _, o := range x.list(x.allergens()) {
					if o.name == name {
						return o.pct.ty
					}
				}
				return nil
			}
			if order && before.pct.ty.Sign() > 0 && e.pct.ty.Sign() > 0 {
				return "order of " + e.name, func(x *exactRun) rat {
					a, b := find(x, before.name), find(x, e.name)
					if a == nil || b == nil {
						return nil
					}
					return plus(q(1, 1), minus(b, a))
				}, q(1, 1)
			}
			return "1 % of " + e.name, func(x *exactRun) rat { return find(x, e.name) }, g.book.fact("order-threshold")
		}
	}
	for key, l := range x.sortedLimits() {
		for _, r := range x.book.limits {
			plain := r["key"] == key || len(key) > len(r["key"]) && key[:len(r["key"])+1] == r["key"]+"|"
			if plain && r["max_pct"] != "" && r["max_pct"] != "0" && l.counted.Sign() > 0 && g.chance(2) {
				return "limit " + key, func(x *exactRun) rat { return x.limits()[key].counted }, dec(r["max_pct"])
			}
		}
	}
	return "", nil, nil
}

// sortedLimits returns the limits that count something, in the order of their keys.
func (x *exactRun) sortedLimits() func(yield func(string, exactLimit) bool) {
	limits := x.limits()
	return func(yield func(string, exactLimit) bool) {
		for _, key := range sortedKeys(limits) {
			if l := limits[key]; l.counted != nil && !yield(key, l) {
				return
			}
		}
	}
}

// tieMargin sets a point of departure so that a margin is exactly its target, or
// the dose exactly the threshold of concern.
func (g *exactGenerator) tieMargin() string {
	x := newExactRun(g.c, g.book)
	margins := x.margins(x.exposure())
	for _, m := range g.c.materials {
		for i := range m.tox {
			v := &m.tox[i]
			w := margins[x.name(v.name)]
			if w == nil || w.mos == nil || v.value == nil {
				continue
			}
			was := v.value
			v.value = over(times(v.value, w.goal), w.mos)
			if g.chance(4) {
				v.value = times(v.value, pick(g, []rat{q(1_000_000_001, 1_000_000_000), q(999_999_999, 1_000_000_000)}))
			}
			if n, exact := v.value.FloatPrec(); !exact || n > 12 { // no paper has more digits
				v.value = dec(v.value.FloatString(9))
			}
			again := x.margins(x.exposure())[x.name(v.name)]
			if v.value.Sign() > 0 && again.mos != nil && over(minus(again.mos, again.goal), again.goal).Cmp(q(1, 1_000_000)) < 0 {
				return "margin of " + v.name
			}
			v.value = was
		}
	}
	return ""
}

func sortedKeys(m map[string]exactLimit) []string { return slices.Sorted(maps.Keys(m)) }

// weighing compares the masses of a batch: exact ones add up to the batch, and
// those of one balance are cut to its steps, the steps that are missing going one
// each to those that lost most.
func (s *exactScore) weighing(c *exactCase, r *calc.Result) {
	b := masses.Balance{DivisionG: toNum(c.division), FineG: toNumPtr(c.fine), FineMaxG: toNumPtr(c.fineMost)}
	plan, _ := masses.PlanBatch(r.Recipe, toNum(c.batch), b, table.Builtin())
	mixes := c.mixtures()
	good := times(q(100, 1), c.division)
	groups := map[string][]int{}
	exact := map[string]rat{}
	for i, l := range plan.Lines {
		g := dec(l.ExactG.Exact())
		if exact[l.Ingredient] == nil {
			exact[l.Ingredient] = new(big.Rat)
		}
		exact[l.Ingredient] = plus(exact[l.Ingredient], g)
		step, name := c.division, "coarse"
		if c.fine != nil && g.Cmp(good) < 0 && g.Cmp(c.fineMost) <= 0 {
			step, name = c.fine, "fine"
		}
		s.num("step", step, l.StepG)
		groups[name] = append(groups[name], i)
	}
	for _, m := range mixes[0].shares {
		if g := exact[m.material]; g != nil {
			s.num("mass of "+m.material, percent(mixes[0].use(m.material), c.batch), toNum(g))
		} else if m.pct.Sign() > 0 {
			s.fail("%s is not weighed", m.material)
		}
	}
	for _, lines := range groups {
		s.rounded(plan, lines)
	}
}

func (s *exactScore) rounded(plan *masses.Plan, lines []int) {
	step := dec(plan.Lines[lines[0]].StepG.Exact())
	floor := func(r rat) rat { return times(new(big.Rat).SetInt(new(big.Int).Div(r.Num(), r.Denom())), step) }
	sum, given := new(big.Rat), new(big.Rat)
	out := map[int]rat{}
	for _, i := range lines {
		g := dec(plan.Lines[i].ExactG.Exact())
		sum = plus(sum, g)
		out[i] = floor(over(g, step))
		given = plus(given, out[i])
	}
	total := floor(plus(over(sum, step), q(1, 2)))
	lost := slices.Clone(lines)
	slices.SortStableFunc(lost, func(a, b int) int {
		return minus(dec(plan.Lines[b].ExactG.Exact()), out[b]).Cmp(minus(dec(plan.Lines[a].ExactG.Exact()), out[a]))
	})
	for _, i := range lost {
		if given.Cmp(total) < 0 {
			out[i], given = plus(out[i], step), plus(given, step)
		}
	}
	for _, i := range lines {
		s.num("weighed "+plan.Lines[i].Ingredient, out[i], plan.Lines[i].G)
	}
}

func exposureOf(t testing.TB, productType string, audience formula.Audience, own *formula.OwnExposure) (exposure.Exposure, []string) {
	t.Helper()
	e, fs := exposure.ExposureOf(formulatest.OfType(t, productType, audience, own))
	return e, formulatest.Codes(fs)
}

// plainUse is one substance of a generated product.
type plainUse struct {
	name     string
	cas      []string
	function string // in the words of the conditions
	scent    bool   // a scent brings it in: whether it is natural is not known
	pct      *big.Rat
}

// plainProduct is a generated product: pure materials in water.
type plainProduct struct {
	kind   string
	market rows.Market
	day    string
	ages   string
	uses   []plainUse
	// counted is told what was added up for a row, where it is not nil
	counted func(key string, amount *big.Rat)
}

var plainFunctions = map[string]string{"preservative": "preservative", "other": "emollient", "fragrance": "fragrance", "uv-filter": "UV filter", "ph-adjuster": "pH adjuster", "peroxide-stabiliser": "peroxide stabiliser", "colourant": "colourant"}

// plainJudge says whether a row holds for a use: date, market, condition.
func plainJudge(row map[string]string, p plainProduct, u plainUse) law.Verdict {
	market := "EU"
	if p.market == rows.GB {
		market = "GB"
	}
	if !slices.Contains(strings.Split(row["market"], "+"), market) || row["applies_from"] > p.day || row["applies_until"] != "" && row["applies_until"] < p.day {
		return law.DoesNot
	}
	if row["replaced_from"] != "" && row["replaced_from"] <= p.day && slices.Contains(strings.Split(row["replaced_in"], "+"), market) {
		return law.DoesNot
	}
	c := plainCondition(row["condition"])
	pt, _ := law.ProductType(table.Builtin(), p.kind)
	s := law.SituationOf(pt)
	ages, _ := law.AgesOf(p.ages)
	if s.Ages != nil {
		ages = law.Ages{From: min(ages.From, s.Ages.From), To: max(ages.To, s.Ages.To)}
	}
	s.Ages, s.Professional, s.Nano, s.Massive, s.Natural, s.RefiningKnown = &ages, law.No, law.No, law.No, law.No, law.Unknown
	s.Functions, s.FunctionsKnown = []string{u.function}, true
	if u.scent {
		s.Natural = law.Unknown
	}
	v := law.JudgeCondition(c, s).Verdict
	switch other := v == law.Holds; { // purposes and forms beside the condition leave a row open
	case other && row["only_form"] != "",
		other && row["annex"] == "V" && u.function == "fragrance" && !strings.Contains(row["condition"], "function="),
		other && row["annex"] == "VI" && u.function != "uv-filter":
		return law.Undecided
	}
	return v
}

var plainConditions sync.Map // text → law.Condition

func plainCondition(text string) condition.Condition {
	if c, ok := plainConditions.Load(text); ok {
		return c.(condition.Condition)
	}
	c, err := condition.Parse(text)
	if err != nil {
		panic(err)
	}
	plainConditions.Store(text, c)
	return c
}

var plainNamed sync.Map // row and name → bool

// plainNames says whether a row names a substance, by name or number.
func plainNames(row map[string]string, u plainUse, dict *ingredients.Dictionary) bool {
	key := [2]string{row["key"], u.name}
	is, ok := plainNamed.Load(key)
	if !ok {
		is = findPlainName(row, u, dict)
		plainNamed.Store(key, is)
	}
	return is.(bool)
}

func findPlainName(row map[string]string, u plainUse, dict *ingredients.Dictionary) bool {
	for n := range strings.SplitSeq(row["inci_names"], ";") {
		n = strings.TrimSpace(n)
		if strings.EqualFold(n, u.name) || dict.Lookup(n) != nil && dict.Lookup(n) == dict.Lookup(u.name) {
			return true
		}
	}
	for c := range strings.SplitSeq(row["cas"], ";") {
		if slices.Contains(u.cas, strings.TrimSpace(c)) {
			return true
		}
	}
	return false
}

var plainFactors sync.Map // row and name → *big.Rat

// plainFactor is the mass factor of a substance in a basis, nil where none is
// known.
func plainFactor(rows []map[string]string, row map[string]string, name string) *big.Rat {
	key := row["key"] + "|" + name
	f, ok := plainFactors.Load(key)
	if !ok {
		f = findPlainFactor(rows, row, name)
		plainFactors.Store(key, f)
	}
	return f.(*big.Rat)
}

func findPlainFactor(rows []map[string]string, row map[string]string, name string) *big.Rat {
	one := big.NewRat(1, 1)
	if row["counted_as"] == "" || row["whole"] == "yes" {
		return one
	}
	if f := plainIn(row["factors"], name); f != nil {
		return f
	}
	var best *big.Rat
	for _, r := range rows {
		if r["counted_as"] != row["counted_as"] {
			continue
		}
		if f := plainIn(r["factors"], name); f != nil && (best == nil || best.Cmp(f) < 0) {
			best = f
		}
	}
	if best != nil {
		return best
	}
	for as := range strings.SplitSeq(row["counted_as"], ";") {
		if end, ok := strings.CutPrefix(as, "*"); ok && strings.HasSuffix(strings.ToLower(name), end) || strings.EqualFold(as, name) {
			return one
		}
	}
	return nil
}

// plainIn reads a factor of a name from a cell name|form|factor;…, the highest
// of several forms.
func plainIn(factors, name string) *big.Rat {
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

// plainSkip names rows whose limit is not the content of a substance.
func plainSkip(row map[string]string) bool { return row["counts"] != "" || row["annex"] == "IV" }

// plainAdds says whether the substances of another row are added to those of a
// row.
func plainAdds(row, other map[string]string) bool {
	if row["sum_entries"] != "" {
		return row["sum_group"] == other["sum_group"] && slices.Contains(strings.Split(row["sum_entries"], ";"), other["annex"]+"/"+other["entry"])
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

// plainVerdicts judges every row that names a substance of the product, keyed by
// row, or by row and substance where each stands alone. Rows that a missing fact
// or factor leaves open are left out.
// table is where rows that are added and factors are looked up.
func plainVerdicts(rows, table []map[string]string, p plainProduct, dict *ingredients.Dictionary) map[string]string {
	out := map[string]string{}
	for _, row := range rows {
		if plainSkip(row) {
			continue
		}
		summed := slices.Contains([]string{"all", "below", "label"}, row["sum"])
		var own []plainUse
		for _, u := range p.uses {
			if plainNames(row, u, dict) {
				own = append(own, u)
			}
		}
		if len(own) == 0 || plainJudge(map[string]string{"condition": "all", "market": row["market"], "applies_from": row["applies_from"], "applies_until": row["applies_until"], "replaced_from": row["replaced_from"], "replaced_in": row["replaced_in"]}, p, own[0]) == law.DoesNot {
			continue
		}
		switch {
		case row["sum"] == "exclusive":
			continue // by hand in TestIsothiazolinones and TestAlkynoates
		case summed:
			if v := plainSum(rows, table, row, p, own, dict); v != "" {
				out[row["key"]] = v
			}
		default:
			for _, u := range own {
				if v := plainEach(table, row, p, u, dict); v != "" {
					out[row["key"]+"|"+u.name] = v
				}
			}
		}
	}
	return out
}

func plainEach(rows []map[string]string, row map[string]string, p plainProduct, u plainUse, dict *ingredients.Dictionary) string {
	switch v := plainJudge(row, p, u); {
	case v == law.DoesNot:
		return "not applicable"
	case v == law.Undecided:
		return ""
	case row["max_pct"] == "":
		return "no figure"
	}
	if row["max_pct"] == "0" {
		for _, e := range strings.Split(row["excepted"], ";") {
			for _, other := range rows {
				if other["annex"]+"/"+other["entry"] != e || other["max_pct"] == "0" || !plainNames(other, u, dict) {
					continue
				}
				if v := plainJudge(other, p, u); v == law.Holds {
					return "not applicable"
				} else if v == law.Undecided {
					return ""
				}
			}
		}
		return "exceeded"
	}
	f := plainFactor(rows, row, u.name)
	if f == nil {
		return ""
	}
	amount := new(big.Rat).Mul(u.pct, f)
	if p.counted != nil {
		p.counted(row["key"]+"|"+u.name, amount)
	}
	return plainCompare(amount, row["max_pct"], false)
}

func plainSum(rows, table []map[string]string, row map[string]string, p plainProduct, own []plainUse, dict *ingredients.Dictionary) string {
	sum, part := new(big.Rat), new(big.Rat)
	counted := map[string]bool{}
	any := false
	add := func(r map[string]string, u plainUse, isOwn bool) bool {
		switch plainJudge(r, p, u) {
		case law.DoesNot:
			return true
		case law.Undecided:
			return false
		}
		if counted[u.name] {
			return true
		}
		f := plainFactor(table, r, u.name)
		if f == nil {
			return false
		}
		counted[u.name] = true
		any = any || isOwn
		amount := new(big.Rat).Mul(u.pct, f)
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
		if other["key"] == row["key"] || !plainAdds(row, other) {
			continue
		}
		for _, u := range p.uses {
			if plainNames(other, u, dict) && !add(other, u, false) {
				return ""
			}
		}
	}
	if row["max_pct"] == "" {
		return "no figure"
	}
	if row["sum_pct"] != "" && row["sum_pct"] != row["max_pct"] {
		if v := plainCompare(part, row["max_pct"], false); v == "exceeded" {
			return v
		}
		return plainCompare(sum, row["sum_pct"], false)
	}
	if p.counted != nil {
		p.counted(row["key"], sum)
	}
	return plainCompare(sum, row["max_pct"], row["sum"] == "below")
}

func plainCompare(amount *big.Rat, limit string, strict bool) string {
	l, _ := new(big.Rat).SetString(limit)
	if c := amount.Cmp(l); c > 0 || strict && c == 0 {
		return "exceeded"
	}
	return "kept"
}

// plainPool lists names of substances that a generated product may hold.
func plainPool(rows []map[string]string, dict *ingredients.Dictionary) []plainUse {
	var pool []plainUse
	seen := map[string]bool{}
	for _, r := range rows {
		if plainSkip(r) || r["class"] != "" {
			continue
		}
		for n := range strings.SplitSeq(r["inci_names"], ";") {
			n = strings.TrimSpace(n)
			sub := dict.Lookup(n)
			if sub == nil || sub.INCI != n || seen[n] || formula.IsBotanical(table.Builtin(), n) || formula.IsCI(n) || strings.Contains(n, "(") || strings.Contains(n, " and ") || strings.Contains(n, "preparations") {
				continue
			}
			seen[n] = true
			pool = append(pool, plainUse{name: n, cas: sub.CAS})
		}
	}
	return pool
}

// poolGroups gathers the pool by sum group.
func poolGroups(rows []map[string]string, pool []plainUse) [][]plainUse {
	var names []string
	by := map[string][]plainUse{}
	for _, r := range rows {
		for _, u := range pool {
			if r["sum_group"] != "" && slices.Contains(strings.Split(r["inci_names"], ";"), u.name) {
				if by[r["sum_group"]] == nil {
					names = append(names, r["sum_group"])
				}
				by[r["sum_group"]] = append(by[r["sum_group"]], u)
			}
		}
	}
	var out [][]plainUse
	for _, n := range names {
		out = append(out, by[n])
	}
	return out
}

const today = 20261125

// limitCase is a product of water and a few materials.
type limitCase struct {
	product  string
	market   rows.Market
	day      int
	audience formula.Audience
	change   func(*formula.Product)
}

// of assesses the product with pairs of sheet and amount.
func (c limitCase) of(t testing.TB, parts ...any) *calc.Result {
	t.Helper()
	lines := []string{"water", "q.s."}
	sheets := []*ingredients.Sheet{formulatest.Material(t, "water", "solvent", "Aqua", "100")}
	for i := 0; i < len(parts); i += 2 {
		s := parts[i].(*ingredients.Sheet)
		sheets = append(sheets, s)
		lines = append(lines, s.ID, parts[i+1].(string))
	}
	p := formulatest.WithFormula(t, formula.Percent, lines...)
	no := false
	p.Professional = &no
	p.IntendedFor = formula.Adults
	if c.audience != "" {
		p.IntendedFor = c.audience
	}
	if c.change != nil {
		c.change(p)
	}
	if c.day == 0 {
		c.day = today
	}
	if c.market == "" {
		c.market = rows.EU
	}
	return calctest.Assess(t, p, &formula.Variant{}, c.product, c.market, c.day, sheets...)
}
