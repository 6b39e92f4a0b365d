package plaintest

import (
	"math/big"
	"strconv"
	"strings"
)

// screen compares the dose with the threshold of the highest Cramer class.
// Source: SCCS/1647/22, 3-5.2.
func (x *Run) screen(name string, m *Margin, rows []map[string]string, sheets []toxValue) {
	class := 0
	for _, r := range rows {
		class = max(class, len(strings.TrimSuffix(r["cramer_class"], " (memory)")))
	}
	for _, v := range sheets {
		class = max(class, len(v.Cramer))
	}
	if class = max(class, x.book.classOf(name)); class == 0 {
		return
	}
	m.TtcDose = Times(m.Sed, Q(1000, 1))
	m.TtcMost = Percent(x.book.fact("ttc-cramer-"+strconv.Itoa(class)), x.book.fact("oral-absorption-default"))
	switch {
	case x.book.closedTo(name):
		m.Ttc = "not applicable"
	case m.TtcDose.Cmp(m.TtcMost) > 0:
		m.Ttc = "above the threshold"
	default:
		m.Ttc = "at or below the threshold"
	}
}

// Aggregate is the exposure to a preservative or UV filter from all cosmetics, a
// UV filter from the classes that use one. Source: SCCS/1647/22, 3-3.4.3;
// SCCS/1627/21.
func (x *Run) aggregate(name string, m *Margin, e Exposure) {
	b := x.book
	prefix, total := "aggregate-part-", "aggregate-exposure-relative"
	switch {
	case b.listed("V", name, x.Market, x.Day):
	case b.listed("VI", name, x.Market, x.Day) && !strings.HasPrefix(name, "CI "):
		prefix, total = "aggregate-uv-part-", "aggregate-uv-exposure-relative"
	default:
		return
	}
	all, child := b.fact(total), Q(1, 1)
	switch e.Audience {
	case "children-3-plus":
		child = b.fact("child-surface-factor-12-months")
	case "under-3":
		child = b.fact("child-surface-factor-0-months")
	}
	key := e.key
	own := x.Own != nil && (x.Own.Amount != nil || x.Own.Relative != nil)
	if own {
		key = x.book.types[x.Kind]["exposure_key"]
	}
	part := prefix + strings.TrimSuffix(key, "-adult")
	_, counted := b.facts[part]
	stands := counted && own && e.PerKg != nil
	if stands {
		all = Minus(all, b.fact(part))
	}
	all = Times(all, child)
	added := e.PerKg != nil && (!counted || stands)
	if added {
		all = Plus(all, e.PerKg)
	}
	a := &aggregateSum{Sed: Percent(Percent(all, m.Content.Hi), m.dermal), Verdict: "no margin"}
	if d := x.aggregateArea(prefix, part, stands, added, e); d != nil && m.byArea != nil {
		if d = Times(d, m.byArea, child); !m.stated || d.Cmp(a.Sed) >= 0 {
			a.Sed = d
		}
	}
	if m.PodSys != nil && m.PodSys.Sign() > 0 && a.Sed.Sign() > 0 {
		a.Mos = Over(m.PodSys, a.Sed)
		a.Verdict = against(a.Mos, m.Goal)
	}
	m.Aggregate = a
}

// aggregateArea is the dose of all products for 1 µg/cm² absorbed, mg/kg bw/d;
// nil where an area or use is not known.
func (x *Run) aggregateArea(prefix, part string, stands, added bool, e Exposure) Rat {
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
		total = Plus(total, Times(area, perDay))
	}
	if added {
		if e.Area == nil || e.PerDay == nil {
			return nil
		}
		total = Plus(total, Times(e.Area, e.PerDay))
	}
	return Over(total, Times(Q(1000, 1), b.fact("body-weight-adult")))
}
