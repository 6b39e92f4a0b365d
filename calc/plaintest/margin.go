package plaintest

import (
	"math/big"
	"slices"
	"strings"
)

// Margin is exposure and margin of one substance.
type Margin struct {
	Content           Span
	Where             string
	Sed, Typical      Rat // mg/kg bw/d; nil where the exposure is not known
	absorbed, dermal  Rat // %
	PodSys, Mos, Goal Rat // nil: none
	Verdict, None     string
	Highest           Rat
	Ttc               string // Verdict of the screening; "" for none
	TtcDose, TtcMost  Rat
	Aggregate         *aggregateSum
	stated            bool // absorption in % is stated
	byArea            Rat  // absorption in µg/cm²; nil: none
}

type aggregateSum struct {
	Sed, Mos Rat
	Verdict  string
}

// pod is one value that a margin could start from.
type departure struct {
	sys, rank, target Rat
	usable, threshold bool
}

// Margins computes SED = E/bw × C/100 × DA/100 and MoS = PoD_sys / SED of each
// substance that is more than a trace. Source: SCCS/1647/22, 3-3.5.4 and 3-5.1.
func (x *Run) Margins(e Exposure) map[string]*Margin {
	out := map[string]*Margin{}
	for name, c := range x.Content[0] {
		if c.counted {
			out[name] = x.margin(name, c, e)
		}
	}
	return out
}

func (x *Run) margin(name string, c *substanceContent, e Exposure) *Margin {
	b, hundred := x.book, Q(100, 1)
	m := &Margin{Verdict: "no margin", Goal: b.fact("mos-target")}
	m.Content, m.Where = x.Worst(x.total(name))
	rows := b.toxOf(name)
	var sheets []toxValue
	for _, mat := range x.Materials {
		if x.Mixes[0].Use(mat.Id).Sign() > 0 {
			for _, v := range mat.Tox {
				if x.name(v.Name) == name {
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
		m.PodSys = best.sys
		if best.target != nil {
			m.Goal = best.target
		}
	}
	noArea := false
	if e.PerKg != nil {
		skin := Percent(Percent(e.PerKg, m.Content.Hi), m.absorbed)
		m.Typical = Percent(Percent(e.PerKg, m.Content.Ty), m.absorbed)
		if m.byArea != nil && !e.swallowed && e.Area != nil && e.PerDay != nil {
			d := Over(Times(m.byArea, e.Area, e.PerDay), Times(Q(1000, 1), e.Weight))
			if e.Child != nil {
				d = Times(d, e.Child)
			}
			if !m.stated || d.Cmp(skin) >= 0 {
				skin, m.Typical, noArea = d, d, true
			}
		}
		m.Sed = skin
		if e.Inhaled != nil {
			m.Sed, m.Typical = Plus(skin, Percent(e.Inhaled, m.Content.Hi)), Plus(m.Typical,
				Percent(e.Inhaled, m.Content.Ty))
		}
	}
	if c.ingredient {
		x.aggregate(name, m, e)
	}
	switch {
	case m.Content.Hi.Sign() == 0:
		m.None = "not there"
	case b.reading(name, name, "use") == "not-needed":
		m.None = "not needed"
	case c.unknown:
		m.None = "undeclared"
	case name == "Parfum" || name == "Aroma":
		m.None = "not disclosed"
	case m.Sed == nil:
		m.None = "no exposure"
	case m.Sed.Sign() == 0:
		m.None = "not absorbed"
	case noThreshold:
		m.None = "no threshold"
	case best == nil && any:
		m.None = "unusable value"
	case best == nil:
		m.None = "no PoD"
		x.screen(name, m, rows, sheets)
	case m.PodSys.Sign() == 0:
		m.None = "not absorbed"
	default:
		m.Mos = Over(m.PodSys, m.Sed)
		m.Verdict = against(m.Mos, m.Goal)
		if !noArea {
			m.Highest = least(Over(Times(m.Content.Hi, m.Mos), m.Goal), hundred)
		}
	}
	return m
}

func against(mos, goal Rat) string {
	if mos.Cmp(goal) < 0 {
		return "below target"
	}
	return "at or above target"
}

// Dermal takes the highest stated absorption, else the default of 50 %; a row
// with the default of 10 % is a case for poor absorption.
func (x *Run) dermal(name string, rows []map[string]string,
	sheets []toxValue) (pct Rat, stated bool, area Rat) {
	standard, poor := x.book.fact("dermal-absorption-default"), x.book.fact("dermal-absorption-poor")
	replaced := slices.ContainsFunc(sheets, func(v toxValue) bool {
		return v.Replaces &&
			(v.Dermal != nil || v.Area != nil)
	})
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
		if v.Dermal != nil && (pct == nil || v.Dermal.Cmp(pct) > 0) {
			pct = v.Dermal
		}
		if v.Area != nil && (area == nil || v.Area.Cmp(area) > 0) {
			area = v.Area
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
func (x *Run) swallowed(rows []map[string]string, sheets []toxValue) (pct Rat) {
	replaced := slices.ContainsFunc(sheets, func(v toxValue) bool { return v.Replaces && v.Oral != nil })
	take := func(o Rat) {
		if o != nil && (pct == nil || o.Cmp(pct) > 0) {
			pct = o
		}
	}
	for _, r := range rows {
		if o := figure(r, "oral_absorption_pct"); !replaced && o != nil &&
			o.Cmp(x.book.fact("oral-absorption-default")) != 0 {
			take(o)
		}
	}
	for _, v := range sheets {
		take(v.Oral)
	}
	if pct == nil {
		return x.book.fact("oral-absorption-swallowed")
	}
	return pct
}

// pod chooses the lowest usable value before the factor for a short study.
func (x *Run) pod(name string, rows []map[string]string, sheets []toxValue,
	dermal Rat) (best *departure, noThreshold, any bool) {
	b := x.book
	standard := b.fact("oral-absorption-default")
	lowest := standard
	var all []departure
	replaced := slices.ContainsFunc(sheets, func(v toxValue) bool { return v.Replaces && v.Value != nil })
	general := b.fact("mos-target")
	add := func(kind string, value, oral, target, short Rat, route string, intake, threshold bool) {
		p := departure{target: target, threshold: threshold, usable: threshold && !intake && value.Sign() > 0 &&
			route != "inhalation" && route != "single"}
		divisor := Q(1, 1)
		switch k := strings.ToUpper(kind); {
		case strings.HasPrefix(k, "LOAEL"), strings.HasPrefix(k, "LOEL"):
			divisor = b.fact("loael-factor")
		case strings.HasPrefix(k, "NOAEL"), strings.HasPrefix(k, "NOEL"), strings.HasPrefix(k,
			"BMDL"), strings.HasPrefix(k, "NO EFFECT LEVEL"):
		default:
			p.usable = false
		}
		internal := oral
		if route == "dermal" {
			internal = dermal
		}
		p.rank = Percent(Over(value, divisor), internal)
		p.sys = p.rank
		if target != nil { // what is held to less may be lower
			p.rank = Over(Times(p.rank, general), target)
		}
		if short != nil {
			p.sys = Over(p.rank, short)
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
		var target, short Rat
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
		human := r["species"] == "human" || r["species"] == "" && strings.Contains(strings.ToLower(r["study"]),
			"human")
		switch k := r["study_kind"]; {
		case k == "acute":
			route = "single"
		case short != nil, human, k == "reproduction", k == "screening":
		case r["days"] != "" && Dec(r["days"]).Cmp(b.fact("duration-short-study")) <= 0:
			short = b.fact("duration-factor-28d")
		}
		if human && target == nil {
			target = b.fact("mos-target-human")
		}
		add(r["pod_type"], value, o, target, short, route, use == "intake", use != "no-threshold")
	}
	for _, v := range sheets {
		if v.Value == nil || replaced && !v.Replaces {
			continue
		}
		oral := lowest
		if v.Oral != nil {
			oral = v.Oral
		}
		var short Rat
		if strings.Contains(v.Study, "28") {
			short = b.fact("duration-factor-28d")
		}
		route := ""
		if strings.Contains(v.Study, "dermal") {
			route = "dermal"
		}
		add(v.Kind, v.Value, oral, nil, short, route, false, true)
	}
	for i, p := range all {
		noThreshold = noThreshold || !p.threshold
		if p.usable && (best == nil || p.rank.Cmp(best.rank) < 0 || p.rank.Cmp(best.rank) == 0 &&
			p.sys.Cmp(best.sys) < 0) {
			best = &all[i]
		}
	}
	if noThreshold {
		best = nil
	}
	return best, noThreshold, len(all) > 0
}
