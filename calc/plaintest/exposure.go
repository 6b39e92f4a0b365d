package plaintest

import (
	"slices"
	"strings"
)

// Exposure is how much of a product reaches its user; nil is not known.
type Exposure struct {
	PerKg           Rat // mg/kg bw/d that stays
	amount          Rat // g/d applied
	Weight, user    Rat // kg
	Area, PerDay    Rat
	Child           Rat // factor of skin surface; nil: none
	Audience, key   string
	swallowed       bool
	Inhaled         Rat // mg/kg bw/d of product; nil: none
	retention, kept Rat // Share that stays; g/d that stays
}

// Exposure follows the guidance: E/bw = amount × 1000 × retention / body weight,
// the printed value where the source prints one, an adult's times the factor of
// skin surface for children. Source: SCCS/1647/22, 3-3.4; stand-ins with the
// cautious choices of DEVELOPERS.md.
func (x *Run) Exposure() Exposure {
	t, f := x.book.types[x.Kind], x.book.fact
	has := func(column, word string) bool { return slices.Contains(strings.Split(t[column], ";"), word) }
	e := Exposure{Audience: x.Ages, user: f("body-weight-adult"), swallowed: has("limit_codes", "lip") ||
		has("limit_codes", "oral")}
	switch {
	case t["population"] == "under-3", t["population"] == "children" && x.Ages == "adults":
		e.Audience = "under-3"
	}
	own := x.Own
	if own == nil {
		own = &ownFigures{}
	}
	var row map[string]string
	proxy := false
	if own.Amount == nil && own.Relative == nil {
		if row = x.book.exposure[t["exposure_key"]]; row == nil {
			row, proxy = x.book.exposure[t["proxy_exposure_key"]], true
		}
		e.key = row["key"]
	}
	surface := e.Audience != "adults" && row != nil && row["group"] != "child" && !e.swallowed
	switch e.Audience {
	case "children-3-plus":
		e.user = f("child-body-weight-3-plus")
	case "under-3":
		e.user = f("child-body-weight-under-3")
	}
	if own.Weight != nil {
		e.user = own.Weight
	}
	e.Weight = e.user
	if surface {
		e.Weight = f("body-weight-adult")
		e.Child = f("child-surface-factor-0-months")
		if e.Audience == "children-3-plus" {
			e.Child = f("child-surface-factor-12-months")
		}
	}
	switch same := figure(x.book.exposure[x.Kind], "skin_surface_area_cm2"); {
	case own.Area != nil:
		e.Area = own.Area
	case same != nil:
		e.Area = same
	default:
		e.Area = figure(row, "skin_surface_area_cm2")
	}
	printed := figure(row, "relative_daily_exposure_mg_per_kg_bw")
	e.amount, e.PerDay, e.retention, e.kept = figure(row, "daily_amount_g"), figure(row,
		"frequency_per_day"), figure(row, "retention_factor"), figure(row, "daily_exposure_g")
	one := Q(1, 1)
	if row != nil && printed == nil && e.amount != nil {
		if (e.retention == nil || e.swallowed || proxy && t["rinse_off"] != "yes") &&
			(e.retention == nil || e.retention.Cmp(one) != 0) {
			e.retention, e.kept = one, nil
		}
		if e.PerDay != nil && e.PerDay.Sign() > 0 && e.PerDay.Cmp(one) < 0 {
			e.amount, e.PerDay, e.kept = Over(e.amount, e.PerDay), one, nil
		}
	}
	if own.PerDay != nil {
		e.PerDay = own.PerDay
	}
	if own.Amount != nil {
		e.amount, e.retention = own.Amount, one
	}
	if own.Retention != nil {
		e.retention, e.kept = Over(own.Retention, Q(100, 1)), nil
	}
	if own.Amount != nil {
		e.kept = Times(own.Amount, e.retention)
	}
	if e.kept == nil && e.amount != nil {
		e.kept = e.amount
		if e.retention != nil {
			e.kept = Times(e.amount, e.retention)
		}
	}
	thousand := Q(1000, 1)
	switch {
	case own.Relative != nil:
		e.PerKg = own.Relative
	case row == nil && own.Amount == nil:
	case row != nil && e.swallowed && e.Audience != "adults" && row["group"] != "child" && e.amount != nil:
		e.PerKg = Over(Times(e.amount, thousand), e.Weight)
	case printed != nil && own.Retention == nil && (own.Weight == nil || surface):
		e.PerKg = printed
		if e.Child != nil {
			e.PerKg = Times(printed, e.Child)
		}
	case e.kept != nil && e.kept.Sign() > 0:
		e.PerKg = Over(Times(e.kept, thousand), e.Weight)
		if e.Child != nil {
			e.PerKg = Times(e.PerKg, e.Child)
		}
	}
	x.inhale(&e, t)
	return e
}

// inhale is the two-box model. Source: SCCS/1647/22, 3-3.4.1.3.
func (x *Run) inhale(e *Exposure, t map[string]string) {
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
	var mg Rat
	switch {
	case kind == "":
		return
	case e.amount != nil:
		mg = Times(e.amount, Q(1000, 1))
	case e.PerKg != nil:
		mg = Times(e.PerKg, e.Weight)
	default:
		return
	}
	air := Times(mg, f("inhalation-airborne-"+kind), f("inhalation-breathing-rate"))
	near := Over(Times(air, f("inhalation-near-time")), f("inhalation-near-volume"))
	far := Over(Times(air, f("inhalation-far-time")), f("inhalation-far-volume"))
	e.Inhaled = Over(Times(Plus(near, far), f("inhalation-retained"), f("inhalation-respirable-"+kind),
		f("lung-absorption")), Times(Q(100, 1), e.user))
}
