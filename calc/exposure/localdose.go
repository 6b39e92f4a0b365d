package exposure

import (
	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/calc/listing"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// LocalDose is how much of a declarable allergen lies on a square centimetre of
// skin in a day. Sensitisation depends on it, not on the dose to the body.
type LocalDose struct {
	LabelName string
	CAS       string
	Content   exact.Range // % of the mixture that holds most
	WorstIn   string      // that portion; "" for the whole
	OnLabel   bool

	// ProductMgCm2 is the product that stays, mg/cm² a day; of value 0 where it is not known.
	ProductMgCm2 *formula.Stated
	UgCm2        float64 // highest, µg/cm² a day; 0 where the area is not known
	TypicalUgCm2 float64 // at the typical content, µg/cm² a day
	Reason       string  // why there is no figure; "" where there is one
}

// Arithmetic is the figure in one line; "" where there is none.
func (d *LocalDose) Arithmetic() string {
	if d.Reason != "" {
		return ""
	}
	return formula.FigureText(d.ProductMgCm2.Value) + " mg/cm² × " + d.Content.Max.Sig(formula.Significant) +
		" % × 1000 = " + formula.FigureText(d.UgCm2) + " µg/cm² a day"
}

// localDosePerArea returns the dose per area in µg/cm² a day.
//
//	CEL = product in mg/cm² a day × C/100 × 1000
//
// Source: quantitative risk assessment for fragrance sensitisers, consumer
// exposure level.
func localDosePerArea(productMgCm2, contentPct float64) float64 {
	return productMgCm2 * contentPct / 100 * mgToUg
}

// LocalDoses computes the dose per area of each declarable allergen that is in
// the product.
//
// Units: µg/cm² a day, at the highest content in the worst mixture. Not rounded.
// Basis: the product that stays on the skin over the skin area treated; for the
// underarm the higher of that and the published driver.
// Findings: ask "no-skin-area", once, where the area is not known.
func LocalDoses(in *formula.Input, allergens []listing.AllergenTotal,
	exp Exposure) ([]LocalDose, []finding.Finding) {
	product, reason := productPerArea(in, &exp)
	film := product
	if film == nil {
		film = &formula.Stated{}
	}
	n := 0
	for i := range allergens {
		if !allergens[i].Worst.IsZero() {
			n++
		}
	}
	if n == 0 {
		return nil, nil
	}
	doses := make([]LocalDose, 0, n)
	for i := range allergens {
		a := &allergens[i]
		if a.Worst.IsZero() {
			continue
		}
		d := LocalDose{LabelName: a.LabelName, CAS: a.CAS, Content: a.Worst, WorstIn: a.WorstIn,
			OnLabel: a.OnLabel(), Reason: reason, ProductMgCm2: film}
		if product != nil {
			d.UgCm2 = localDosePerArea(product.Value, a.Worst.Max.Float())
			d.TypicalUgCm2 = localDosePerArea(product.Value, a.Worst.Typ.Float())
		}
		doses = append(doses, d)
	}
	if product != nil || !exp.Known() {
		return doses, nil
	}
	f := in.OnProduct(finding.NewFinding(finding.Ask, "no-skin-area", in.Product.TypePos,
		formula.With().Quote("type", formula.LowerFirst(exp.ProductType)).Name("row", exp.Key))).
		By(finding.TheAssessor).At(in.Product.Pos.File, "exposure.area_cm2", nil)
	for _, d := range doses {
		f.Things = f.Things.Name("", d.LabelName)
	}
	return doses, []finding.Finding{f}
}

// productPerArea is the product that stays on the skin, mg/cm² a day.
func productPerArea(in *formula.Input, e *Exposure) (*formula.Stated, string) {
	switch {
	case !e.Known():
		return nil, "the exposure to the product is not known"
	case e.AreaCm2 == nil:
		return nil, "the skin area treated is not known"
	}
	mg := e.MgPerKg.Value * e.BodyWeightKg.Value
	if e.ChildFactor != nil {
		mg /= e.ChildFactor.Value // the film on the skin is that of an adult
	}
	if e.ExposureG != nil {
		mg = e.ExposureG.Value * gramsToMg
	}
	film := *e.AreaCm2
	film.Value = mg / e.AreaCm2.Value
	film.Note = formula.FigureText(mg) + " mg/d over " + formula.FigureText(e.AreaCm2.Value) + " cm²"
	if e.Row != nil && e.Row.Group == "underarm" {
		if driver := formula.OfFact(law.Fact(in.Law, "axilla-dose")); film.Value < driver.Value {
			driver.Note = "published driver for the underarm, above " + formula.FigureText(film.Value) +
				" mg/cm² from amount and area"
			return driver, ""
		}
	}
	return &film, ""
}
