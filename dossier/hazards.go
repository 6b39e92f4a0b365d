package dossier

import (
	"slices"
	"strings"

	"gallipot/calc"
	"gallipot/calc/law"
	"gallipot/ingredients"
)

// bench is what surrounds a material while it is handled.
type bench struct {
	law    *law.Tables
	heatC  *ingredients.Num // °C, the most its phase is heated to; nil: not heated
	others []*calc.Material // in the same phase
	soap   bool             // the formula has a reaction with lye
}

// mostly is from which share, in %, a material counts as water or as fat.
var mostly = ingredients.Int(50)

// waxMeltingC is from which melting point a material counts as a wax, °C: solid
// at room temperature.
var waxMeltingC = ingredients.Int(30)

// cautions returns what whoever handles a material has to mind, in the order of
// the table. What the sheet itself says comes on top of these.
//
// Source: cautions.csv; the safety data sheet of the lot in hand wins over it.
func (b bench) cautions(m *calc.Material) []*law.Caution {
	var out []*law.Caution
	for _, c := range b.law.Cautions("making") {
		if slices.ContainsFunc(c.Trigger, func(all law.AllOf) bool { return b.all(all, m) }) {
			out = append(out, c)
		}
	}
	return out
}

func (b bench) all(clause law.AllOf, m *calc.Material) bool {
	return !slices.ContainsFunc(clause, func(t law.Trigger) bool { return !b.holds(t, m) })
}

func (b bench) holds(t law.Trigger, m *calc.Material) bool {
	s := m.Sheet
	has := func(text string) bool { return strings.Contains(strings.ToLower(text), strings.ToLower(t.Value)) }
	switch t.Kind {
	case law.TriggerForm:
		return s.Form == t.Value
	case law.TriggerFunction:
		return slices.ContainsFunc(s.Functions, has)
	case law.TriggerName:
		return has(s.Name)
	case law.TriggerLabel:
		return string(s.LabelAs) == t.Value
	case law.TriggerINCI:
		return b.holdsINCI(t, m)
	case law.TriggerWith:
		return slices.ContainsFunc(b.others, func(o *calc.Material) bool { return o != m && b.holdsINCI(t, o) })
	case law.TriggerFlash:
		return s.Physical.FlashC != nil && !t.Bound.Less(*s.Physical.FlashC)
	case law.TriggerHeat:
		return b.heatC != nil && !b.heatC.Less(*t.Bound)
	case law.TriggerFat:
		return b.isFat(m)
	case law.TriggerWater:
		return !b.sum(m, func(p calc.Part) bool { return p.INCI == b.law.Dictionary().Canonical("Aqua") }).Less(mostly)
	case law.TriggerNano:
		return slices.ContainsFunc(m.Parts, func(p calc.Part) bool { return p.Nano })
	case law.TriggerSoap:
		return b.soap
	}
	return false
}

// holdsINCI says whether a material can hold a constituent, from the stated
// content on.
func (b bench) holdsINCI(t law.Trigger, m *calc.Material) bool {
	want := b.law.Dictionary().Canonical(t.Value)
	return slices.ContainsFunc(m.Parts, func(p calc.Part) bool {
		return p.INCI == want && p.Pct.Max.Sign() > 0 && (t.Bound == nil || !p.Pct.Max.Less(*t.Bound))
	})
}

// isFat says whether a material is an oil, butter or wax: it melts above room
// temperature, or half of it is a fat of saponification.csv or named like one. A
// caution too many does no harm.
func (b bench) isFat(m *calc.Material) bool {
	if c := m.Sheet.Physical.MeltingC; c != nil && !c.Less(waxMeltingC) {
		return true
	}
	named := func(p calc.Part) bool {
		return b.law.Words(law.WordsMelting).In(p.INCI) && !b.law.Words(law.WordsMeltingUnless).In(p.INCI)
	}
	if !b.sum(m, named).Less(mostly) {
		return true
	}
	return !b.sum(m, func(p calc.Part) bool { return len(b.law.FatsOf(p.INCI)) > 0 }).Less(mostly)
}

// sum adds the typical contents of some constituents, %.
func (b bench) sum(m *calc.Material, which func(calc.Part) bool) (sum ingredients.Num) {
	for _, p := range m.Parts {
		if which(p) {
			sum = sum.Add(p.Pct.Typ)
		}
	}
	return sum
}
