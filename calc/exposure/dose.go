package exposure

import (
	"fmt"
	"strings"

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
		return
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
	e.Arithmetic = "E/bw = " + b.gramsText() + " × 1000 / " + formula.FigureText(e.BodyWeightKg.Value) + " kg = " + formula.FigureText(perKg.Value) + " mg/kg bw/d"
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
	e.Notes = append(e.Notes, fmt.Sprintf("%s g/d of an adult of %s kg would be %s mg/kg bw/d; the table prints %s, from the body weights of those it asked, and that figure is used: the assessor decides which fits",
		formula.FigureText(e.ExposureG.Value), formula.FigureText(e.BodyWeightKg.Value), formula.FigureText(computed), formula.FigureText(e.MgPerKg.Value)))
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
	e.Arithmetic += "; for children × " + formula.FigureText(e.ChildFactor.Value) + " = " + formula.FigureText(scaled.Value)
	e.MgPerKg = &scaled
}

// swallowedByChild takes all that an adult applies as swallowed by a child:
// children swallow more than adults, and no figure for them is in the tables.
func (b *exposureBuilder) swallowedByChild() {
	e := &b.e
	all := *e.AmountG
	all.Note = "no figure for children: an adult's amount taken as swallowed whole"
	e.ExposureG = &all
	perKg := all
	perKg.Become(perKg.Num().Mul(exact.Int(gramsToMg)).Quo(e.BodyWeightKg.Num()))
	e.MgPerKg = &perKg
	e.Retention = &formula.Stated{Value: 1, Source: "cautious choice of this program", Seen: formula.SeenGiven, Note: all.Note}
	e.Notes = append(e.Notes, all.Note)
	e.Arithmetic = "E/bw = " + formula.FigureText(all.Value) + " g/d × 1000 / " + formula.FigureText(e.BodyWeightKg.Value) + " kg = " + formula.FigureText(perKg.Value) + " mg/kg bw/d"
}

// remarks gathers what a reader must know.
func (b *exposureBuilder) remarks() {
	e := &b.e
	if e.Row == nil {
		return
	}
	if e.Row.Note != "" {
		e.Notes = append(e.Notes, "exposure.csv, row "+e.Key+": "+e.Row.Note)
	}
	e.Population = strings.Contains(e.Row.Note, "Population mean") || strings.Contains(e.Row.Source, "(US women)") || strings.HasPrefix(e.Row.Note, "Mean per")
	if b.in.Type.Judged() {
		e.Notes = append(e.Notes, "product-types.csv, row "+b.in.Type.Key+": "+b.in.Type.Note)
	}
	for _, area := range b.in.Type.Areas {
		if area == "nappy" {
			e.Notes = append(e.Notes, "nappy area: covered, moist or broken skin takes up more; the assessor judges it case by case")
		}
	}
}

func (b *exposureBuilder) findings() []finding.Finding {
	var fs []finding.Finding
	e, p := &b.e, b.in.Product
	const own = "exposure: {amount_g_per_day: …, retention_pct: …, source: …}"
	switch {
	case b.nothingStays:
		return append(fs, finding.Findingf(finding.Ask, "exposure-incomplete", b.own.Pos,
			"exposure: says that nothing of the product stays: no exposure is computed, since that is not the same as none").On(p.ID).
			AskOf(formula.Assessor).WithFix("give the share that stays, retention_pct, with its source"))
	case !e.Known():
		fs = append(fs, finding.Findingf(finding.Ask, "no-exposure", p.TypePos,
			"no published exposure for %s and nothing near it: no exposure to any substance is computed", formula.LowerFirst(e.ProductType)).On(p.ID).
			AskOf("the maker, confirmed by the assessor").
			WithWhy("the report holds the exposure to the product; Regulation (EC) 1223/2009 Annex I part A 6 (product-types.csv, row %s)", b.in.Type.Key).
			WithFix("weigh what one use takes and count the uses a day, then write %s in the product file", own))
		return fs
	case e.IsProxy():
		fs = append(fs, finding.Findingf(finding.Ask, "exposure-proxy", p.TypePos,
			"no published exposure for %s: %s stands in, %s mg/kg bw/d", formula.LowerFirst(e.ProductType), formula.LowerFirst(e.Row.ProductType), formula.FigureText(e.MgPerKg.Value)).
			On(p.ID).AskOf(formula.Assessor).
			WithWhy("%s (exposure.csv, row %s; product-types.csv, row %s)", e.Row.Source, e.Key, b.in.Type.Key).
			WithFix("let the assessor confirm the row, or write %s in the product file", own))
	}
	if b.guessedRetention && b.in.Type.RinseOff {
		fs = append(fs, finding.Findingf(finding.Ask, "exposure-incomplete", b.own.Pos,
			"the product is rinsed off, but exposure: does not say how much stays: all of it is taken to stay").On(p.ID).
			AskOf(formula.Assessor).WithFix("add retention_pct with its source"))
	}
	if e.Audience != formula.Adults {
		fs = append(fs, b.childFinding())
	}
	return fs
}

func (b *exposureBuilder) childFinding() finding.Finding {
	e := &b.e
	who, how := "children from three years on", ""
	if e.Audience == formula.UnderThree {
		who = "children under three"
	}
	switch {
	case e.ChildFactor != nil:
		how = "an adult's exposure times " + formula.FigureText(e.ChildFactor.Value) + " for skin surface is used"
	case b.own != nil && b.own.RelativeMgKgD != nil:
		how = "the exposure is used as the product file gives it"
	case e.BodyWeightKg.Seen == formula.SeenGiven:
		how = "the body weight of the product file is used, " + formula.FigureText(e.BodyWeightKg.Value) + " kg"
	default:
		how = "a body weight of " + formula.FigureText(e.BodyWeightKg.Value) + " kg is used"
	}
	f := finding.Findingf(finding.Ask, "child-exposure", b.in.Product.TypePos, "the product is for %s: %s", who, how).
		On(b.in.Product.ID).AskOf(formula.Assessor).
		WithFix("let the assessor confirm age and body weight, or write exposure: with body_weight_kg and its source")
	f.Why = "exposure of the youngest user governs; SCCNFP/0557/02 and EFSA 2012 (facts.csv, rows child-*)"
	if e.Audience == formula.UnderThree {
		f.Why += "; products for children under three need an assessment of their own, Regulation (EC) 1223/2009 Annex I part B"
	}
	return f
}
