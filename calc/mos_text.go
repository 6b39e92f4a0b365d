package calc

import (
	"fmt"
	"slices"

	"gallipot/ingredients"
)

// mosDigits is how many digits a margin carries in a message.
const mosDigits = 3

func (x *Margin) sedText() string {
	if x.SED.Text == "" {
		return ""
	}
	return "SED = " + x.SED.Text + " = " + figureText(x.SED.Max) + " mg/kg bw/d; "
}

func (x *Margin) mosText() string {
	p := x.PoD
	text := "MoS = " + figureText(p.Value)
	for _, f := range []*Stated{p.LOAELFactor, p.DurationFactor} {
		if f != nil {
			text += " / " + figureText(f.Value)
		}
	}
	if p.Systemic.Value != 100 {
		text += " × " + figureText(p.Systemic.Value) + " %"
	}
	return text + " / " + figureText(x.SED.Max) + " = " + marginText(x.MoS, x.Target.Value)
}

// marginText prints a margin on the side of its target where it stands.
func marginText(mos, target float64) string {
	for digits := mosDigits; digits < significant; digits++ {
		if s := figureSig(mos, digits); (mos < target) == (parseFigure(s) < target) {
			return s
		}
	}
	return figureBeside(mos, target)
}

// posOf is the place of the line that brings most of a substance.
func (m *marginer) posOf(x *Margin) ingredients.Pos {
	pos := m.in.Product.Pos
	var most ingredients.Num
	for _, c := range x.Contributions {
		if most.Less(c.Pct.Max) {
			most, pos = c.Pct.Max, c.LinePos
		}
	}
	return pos
}

// marginFindings says what the assessor is asked about the margins.
func (m *marginer) marginFindings(margins []Margin, comps []*Composition) []ingredients.Finding {
	var fs []ingredients.Finding
	var without []string
	for i := range margins {
		x := &margins[i]
		switch {
		case x.Verdict == MarginBelow:
			fs = append(fs, m.belowTarget(x))
		case x.OtherAbsorption != nil && x.Absorption.Kind == AbsorptionPoor && x.OtherAbsorption.Verdict == MarginBelow:
			fs = append(fs, m.absorptionDecides(x))
		case x.TTC != nil && x.TTC.Verdict == ScreenAbove:
			fs = append(fs, m.screeningFinding(x))
		}
		if x.None == NoMarginNoPoD && (x.TTC == nil || x.TTC.Verdict == ScreenNotApplicable) {
			without = append(without, x.INCI)
		}
	}
	if len(without) > 0 {
		f := ingredients.Findingf(ingredients.Ask, "no-point-of-departure", m.in.Product.Pos,
			"no toxicological value is known for some substances").On(m.in.Product.ID).
			AskOf("the suppliers, else the assessor").
			WithWhy("the report holds the toxicological profile of every substance; Regulation (EC) 1223/2009 Annex I part A 8").
			WithFix("ask for a toxicological summary and enter it under toxicology on the sheet; the gaps name who has it")
		f.Items = without
		fs = append(fs, f)
	}
	return append(fs, m.sheetFindings(comps)...)
}

func (m *marginer) belowTarget(x *Margin) ingredients.Finding {
	f := ingredients.Findingf(ingredients.Ask, "mos-below-target", m.posOf(x), "%s in %s: the margin of safety is %s, the target %s",
		x.INCI, placeName(x.WorstIn), marginText(x.MoS, x.Target.Value), figureText(x.Target.Value)).On(x.INCI).AskOf(assessor).
		WithWhy("%s; %s of %s mg/kg bw/d from %s; target from %s", x.Arithmetic, x.PoD.Type, figureText(x.PoD.Value), x.PoD.Cite(), x.Target.Cite())
	f.Sum = termsOf(x.Contributions)
	if x.PoD.Human() && x.Target.Value >= m.fact("mos-target").Value {
		f.Why += "; the value is from people: the factor " + figureText(m.fact("mos-factor-interspecies").Value) + " between species may fall away, which the assessor decides"
	}
	if x.HighestPct != nil {
		return f.WithFix("let the assessor judge; at most %s %% of %s reaches the target", figureDown(*x.HighestPct), x.INCI)
	}
	return f.WithFix("let the assessor judge; the absorption in µg/cm² does not change with the content")
}

func (m *marginer) absorptionDecides(x *Margin) ingredients.Finding {
	o := x.OtherAbsorption
	return ingredients.Findingf(ingredients.Ask, "absorption-decides", m.posOf(x),
		"%s: with %s %% absorption the margin is %s, with the default of %s %% it would be %s, below %s", x.INCI, figureText(x.Absorption.Pct.Value),
		marginText(x.MoS, x.Target.Value), figureText(o.AbsorptionPct), marginText(o.MoS, x.Target.Value), figureText(x.Target.Value)).
		On(x.INCI).AskOf(assessor).
		WithWhy("the lower default needs reasons; %s", x.Absorption.Pct.Cite()).
		WithFix("let the assessor confirm the reasons for poor absorption, or ask the supplier for a test")
}

// sheetFindings looks at the toxicology that sheets state.
func (m *marginer) sheetFindings(comps []*Composition) []ingredients.Finding {
	var fs []ingredients.Finding
	for _, s := range sheetsIn(m.in, comps) {
		for i := range s.Toxicology {
			v := &s.Toxicology[i]
			name := m.in.Dict.Canonical(v.INCI)
			if !slices.ContainsFunc(comps[0].Substances, func(x *Substance) bool { return ingredients.NameKey(x.INCI) == ingredients.NameKey(name) }) {
				fs = append(fs, unmatchedTox(s, v, comps[0]))
				continue
			}
			if v.PoD == nil {
				continue
			}
			if k := kindOf(v.PoDType); k == podUnknown || k == podIntake || k == podTumour {
				fs = append(fs, ingredients.Findingf(ingredients.Ask, "not-a-pod", v.Pos,
					"%q of %s is not a point of departure that a margin of safety can start from", v.PoDType, v.INCI).On(v.INCI).AskOf(assessor).
					WithWhy("a margin starts from a dose without effect: NOAEL, NOEL, BMDL, or LOAEL with a factor").
					WithFix("enter the NOAEL or BMDL of the study behind it; an intake such as an ADI belongs into the study text"))
			}
			if v.Replaces {
				fs = append(fs, m.replacedTox(s, v, name)...)
			}
		}
	}
	return fs
}

func unmatchedTox(s *ingredients.Sheet, v *ingredients.Toxicology, whole *Composition) ingredients.Finding {
	var names []string
	for _, x := range whole.Substances {
		names = append(names, x.INCI)
	}
	f := ingredients.Findingf(ingredients.Ask, "toxicology-unmatched", v.Pos, "%s is in no composition here, so its toxicological value is not used", v.INCI).
		On(v.INCI).AskOf(s.Supplier.Name).WithFix("write the name as in the composition")
	if near := ingredients.Nearest(v.INCI, names); near != "" {
		f.Fix = "did you mean " + near + "? " + f.Fix
	}
	return f
}

// replacedTox says where a sheet's value stands in for a lower one.
func (m *marginer) replacedTox(s *ingredients.Sheet, v *ingredients.Toxicology, name string) []ingredients.Finding {
	var fs []ingredients.Finding
	for _, row := range m.in.Law.Tox(name) {
		if row.PoD == nil || !(row.PoD.Value < v.PoD.Float()) {
			continue
		}
		fs = append(fs, ingredients.Findingf(ingredients.Ask, "toxicology-replaced", v.Pos,
			"sheet %s replaces the %s of %s for %s, %s mg/kg bw/d, by a higher one, %s", s.ID, row.PoDType, row.Key, name, row.PoD.Text, v.PoD.Exact()).
			On(name).AskOf(assessor).WithWhy("%s", fmt.Sprintf("%s (tox-values.csv, row %s)", row.Source, row.Key)).
			WithFix("let the assessor confirm the higher value"))
	}
	return fs
}
