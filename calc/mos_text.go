package calc

import (
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
	var without ingredients.Values
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
			without = without.Name("", x.INCI)
		}
	}
	if len(without) > 0 {
		f := m.in.onProduct(ingredients.NewFinding(ingredients.Ask, "no-point-of-departure", m.in.Product.Pos, nil)).
			By(ingredients.TheSupplier, ingredients.TheAssessor)
		f.Things = without
		fs = append(fs, f)
	}
	return append(fs, m.sheetFindings(comps)...)
}

func (m *marginer) belowTarget(x *Margin) ingredients.Finding {
	v := portion(with().Figure("margin", marginText(x.MoS, x.Target.Value), "").Figure("target", figureText(x.Target.Value), ""), x.WorstIn).
		Quote("arithmetic", x.Arithmetic).Quote("kind", x.PoD.Type).Figure("pod", figureText(x.PoD.Value), "mg/kg bw/d").
		Source("study", ingredients.Values{{Kind: ingredients.KindQuote, Text: x.PoD.Cite()}}).
		Source("target_source", ingredients.Values{{Kind: ingredients.KindQuote, Text: x.Target.Cite()}})
	if x.PoD.Human() && x.Target.Value >= m.fact("mos-target").Value {
		v = v.Figure("between_species", figureText(m.fact("mos-factor-interspecies").Value), "")
	}
	if x.HighestPct != nil {
		v = v.Figure("highest", figureDown(*x.HighestPct), "%")
	}
	f := ingredients.NewFinding(ingredients.Ask, "mos-below-target", m.posOf(x), v).On(x.INCI).By(ingredients.TheAssessor)
	most := x.Content.Max
	f.Sum, f.Grade = m.in.termsOf(x.Contributions), &most
	return f
}

func (m *marginer) absorptionDecides(x *Margin) ingredients.Finding {
	o := x.OtherAbsorption
	most := x.Content.Max
	f := ingredients.NewFinding(ingredients.Ask, "absorption-decides", m.posOf(x),
		with().Figure("absorption", figureText(x.Absorption.Pct.Value), "%").Figure("margin", marginText(x.MoS, x.Target.Value), "").
			Figure("default", figureText(o.AbsorptionPct), "%").Figure("other", marginText(o.MoS, x.Target.Value), "").Figure("target", figureText(x.Target.Value), "").
			Source("source", ingredients.Values{{Kind: ingredients.KindQuote, Text: x.Absorption.Pct.Cite()}})).
		On(x.INCI).By(ingredients.TheAssessor)
	f.Grade = &most
	return f
}

// sheetFindings looks at the toxicology that sheets state.
func (m *marginer) sheetFindings(comps []*Composition) []ingredients.Finding {
	var fs []ingredients.Finding
	for _, s := range sheetsIn(m.in, comps) {
		for i := range s.Toxicology {
			v := &s.Toxicology[i]
			name := toxName(m.in.Dict, s, v.INCI).inci
			if !slices.ContainsFunc(comps[0].Substances, func(x *Substance) bool { return ingredients.NameKey(x.INCI) == ingredients.NameKey(name) }) {
				fs = append(fs, unmatchedTox(m.in, s, v, comps[0]))
				continue
			}
			if v.PoD == nil {
				continue
			}
			if k := kindOf(m.in.Law, v.PoDType); k == podUnknown || k == podIntake || k == podTumour {
				fs = append(fs, ingredients.NewFinding(ingredients.Ask, "not-a-pod", v.Pos, with().Quote("kind", v.PoDType)).On(v.INCI).
					By(ingredients.TheAssessor).At(v.Pos.File, "toxicology.pod.type", nil))
			}
			if v.Replaces {
				fs = append(fs, m.replacedTox(s, v, name)...)
			}
		}
	}
	return fs
}

func unmatchedTox(in *Input, s *ingredients.Sheet, v *ingredients.Toxicology, whole *Composition) ingredients.Finding {
	var names []string
	for _, x := range whole.Substances {
		names = append(names, x.INCI)
	}
	near := ingredients.Nearest(v.INCI, names)
	return ingredients.NewFinding(ingredients.Ask, "toxicology-unmatched", v.Pos, with().Is("material", in.material(s.ID)).Name("near", near)).On(v.INCI).
		By(ingredients.TheMaker).At(v.Pos.File, "toxicology.inci", with().Name("name", near))
}

// replacedTox says where a sheet's value stands in for a lower one.
func (m *marginer) replacedTox(s *ingredients.Sheet, v *ingredients.Toxicology, name string) []ingredients.Finding {
	var fs []ingredients.Finding
	for _, row := range m.in.Law.Tox(name) {
		if row.PoD == nil || !(row.PoD.Value < v.PoD.Float()) {
			continue
		}
		fs = append(fs, ingredients.NewFinding(ingredients.Ask, "toxicology-replaced", v.Pos,
			with().Is("material", m.in.material(s.ID)).Quote("kind", row.PoDType).Figure("table", row.PoD.Text, "mg/kg bw/d").Num("sheet", *v.PoD, "mg/kg bw/d", ingredients.AsIs).
				Source("law", rowSource(row.Source, "tox-values.csv", row.Key, row.FromMemory()))).On(name).By(ingredients.TheAssessor))
	}
	return fs
}
