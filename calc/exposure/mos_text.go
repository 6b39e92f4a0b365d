package exposure

import (
	"slices"

	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/ingredients"
	"gallipot/ingredients/finding"
	"gallipot/ingredients/source"
)

// mosDigits is how many digits a margin carries in a message.
const mosDigits = 3

// Arithmetic is the way to the margin, or to the reason why there is none, in one
// readable line; "" for a margin that was not computed.
func (x *Margin) Arithmetic() string {
	switch {
	case x.None != "" && x.TTC != nil:
		return x.sedText() + "no MoS: " + x.Reason + "; " + x.TTC.Arithmetic
	case x.None != "":
		return x.sedText() + "no MoS: " + x.Reason
	case x.PoD == nil:
		return ""
	}
	return x.sedText() + x.mosText()
}

func (x *Margin) sedText() string {
	text := x.SED.Text()
	if text == "" {
		return ""
	}
	return "SED = " + text + " = " + formula.FigureText(x.SED.Max) + " mg/kg bw/d; "
}

func (x *Margin) mosText() string {
	p := x.PoD
	text := "MoS = " + formula.FigureText(p.Value)
	for _, f := range []*formula.Stated{p.LOAELFactor, p.DurationFactor} {
		if f != nil {
			text += " / " + formula.FigureText(f.Value)
		}
	}
	if p.Systemic.Value != 100 {
		text += " × " + formula.FigureText(p.Systemic.Value) + " %"
	}
	return text + " / " + formula.FigureText(x.SED.Max) + " = " + marginText(x.MoS, x.Target.Value)
}

// marginText prints a margin on the side of its target where it stands.
func marginText(mos, target float64) string {
	for digits := mosDigits; digits < formula.Significant; digits++ {
		if s := formula.FigureSig(mos, digits); (mos < target) == (formula.ParseFigure(s) < target) {
			return s
		}
	}
	return formula.FigureBeside(mos, target)
}

// marginFindings says what the assessor is asked about the margins.
func (m *Marginer) marginFindings(margins []Margin, comps []*formula.Composition) []finding.Finding {
	var fs []finding.Finding
	var without finding.Values
	for i := range margins {
		x := &margins[i]
		if x.Judged != nil {
			fs = append(fs, m.judgedFinding(x))
		}
		switch {
		case x.Verdict == MarginBelow:
			fs = append(fs, m.belowTarget(x))
		case x.OtherAbsorption != nil && x.Absorption.Kind == AbsorptionPoor &&
			x.OtherAbsorption.Verdict == MarginBelow:
			fs = append(fs, m.absorptionDecides(x))
		case x.TTC != nil && x.TTC.Verdict == ScreenAbove:
			fs = append(fs, m.screeningFinding(x))
		}
		if x.None == NoMarginNoPoD && (x.TTC == nil || x.TTC.Verdict == ScreenNotApplicable) {
			without = without.Name("", x.INCI)
		}
	}
	if len(without) > 0 {
		f := m.In.OnProduct(finding.NewFinding(finding.Ask, "no-point-of-departure", m.In.Product.Pos, nil)).
			By(finding.TheSupplier, finding.TheAssessor)
		f.Things = without
		fs = append(fs, f)
	}
	return append(fs, m.sheetFindings(comps)...)
}

// judgedFinding says by whose figures a margin was computed.
func (m *Marginer) judgedFinding(x *Margin) finding.Finding {
	j := x.Judged
	v := formula.With().Name("assessor", j.Assessor).Day("dated", j.Dated).Quote("reason", j.Reason)
	if j.PoD != nil {
		v = v.Num("pod", *j.PoD, "mg/kg bw/d", finding.AsIs)
	}
	if j.AbsorptionPct != nil {
		v = v.Num("absorption", *j.AbsorptionPct, "%", finding.AsIs)
	}
	if j.Target != nil {
		v = v.Num("target", *j.Target, "", finding.AsIs)
	}
	return finding.NewFinding(finding.Note, "assessors-value", j.Pos, v).On(x.INCI)
}

func (m *Marginer) belowTarget(x *Margin) finding.Finding {
	v := formula.PortionNamed(formula.With().Figure("margin", marginText(x.MoS, x.Target.Value),
		"").Figure("target", formula.FigureText(x.Target.Value), ""), x.WorstIn).
		Quote("arithmetic", x.Arithmetic()).Quote("kind", x.PoD.Type).Figure("pod",
		formula.FigureText(x.PoD.Value), "mg/kg bw/d").
		Source("study", finding.Values{{Kind: finding.KindQuote, Text: x.PoD.Cite()}}).
		Source("target_source", finding.Values{{Kind: finding.KindQuote, Text: x.Target.Cite()}})
	if x.PoD.Human() && x.Target.Value >= m.fact("mos-target").Value {
		v = v.Figure("between_species", formula.FigureText(m.fact("mos-factor-interspecies").Value), "")
	}
	if x.HighestPct != nil {
		v = v.Figure("highest", formula.FigureDown(*x.HighestPct), "%")
	}
	f := finding.NewFinding(finding.Ask, "mos-below-target", m.posOf(x), v).On(x.INCI).By(finding.TheAssessor)
	most := x.Content.Max
	f.Sum, f.Grade = m.In.TermsOf(x.Contributions), &most
	return f
}

func (m *Marginer) absorptionDecides(x *Margin) finding.Finding {
	o := x.OtherAbsorption
	most := x.Content.Max
	f := finding.NewFinding(finding.Ask, "absorption-decides", m.posOf(x),
		formula.With().Figure("absorption", formula.FigureText(x.Absorption.Pct.Value), "%").Figure("margin",
			marginText(x.MoS, x.Target.Value), "").
			Figure("default", formula.FigureText(o.AbsorptionPct), "%").Figure("other",
			marginText(o.MoS, x.Target.Value), "").Figure("target", formula.FigureText(x.Target.Value), "").
			Source("source", finding.Values{{Kind: finding.KindQuote, Text: x.Absorption.Pct.Cite()}})).
		On(x.INCI).By(finding.TheAssessor)
	f.Grade = &most
	return f
}

// sheetFindings looks at the toxicology that sheets state.
func (m *Marginer) sheetFindings(comps []*formula.Composition) []finding.Finding {
	var fs []finding.Finding
	for _, s := range formula.SheetsIn(m.In, comps) {
		for i := range s.Toxicology {
			v := &s.Toxicology[i]
			name := ToxName(m.In.Dict, s, v.INCI).INCI
			key := ingredients.NameKey(name)
			if !slices.ContainsFunc(comps[0].Substances,
				func(x *formula.Substance) bool { return ingredients.HasKey(x.INCI, key) }) {
				fs = append(fs, unmatchedTox(m.In, s, v, comps[0]))
				continue
			}
			if v.PoD == nil {
				continue
			}
			if k := kindOf(m.In.Law, v.PoDType); k == podUnknown || k == podIntake || k == podTumour {
				fs = append(fs, finding.NewFinding(finding.Ask, "not-a-pod", v.Pos,
					formula.With().Quote("kind", v.PoDType)).On(v.INCI).
					By(finding.TheAssessor).At(v.Pos.File, "toxicology.pod.type", nil))
			}
			if v.Replaces {
				fs = append(fs, m.replacedTox(s, v, name)...)
			}
		}
	}
	return fs
}

func unmatchedTox(in *formula.Input, s *ingredients.Sheet, v *ingredients.Toxicology,
	whole *formula.Composition) finding.Finding {
	var names []string
	for _, x := range whole.Substances {
		names = append(names, x.INCI)
	}
	near := source.Nearest(v.INCI, names)
	return finding.NewFinding(finding.Ask, "toxicology-unmatched", v.Pos,
		formula.With().Is("material", in.Material(s.ID)).Name("near", near)).On(v.INCI).
		By(finding.TheMaker).At(v.Pos.File, "toxicology.inci", formula.With().Name("name", near))
}

// replacedTox says where a sheet's value stands in for a lower one.
func (m *Marginer) replacedTox(s *ingredients.Sheet, v *ingredients.Toxicology,
	name string) []finding.Finding {
	var fs []finding.Finding
	for _, row := range law.Tox(m.In.Law, name) {
		if row.PoD == nil || !(row.PoD.Value < v.PoD.Float()) {
			continue
		}
		fs = append(fs, finding.NewFinding(finding.Ask, "toxicology-replaced", v.Pos,
			formula.With().Is("material", m.In.Material(s.ID)).Quote("kind", row.PoDType).Figure("table",
				row.PoD.Text, "mg/kg bw/d").Num("sheet", *v.PoD, "mg/kg bw/d", finding.AsIs).
				Source("law", formula.RowSource(row.Source, "tox-values.csv", row.Key,
					row.FromMemory()))).On(name).By(finding.TheAssessor))
	}
	return fs
}
