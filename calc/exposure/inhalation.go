package exposure

import (
	"fmt"
	"slices"

	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/calc/law/trade"
	"gallipot/ingredients/exact"
)

// parameter is one figure of the inhalation calculation under its symbol.
type parameter struct {
	Symbol string
	Name   string
	Unit   string
	formula.Stated
}

// Inhalation is how much of a spray or loose powder is breathed in and kept.
type Inhalation struct {
	Applies bool   // the product type sprays or dusts
	Form    string // propellant spray, pump spray or loose powder
	Reason  string // why nothing is computed; "" where it is

	Parameters []parameter // in the order of the formula
	NearMg     float64     // product breathed in near the user, mg/d
	FarMg      float64     // product breathed in later in the room, mg/d
	// MgPerKg is the product kept in the lungs and taken up, mg/kg bw/d; a
	// substance's share of it is its inhaled dose.
	MgPerKg    float64
	exact      exact.Num // MgPerKg as a fraction
	Arithmetic string
	Notes      []string
}

// Known says whether a substance's inhaled dose can be computed.
func (h *Inhalation) Known() bool { return h.MgPerKg > 0 }

// Dose returns the inhaled dose of a content in %, mg/kg bw/d.
func (h *Inhalation) Dose(contentPct float64) float64 { return h.MgPerKg * contentPct / 100 }

// oneBox returns the mass breathed in from air that fills a volume evenly.
//
//	IA = EA / V × BR × t
//
// Units: airborne mass in mg, volume in L, breathing rate in L/min, time in min;
// result in mg.
func oneBox(airborneMg, volumeL, breathingLMin, minutes float64) float64 {
	return airborneMg / volumeL * breathingLMin * minutes
}

// inhaledForm reads the form flags of a product type. A loose powder that the
// type does not mark as inhalable is left to the assessor.
func inhaledForm(p *trade.ProductType) (form, suffix string) {
	has := func(flag string) bool { return slices.Contains(p.Forms, flag) }
	switch {
	case has("aerosol") || has("propellant-spray"):
		return "propellant spray", "propellant"
	case has("spray") || has("pump-spray"):
		return "pump spray", "pump"
	case has("inhalable"):
		return "loose powder", "powder"
	}
	return "", ""
}

// InhalationOf computes the two-box model for a spray or loose powder: a small
// volume around the user for a short time, then the room.
//
//	EA  = A × P × AF                     put into the air, mg/d
//	IA1 = EA / V1 × BR × t1              near, first box
//	IA2 = EA / V2 × BR × t2              room, second box
//	E_inh = (IA1 + IA2) × G × RF × lung absorption / body weight
//
// A is the amount of a day, so that the number of uses is in it. The share P of
// the product without propellant is 1, since a formula here holds no propellant
// or counts it as a material. Where no figure for powders is published, the
// upper bound 1 is taken for airborne and respirable share.
//
// Units: mg/d, L, L/min, min, kg; result in mg/kg bw/d of product. Not rounded.
// Source: as in SCCS/1647/22, 3-3.4.1.3 and 3-3.4.2.3; facts.csv, rows
// inhalation-*.
func InhalationOf(in *formula.Input, exp Exposure) Inhalation {
	form, suffix := inhaledForm(in.Type)
	if form == "" {
		h := Inhalation{Reason: "the product type neither sprays nor dusts"}
		if slices.Contains(in.Type.Forms, "loose-powder") {
			h.Reason = "a loose powder that the type table does not take as inhalable in use; the assessor decides"
		}
		return h
	}
	h := Inhalation{Applies: true, Form: form}
	amount := dailyAmountMg(&exp)
	if amount == nil {
		h.Reason = "the amount used a day is not known"
		return h
	}
	fact := func(key string) formula.Stated { return *formula.OfFact(law.Fact(in.Law, key)) }
	whole := formula.Stated{Value: 1, Source: "the formula without propellant", Seen: formula.SeenGiven}
	h.Parameters = []parameter{
		{"A", "product used a day", "mg/d", *amount},
		{"P", "share that is not propellant", "share", whole},
		{"AF", "share that stays in the air", "share", fact("inhalation-airborne-" + suffix)},
		{"V1", "volume around the user", "L", fact("inhalation-near-volume")},
		{"t1", "time near the user", "min", fact("inhalation-near-time")},
		{"V2", "volume of the room", "L", fact("inhalation-far-volume")},
		{"t2", "time in the room", "min", fact("inhalation-far-time")},
		{"BR", "breathing rate", "L/min", fact("inhalation-breathing-rate")},
		{"G", "share that is not breathed out", "share", fact("inhalation-retained")},
		{"RF", "respirable share", "share", fact("inhalation-respirable-" + suffix)},
		{"LA", "share taken up in the lungs", "%", fact("lung-absorption")},
		{"bw", "body weight", "kg", *exp.UserWeightKg},
	}
	h.compute()
	h.Notes = append(h.Notes, "effects on the lungs themselves are not covered by a dose to the body",
		fmt.Sprintf("respirable: aerodynamic diameter below %s µm; a droplet or particle size test replaces the share RF", formula.FigureText(law.Fact(in.Law, "inhalation-respirable-cut").Float())))
	if suffix == "powder" {
		h.Notes = append(h.Notes,
			"no published shares for powders: everything is taken as airborne and respirable, an upper bound")
	}
	return h
}

// dailyAmountMg is the product applied a day; where only what stays is known,
// that stands in for it.
func dailyAmountMg(e *Exposure) *formula.Stated {
	switch {
	case e.AmountG != nil:
		a := *e.AmountG
		a.Become(a.Num().Mul(exact.Int(gramsToMg)))
		return &a
	case e.MgPerKg != nil:
		a := *e.MgPerKg
		a.Become(a.Num().Mul(e.BodyWeightKg.Num()))
		a.Note = "from the exposure per body weight: what is used may be more than what stays"
		return &a
	}
	return nil
}

func (h *Inhalation) value(symbol string) float64 {
	for _, p := range h.Parameters {
		if p.Symbol == symbol {
			return p.Value
		}
	}
	panic("calc: no inhalation parameter " + symbol)
}

// ExactMgPerKg is MgPerKg as a fraction.
func (h *Inhalation) ExactMgPerKg() exact.Num {
	n := map[string]exact.Num{}
	for _, p := range h.Parameters {
		n[p.Symbol] = p.Num()
	}
	air := n["A"].Mul(n["P"]).Mul(n["AF"]).Mul(n["BR"])
	boxes := air.Quo(n["V1"]).Mul(n["t1"]).Add(air.Quo(n["V2"]).Mul(n["t2"]))
	return boxes.Mul(n["G"]).Mul(n["RF"]).Pct(n["LA"]).Quo(n["bw"])
}

func (h *Inhalation) compute() {
	h.exact = h.ExactMgPerKg()
	v := h.value
	airborne := v("A") * v("P") * v("AF")
	h.NearMg = oneBox(airborne, v("V1"), v("BR"), v("t1"))
	h.FarMg = oneBox(airborne, v("V2"), v("BR"), v("t2"))
	h.MgPerKg = (h.NearMg + h.FarMg) * v("G") * v("RF") * v("LA") / 100 / v("bw")
	t := func(symbol string) string { return formula.FigureText(v(symbol)) }
	h.Arithmetic = fmt.Sprintf("airborne %s mg/d × %s × %s = %s mg; near %s / %s L × %s L/min × %s min = %s mg; room %s / %s L × %s L/min × %s min = %s mg; "+
		"E_inh = (%s + %s) × %s × %s × %s %% / %s kg = %s mg/kg bw/d of product",
		t("A"), t("P"), t("AF"), formula.FigureText(airborne),
		formula.FigureText(airborne), t("V1"), t("BR"), t("t1"), formula.FigureText(h.NearMg),
		formula.FigureText(airborne), t("V2"), t("BR"), t("t2"), formula.FigureText(h.FarMg),
		formula.FigureText(h.NearMg), formula.FigureText(h.FarMg), t("G"), t("RF"), t("LA"), t("bw"),
		formula.FigureText(h.MgPerKg))
}
