package calc

import (
	"math/big"
	"slices"
	"strings"
)

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
	m.ttcMost = percent(x.book.fact("ttc-cramer-"+itoa(class)), x.book.fact("oral-absorption-default"))
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
