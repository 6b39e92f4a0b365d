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
	say := func(code, form string, pos ingredients.Pos, key string, v ingredients.Values, who ...ingredients.Party) {
		fs = append(fs, b.in.onProduct(ingredients.NewFinding(ingredients.Ask, code, pos, v)).As(form).By(who...).At(p.Pos.File, key, nil))
	}
	switch {
	case b.nothingStays:
		say("exposure-incomplete", "nothing-stays", b.own.Pos, "exposure.retention_pct", nil, ingredients.TheAssessor)
		return fs
	case !e.Known():
		say("no-exposure", "", p.TypePos, "exposure", with().Quote("type", lowerFirst(e.ProductType)).Name("row", b.in.Type.Key),
			ingredients.TheMaker, ingredients.TheAssessor)
		return fs
	case e.IsProxy():
		say("exposure-proxy", "", p.TypePos, "exposure", with().Quote("type", lowerFirst(e.ProductType)).Quote("near", lowerFirst(e.Row.ProductType)).
			Figure("exposure", figureText(e.MgPerKg.Value), "mg/kg bw/d").Quote("source", e.Row.Source).Name("row", e.Key).Name("type_row", b.in.Type.Key), ingredients.TheAssessor)
	}
	if b.guessedRetention && b.in.Type.RinseOff {
		say("exposure-incomplete", "no-retention", b.own.Pos, "exposure.retention_pct", nil, ingredients.TheAssessor)
	}
	if e.Audience != Adults {
		fs = append(fs, b.childFinding())
	}
	return fs
}

func (b *exposureBuilder) childFinding() ingredients.Finding {
	e := &b.e
	form, v := "weight", with().Flag(e.Audience == UnderThree, "under-three")
	switch {
	case e.ChildFactor != nil:
		form, v = "factor", v.Figure("factor", figureText(e.ChildFactor.Value), "")
	case b.own != nil && b.own.RelativeMgKgD != nil:
		form = "given"
	case e.BodyWeightKg.Seen == SeenGiven:
		form, v = "own-weight", v.Figure("weight", figureText(e.BodyWeightKg.Value), "kg")
	default:
		v = v.Figure("weight", figureText(e.BodyWeightKg.Value), "kg")
	}
	return b.in.onProduct(ingredients.NewFinding(ingredients.Ask, "child-exposure", b.in.Product.TypePos, v)).As(form).By(ingredients.TheAssessor).
		At(b.in.Product.Pos.File, "exposure.body_weight_kg", nil)
}

// lowerFirst sets a name into a sentence; abbreviations keep their capitals.
func lowerFirst(s string) string {
	if len(s) > 1 && (s[1] >= 'a' && s[1] <= 'z' || s[1] == ' ' && s[0] == 'A') {
		return strings.ToLower(s[:1]) + s[1:]
	}
	return s
}
