package calc

import (
	"fmt"
	"strings"

	"gallipot/ingredients"
)

// childFactor takes the factor of skin surface per body weight for the youngest
// age the audience holds. The table has no three-year-old; the factor of twelve
// months, the next younger age, is the cautious one.
func (b *exposureBuilder) childFactor() {
	if !b.scaledBySkin() {
		return
	}
	key := "child-surface-factor-0-months"
	if b.e.Audience == ChildrenThree {
		key = "child-surface-factor-12-months"
	}
	b.e.ChildFactor = ofFact(b.in.Law.Fact(key))
}

// relative computes E/bw.
func (b *exposureBuilder) relative() {
	e := &b.e
	switch {
	case b.own != nil && b.own.RelativeMgKgD != nil:
		e.MgPerKg = b.given(b.own.RelativeMgKgD)
		e.Arithmetic = "E/bw = " + figureText(e.MgPerKg.Value) + " mg/kg bw/d as given"
		return
	case e.Row == nil && e.Origin != ExposureOwn:
		return
	case e.Row != nil && e.Swallowed && e.Audience != Adults && !b.childRow() && e.AmountG != nil:
		b.swallowedByChild()
		return
	case b.printed() && !b.ownRetention() && e.BodyWeightKg.Seen != SeenGiven:
		e.MgPerKg, e.printed = b.ofRow(e.Row.RelativeMgKg, "printed value"), true
		e.Arithmetic = "E/bw = " + figureText(e.MgPerKg.Value) + " mg/kg bw/d as printed"
		b.printedBeside()
		b.scale()
		return
	}
	if e.ExposureG == nil && e.AmountG != nil {
		g := *e.AmountG
		g.become(g.num().Mul(e.Retention.num()))
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
	perKg.become(perKg.num().Mul(ingredients.Int(gramsToMg)).Quo(e.BodyWeightKg.num()))
	e.MgPerKg = &perKg
	e.Arithmetic = "E/bw = " + b.gramsText() + " × 1000 / " + figureText(e.BodyWeightKg.Value) + " kg = " + figureText(perKg.Value) + " mg/kg bw/d"
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
		figureText(e.ExposureG.Value), figureText(e.BodyWeightKg.Value), figureText(computed), figureText(e.MgPerKg.Value)))
}

func (b *exposureBuilder) gramsText() string {
	e := &b.e
	if e.AmountG != nil && e.Retention != nil && e.Retention.Value != 1 {
		return figureText(e.AmountG.Value) + " g/d × " + figureText(e.Retention.Value)
	}
	return figureText(e.ExposureG.Value) + " g/d"
}

// scale multiplies an adult's exposure by the factor for children.
func (b *exposureBuilder) scale() {
	e := &b.e
	if e.ChildFactor == nil {
		return
	}
	scaled := *e.MgPerKg
	scaled.become(scaled.num().Mul(e.ChildFactor.num()))
	e.Arithmetic += "; for children × " + figureText(e.ChildFactor.Value) + " = " + figureText(scaled.Value)
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
	perKg.become(perKg.num().Mul(ingredients.Int(gramsToMg)).Quo(e.BodyWeightKg.num()))
	e.MgPerKg = &perKg
	e.Retention = &Stated{Value: 1, Source: "cautious choice of this program", Seen: SeenGiven, Note: all.Note}
	e.Notes = append(e.Notes, all.Note)
	e.Arithmetic = "E/bw = " + figureText(all.Value) + " g/d × 1000 / " + figureText(e.BodyWeightKg.Value) + " kg = " + figureText(perKg.Value) + " mg/kg bw/d"
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
	e.Population = e.Row.PopulationMean
	if b.in.Type.Judged {
		e.Notes = append(e.Notes, "product-types.csv, row "+b.in.Type.Key+": "+b.in.Type.Note)
	}
	for _, area := range b.in.Type.Areas {
		if area == "nappy" {
			e.Notes = append(e.Notes, "nappy area: covered, moist or broken skin takes up more; the assessor judges it case by case")
		}
	}
}

const assessor = "the assessor"

func (b *exposureBuilder) findings() []ingredients.Finding {
	var fs []ingredients.Finding
	e, p := &b.e, b.in.Product
	const own = "exposure: {amount_g_per_day: …, retention_pct: …, source: …}"
	switch {
	case b.nothingStays:
		return append(fs, ingredients.Findingf(ingredients.Ask, "exposure-incomplete", b.own.Pos,
			"exposure: says that nothing of the product stays: no exposure is computed, since that is not the same as none").On(p.ID).
			AskOf(assessor).WithFix("give the share that stays, retention_pct, with its source"))
	case !e.Known():
		fs = append(fs, ingredients.Findingf(ingredients.Ask, "no-exposure", p.TypePos,
			"no published exposure for %s and nothing near it: no exposure to any substance is computed", lowerFirst(e.ProductType)).On(p.ID).
			AskOf("the maker, confirmed by the assessor").
			WithWhy("the report holds the exposure to the product; Regulation (EC) 1223/2009 Annex I part A 6 (product-types.csv, row %s)", b.in.Type.Key).
			WithFix("weigh what one use takes and count the uses a day, then write %s in the product file", own))
		return fs
	case e.IsProxy():
		fs = append(fs, ingredients.Findingf(ingredients.Ask, "exposure-proxy", p.TypePos,
			"no published exposure for %s: %s stands in, %s mg/kg bw/d", lowerFirst(e.ProductType), lowerFirst(e.Row.ProductType), figureText(e.MgPerKg.Value)).
			On(p.ID).AskOf(assessor).
			WithWhy("%s (exposure.csv, row %s; product-types.csv, row %s)", e.Row.Source, e.Key, b.in.Type.Key).
			WithFix("let the assessor confirm the row, or write %s in the product file", own))
	}
	if b.guessedRetention && b.in.Type.RinseOff {
		fs = append(fs, ingredients.Findingf(ingredients.Ask, "exposure-incomplete", b.own.Pos,
			"the product is rinsed off, but exposure: does not say how much stays: all of it is taken to stay").On(p.ID).
			AskOf(assessor).WithFix("add retention_pct with its source"))
	}
	if e.Audience != Adults {
		fs = append(fs, b.childFinding())
	}
	return fs
}

func (b *exposureBuilder) childFinding() ingredients.Finding {
	e := &b.e
	who, how := "children from three years on", ""
	if e.Audience == UnderThree {
		who = "children under three"
	}
	switch {
	case e.ChildFactor != nil:
		how = "an adult's exposure times " + figureText(e.ChildFactor.Value) + " for skin surface is used"
	case b.own != nil && b.own.RelativeMgKgD != nil:
		how = "the exposure is used as the product file gives it"
	case e.BodyWeightKg.Seen == SeenGiven:
		how = "the body weight of the product file is used, " + figureText(e.BodyWeightKg.Value) + " kg"
	default:
		how = "a body weight of " + figureText(e.BodyWeightKg.Value) + " kg is used"
	}
	f := ingredients.Findingf(ingredients.Ask, "child-exposure", b.in.Product.TypePos, "the product is for %s: %s", who, how).
		On(b.in.Product.ID).AskOf(assessor).
		WithFix("let the assessor confirm age and body weight, or write exposure: with body_weight_kg and its source")
	f.Why = "exposure of the youngest user governs; SCCNFP/0557/02 and EFSA 2012 (facts.csv, rows child-*)"
	if e.Audience == UnderThree {
		f.Why += "; products for children under three need an assessment of their own, Regulation (EC) 1223/2009 Annex I part B"
	}
	return f
}

// lowerFirst sets a name into a sentence; abbreviations keep their capitals.
func lowerFirst(s string) string {
	if len(s) > 1 && (s[1] >= 'a' && s[1] <= 'z' || s[1] == ' ' && s[0] == 'A') {
		return strings.ToLower(s[:1]) + s[1:]
	}
	return s
}
