package exposure

import (
	"fmt"

	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// childFactor takes the factor of skin surface per body weight for the youngest
// age the audience holds. The table has no three-year-old; the factor of twelve
// months, the next younger age, is the cautious one.
func (b *exposureBuilder) childFactor() {
	if !b.scaledBySkin() {
		return
	}
	key := "child-surface-factor-0-months"
	if b.e.Audience == formula.ChildrenThree {
		key = "child-surface-factor-12-months"
	}
	b.e.ChildFactor = formula.OfFact(law.Fact(b.in.Law, key))
}

// relative computes E/bw.
func (b *exposureBuilder) relative() {
	e := &b.e
	switch {
	case b.own != nil && b.own.RelativeMgKgD != nil:
		e.MgPerKg = b.given(b.own.RelativeMgKgD)
		e.Arithmetic = "E/bw = " + formula.FigureText(e.MgPerKg.Value) + " mg/kg bw/d as given"
		return
	case e.Row == nil && e.Origin != ExposureOwn:
		return
	case e.Row != nil && e.Swallowed && e.Audience != formula.Adults && !b.childRow() && e.AmountG != nil:
		b.swallowedByChild()
	case b.printed() && !b.ownRetention() && e.BodyWeightKg.Seen != formula.SeenGiven:
		e.MgPerKg, e.printed = b.ofRow(e.Row.RelativeMgKg, "printed value"), true
		e.Arithmetic = "E/bw = " + formula.FigureText(e.MgPerKg.Value) + " mg/kg bw/d as printed"
		b.printedBeside()
		b.scale()
		return
	}
	if e.ExposureG == nil && e.AmountG != nil {
		g := *e.AmountG
		g.Become(g.Num().Mul(e.Retention.Num()))
		e.ExposureG = &g
	}
	if e.ExposureG == nil {
		e.Origin = ExposureNone // the row holds an area, but no amount
		return
	}
	if e.ExposureG.Value <= 0 {
		b.nothingStays = true
		return
	}
	perKg := *e.ExposureG
	perKg.Become(perKg.Num().Mul(exact.Int(gramsToMg)).Quo(e.BodyWeightKg.Num()))
	e.MgPerKg = &perKg
	e.Arithmetic = "E/bw = " + b.gramsText() + " × 1000 / " + formula.FigureText(e.BodyWeightKg.Value) +
		" kg = " + formula.FigureText(perKg.Value) + " mg/kg bw/d"
	b.scale()
}

// printedBeside says so where the printed figure is not that of the printed amount
// and the body weight: it rests on the weights of the people who were asked.
func (b *exposureBuilder) printedBeside() {
	e := &b.e
	if e.ExposureG == nil || e.BodyWeightKg == nil {
		return
	}
	const rounding = 1.02 // between figures printed with two or three digits
	computed := e.ExposureG.Value * gramsToMg / e.BodyWeightKg.Value
	if ratio := computed / e.MgPerKg.Value; ratio < rounding && 1/ratio < rounding {
		return
	}
	e.Notes = append(e.Notes,
		fmt.Sprintf("%s g/d of an adult of %s kg would be %s mg/kg bw/d; the table prints %s, from the body weights of those it asked, and that figure is used: the assessor decides which fits",
			formula.FigureText(e.ExposureG.Value), formula.FigureText(e.BodyWeightKg.Value),
			formula.FigureText(computed), formula.FigureText(e.MgPerKg.Value)))
}

func (b *exposureBuilder) gramsText() string {
	e := &b.e
	if e.AmountG != nil && e.Retention != nil && e.Retention.Value != 1 {
		return formula.FigureText(e.AmountG.Value) + " g/d × " + formula.FigureText(e.Retention.Value)
	}
	return formula.FigureText(e.ExposureG.Value) + " g/d"
}

// scale multiplies an adult's exposure by the factor for children.
func (b *exposureBuilder) scale() {
	e := &b.e
	if e.ChildFactor == nil {
		return
	}
	scaled := *e.MgPerKg
	scaled.Become(scaled.Num().Mul(e.ChildFactor.Num()))
	e.Arithmetic += "; for children × " + formula.FigureText(e.ChildFactor.Value) + " = " +
		formula.FigureText(scaled.Value)
	e.MgPerKg = &scaled
}

// swallowedByChild takes all that an adult applies as swallowed by a child:
// children swallow more than adults, and no figure for them is in the tables.
func (b *exposureBuilder) swallowedByChild() {
	e := &b.e
	all := *e.AmountG
	all.Note = "no figure for children: an adult's amount taken as swallowed whole"
	e.ExposureG = &all
	e.Retention = &formula.Stated{Value: 1, Source: "cautious choice of this program", Seen: formula.SeenGiven,
		Note: all.Note}
	e.Notes = append(e.Notes, all.Note)
}

// remarks gathers what a reader must know.
func (b *exposureBuilder) remarks() {
	e := &b.e
	if e.Row == nil {
		return
	}
	for _, remark := range e.Row.Remarks() {
		e.Notes = append(e.Notes, "exposure.csv, row "+e.Key+": "+remark)
	}
	e.Population = e.Row.PopulationMean
	if b.in.Type.Judged {
		e.Notes = append(e.Notes, "product-types.csv, row "+b.in.Type.Key+": "+b.in.Type.Note)
	}
	for _, area := range b.in.Type.Areas {
		if area == "nappy" {
			e.Notes = append(e.Notes,
				"nappy area: covered, moist or broken skin takes up more; the assessor judges it case by case")
		}
	}
}

func (b *exposureBuilder) findings() []finding.Finding {
	var fs []finding.Finding
	e, p := &b.e, b.in.Product
	say := func(code, form string, pos exact.Pos, key string, v finding.Values, who ...finding.Party) {
		fs = append(fs, b.in.OnProduct(finding.NewFinding(finding.Ask, code, pos, v)).As(form).By(who...).
			At(p.Pos.File, key, nil))
	}
	switch {
	case b.nothingStays:
		say("exposure-incomplete", "nothing-stays", b.own.Pos, "exposure.retention_pct", nil, finding.TheAssessor)
		return fs
	case !e.Known():
		say("no-exposure", "", p.TypePos, "exposure", formula.With().
			Quote("type", formula.LowerFirst(e.ProductType)).Name("row", b.in.Type.Key),
			finding.TheMaker, finding.TheAssessor)
		return fs
	case e.IsProxy():
		say("exposure-proxy", "", p.TypePos, "exposure", formula.With().
			Quote("type", formula.LowerFirst(e.ProductType)).Quote("near", formula.LowerFirst(e.Row.ProductType)).
			Figure("exposure", formula.FigureText(e.MgPerKg.Value), "mg/kg bw/d").Quote("source", e.Row.Source).
			Name("row", e.Key).Name("type_row", b.in.Type.Key), finding.TheAssessor)
	}
	if b.guessedRetention && b.in.Type.RinseOff {
		say("exposure-incomplete", "no-retention", b.own.Pos, "exposure.retention_pct", nil, finding.TheAssessor)
	}
	if e.Audience != formula.Adults {
		fs = append(fs, b.childFinding())
	}
	return fs
}

func (b *exposureBuilder) childFinding() finding.Finding {
	e := &b.e
	form, v := "weight", formula.With().Flag(e.Audience == formula.UnderThree, "under-three")
	switch {
	case e.ChildFactor != nil:
		form, v = "factor", v.Figure("factor", formula.FigureText(e.ChildFactor.Value), "")
	case b.own != nil && b.own.RelativeMgKgD != nil:
		form = "given"
	case e.BodyWeightKg.Seen == formula.SeenGiven:
		form, v = "own-weight", v.Figure("weight", formula.FigureText(e.BodyWeightKg.Value), "kg")
	default:
		v = v.Figure("weight", formula.FigureText(e.BodyWeightKg.Value), "kg")
	}
	return b.in.OnProduct(finding.NewFinding(finding.Ask, "child-exposure", b.in.Product.TypePos, v)).As(form).
		By(finding.TheAssessor).
		At(b.in.Product.Pos.File, "exposure.body_weight_kg", nil)
}
