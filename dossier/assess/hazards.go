package assess

import (
	"slices"
	"strings"

	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/calc/law/duties"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/ingredients/exact"
)

// Bench is what surrounds a material while it is handled.
type Bench struct {
	Law    *table.Tables
	HeatC  *exact.Num          // °C, the most its phase is heated to; nil: not heated
	Others []*formula.Material // in the same phase
	Soap   bool                // the formula has a reaction with lye
}

// mostly is from which share, in %, a material counts as water or as fat.
var mostly = exact.Int(50)

// waxMeltingC is from which melting point a material counts as a wax, °C: solid
// at room temperature.
var waxMeltingC = exact.Int(30)

// Cautions returns what whoever handles a material has to mind, in the order of
// the table. What the sheet itself says comes on top of these.
//
// Source: cautions.csv; the safety data sheet of the lot in hand wins over it.
func (b Bench) Cautions(m *formula.Material) []*duties.Caution {
	var out []*duties.Caution
	for _, c := range law.Cautions(b.Law, "making") {
		if slices.ContainsFunc(c.Trigger, func(all duties.AllOf) bool { return b.all(all, m) }) {
			out = append(out, c)
		}
	}
	return out
}

func (b Bench) all(clause duties.AllOf, m *formula.Material) bool {
	return !slices.ContainsFunc(clause, func(t duties.Trigger) bool { return !b.holds(t, m) })
}

func (b Bench) holds(t duties.Trigger, m *formula.Material) bool {
	s := m.Sheet
	has := func(text string) bool { return strings.Contains(strings.ToLower(text), strings.ToLower(t.Value)) }
	switch t.Kind {
	case duties.TriggerForm:
		return s.Form == t.Value
	case duties.TriggerFunction:
		return slices.ContainsFunc(s.Functions, has)
	case duties.TriggerName:
		return has(s.Name)
	case duties.TriggerLabel:
		return string(s.LabelAs) == t.Value
	case duties.TriggerINCI:
		return b.holdsINCI(t, m)
	case duties.TriggerWith:
		return slices.ContainsFunc(b.Others, func(o *formula.Material) bool { return o != m && b.holdsINCI(t, o) })
	case duties.TriggerFlash:
		return s.Physical.FlashC != nil && !t.Bound.Less(*s.Physical.FlashC)
	case duties.TriggerHeat:
		return b.HeatC != nil && !b.HeatC.Less(*t.Bound)
	case duties.TriggerFat:
		return b.isFat(m)
	case duties.TriggerWater:
		return !b.sum(m, func(p formula.Part) bool { return p.INCI == b.Law.Dictionary().Canonical("Aqua") }).
			Less(mostly)
	case duties.TriggerNano:
		return slices.ContainsFunc(m.Parts, func(p formula.Part) bool { return p.Nano })
	case duties.TriggerSoap:
		return b.Soap
	}
	return false
}

// holdsINCI says whether a material can hold a constituent, from the stated
// content on.
func (b Bench) holdsINCI(t duties.Trigger, m *formula.Material) bool {
	want := b.Law.Dictionary().Canonical(t.Value)
	return slices.ContainsFunc(m.Parts, func(p formula.Part) bool {
		return p.INCI == want && p.Pct.Max.Sign() > 0 && (t.Bound == nil || !p.Pct.Max.Less(*t.Bound))
	})
}

// isFat says whether a material is an oil, butter or wax: it melts above room
// temperature, or half of it is a fat of saponification.csv or named like one. A
// caution too many does no harm.
func (b Bench) isFat(m *formula.Material) bool {
	if c := m.Sheet.Physical.MeltingC; c != nil && !c.Less(waxMeltingC) {
		return true
	}
	named := func(p formula.Part) bool {
		return b.Law.Words(rows.WordsMelting).In(p.INCI) && !b.Law.Words(rows.WordsMeltingUnless).In(p.INCI)
	}
	if !b.sum(m, named).Less(mostly) {
		return true
	}
	return !b.sum(m, func(p formula.Part) bool { return len(law.FatsOf(b.Law, p.INCI)) > 0 }).Less(mostly)
}

// sum adds the typical contents of some constituents, %.
func (b Bench) sum(m *formula.Material, which func(formula.Part) bool) (sum exact.Num) {
	for _, p := range m.Parts {
		if which(p) {
			sum = sum.Add(p.Pct.Typ)
		}
	}
	return sum
}
