package exposure

import (
	"fmt"
	"slices"

	"gallipot/calc/formula"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/safety"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
)

// SEDByPercent returns the systemic exposure dose from per cent absorption.
//
//	SED = E/bw × C/100 × DA/100
//
// Units: E/bw in mg/kg bw/d, content in % w/w, absorption in % of the applied
// dose; result in mg/kg bw/d. Not rounded.
// Source: exposure-formulas as in SCCS/1647/22, 3-3.5.4; worked cases in
// testdata/published/mos_examples.csv.
func SEDByPercent(mgPerKg, contentPct, absorbedPct float64) float64 {
	return mgPerKg * contentPct / 100 * absorbedPct / 100
}

// ugToMg converts µg to mg.
const ugToMg = 1e-3

// SEDByArea returns the systemic exposure dose from absolute absorption. The
// content does not appear: the figure must come from a test at the use
// concentration or above.
//
//	SED = DA × 10⁻³ × area × applications / body weight
//
// Units: µg/cm² per application, cm², 1/d, kg; result in mg/kg bw/d.
// Source: as in SCCS/1647/22, 3-3.5.4.
func SEDByArea(ugPerCm2, areaCm2, perDay, bodyWeightKg float64) float64 {
	return ugPerCm2 * ugToMg * areaCm2 * perDay / bodyWeightKg
}

// AbsorptionKind says what an absorption figure rests on.
type AbsorptionKind string

// The kinds of absorption figure.
const (
	AbsorptionStated    AbsorptionKind = "stated"    // by the table or a sheet
	AbsorptionDefault   AbsorptionKind = "default"   // no usable data
	AbsorptionPoor      AbsorptionKind = "poor"      // the lower default, for which reasons are needed
	AbsorptionSwallowed AbsorptionKind = "swallowed" // oral absorption of a lip or mouth product
	absorptionInsoluble AbsorptionKind = "insoluble" // particles that no one expects to pass intact skin
)

// Absorption is how much of what reaches skin or mouth is taken up.
type Absorption struct {
	Pct   formula.Stated  // % of the applied dose
	UgCm2 *formula.Stated // µg/cm² per application; nil: not given
	Kind  AbsorptionKind
	Why   string // in words, with the case that was made
	// PoorCase is the case for the lower default where the default is used: molar
	// mass and log Pow speak for poor absorption. Empty: no such case.
	PoorCase string
}

// sheetTox is one toxicological value of a sheet in use.
type sheetTox struct {
	sheet *ingredients.Sheet
	value *ingredients.Toxicology
}

func (x sheetTox) stated(n *exact.Num) *formula.Stated {
	if n == nil {
		return nil
	}
	source := x.value.Source
	if source == "" {
		source = "sheet " + x.sheet.ID
	}
	return &formula.Stated{Value: n.Float(), Source: source, Seen: formula.SeenGiven}
}

// knowledge is all that is known of one substance's toxicology.
type knowledge struct {
	*published
	sheets []sheetTox
	judged *formula.Judged // nil: nothing was decided
	nano   bool
}

// published is what the tables say of a substance.
type published struct {
	Rows   []*safety.Tox
	Uses   map[*safety.Tox]safety.ToxUse
	needed bool // false: a margin has no meaning for it
	why    string
	// particles says that it is insoluble particles; nil: not known to be.
	particles *safety.ToxUse
	Mw        *rows.Figure // molar mass of the substance itself, g/mol; nil: not known
}

// publishedKey is what that rests on.
type publishedKey struct{ inci, cas string }

// replaces says whether a sheet's figure of one kind stands in for those of the
// table.
func (k *knowledge) replaces(has func(*ingredients.Toxicology) bool) bool {
	return slices.ContainsFunc(k.sheets, func(x sheetTox) bool { return x.value.Replaces && has(x.value) })
}

func hasPoD(t *ingredients.Toxicology) bool { return t.PoD != nil }

func hasDermal(t *ingredients.Toxicology) bool {
	return t.DermalAbsorptionPct != nil || t.DermalUgCm2 != nil
}

func hasOral(t *ingredients.Toxicology) bool { return t.OralAbsorptionPct != nil }

// rowsUnless returns the rows of the table, none where a sheet replaces them.
func (k *knowledge) rowsUnless(has func(*ingredients.Toxicology) bool) []*safety.Tox {
	if k.replaces(has) {
		return nil
	}
	return k.Rows
}

// Absorption makes a figure of a row's absorption; its mark may differ from that
// of the row's value.
func (k *knowledge) Absorption(row *safety.Tox, f *rows.Figure) formula.Stated {
	s := formula.Stated{Value: f.Value, Source: row.Source, Table: row.File, Row: row.Key, Seen: row.Seen}
	if mark := k.Uses[row].AbsorptionSeen; mark != "" {
		s.Seen = mark
	}
	return s
}

// dermal returns the dermal absorption: the highest that is stated, else the
// default. A figure of the table that equals a default is that default.
func (m *Marginer) dermal(k *knowledge) Absorption {
	if a, ok := k.judgedAbsorption(); ok {
		return a
	}
	standard, poor := m.fact("dermal-absorption-default"), m.fact("dermal-absorption-poor")
	best := Absorption{Kind: AbsorptionDefault, Pct: *standard, Why: "no usable data"}
	var poorRow *safety.Tox
	take := func(s formula.Stated, why string) {
		if best.Kind != AbsorptionStated || best.Pct.Value < s.Value {
			best.Kind, best.Pct, best.Why = AbsorptionStated, s, why
		}
	}
	for _, row := range k.rowsUnless(hasDermal) {
		switch {
		case row.DermalPct == nil || row.DermalPct.Value == standard.Value:
		case k.Uses[row].DermalUnfit:
			best.Why = k.Uses[row].Note
		case row.DermalPct.Value == poor.Value:
			poorRow = row
		default:
			take(k.Absorption(row, row.DermalPct), "stated for the substance")
		}
	}
	for _, x := range k.sheets {
		if s := x.stated(x.value.DermalAbsorptionPct); s != nil {
			take(*s, "stated on sheet "+x.sheet.ID)
		}
		if s := x.stated(x.value.DermalUgCm2); s != nil && (best.UgCm2 == nil || best.UgCm2.Value < s.Value) {
			best.UgCm2 = s
		}
	}
	if poorRow != nil && best.Kind == AbsorptionDefault {
		best.Kind, best.Pct = AbsorptionPoor, *poor
		best.Why = "taken as poorly absorbed; the assessor confirms the reasons"
	}
	if u := k.particles; u != nil && !k.nano && best.Kind == AbsorptionDefault {
		best.Kind, best.Why = absorptionInsoluble, "insoluble particles"
		best.Pct = formula.Stated{Source: u.Source, Table: u.File, Row: u.Key, Seen: u.Seen, Note: u.Note}
	}
	if best.Kind == AbsorptionDefault {
		best.PoorCase = m.PoorCase(k)
	}
	return best
}

// PoorCase says where molar mass and log Pow make the case for poor absorption:
// both conditions are asked for, the stricter of the two published forms.
func (m *Marginer) PoorCase(k *knowledge) string {
	mw, low, high := m.fact("dermal-absorption-poor-mw"), m.fact("dermal-absorption-poor-logp-low"),
		m.fact("dermal-absorption-poor-logp-high")
	if k.Mw == nil || k.Mw.Value <= mw.Value {
		return ""
	}
	for _, row := range k.Rows {
		if row.LogP != nil && (row.LogP.Value < low.Value || row.LogP.Value > high.Value) {
			return fmt.Sprintf("molar mass %s g/mol above %s and log Pow %s outside %s to %s",
				k.Mw.Text, formula.FigureText(mw.Value), row.LogP.Text, formula.FigureText(low.Value),
				formula.FigureText(high.Value))
		}
	}
	return ""
}

// swallowed returns the oral absorption of a lip or mouth product: the highest
// that is stated, else all of it.
func (m *Marginer) swallowed(k *knowledge) Absorption {
	if a, ok := k.judgedAbsorption(); ok {
		return a
	}
	a := Absorption{Kind: AbsorptionSwallowed, Pct: *m.fact("oral-absorption-swallowed"),
		Why: "swallowed, oral absorption not known"}
	found := false
	take := func(s *formula.Stated, why string) {
		if s != nil && (!found || a.Pct.Value < s.Value) {
			a.Pct, a.Why, found = *s, why, true
		}
	}
	for _, row := range k.rowsUnless(hasOral) {
		if m.statesOral(row) {
			s := k.Absorption(row, row.OralPct)
			take(&s, "swallowed, oral absorption stated for the substance")
		}
	}
	for _, x := range k.sheets {
		take(x.stated(x.value.OralAbsorptionPct), "swallowed, oral absorption stated on sheet "+x.sheet.ID)
	}
	return a
}

// judgedAbsorption is the absorption that the assessor put in place of any other.
func (k *knowledge) judgedAbsorption() (a Absorption, ok bool) {
	if k.judged == nil || k.judged.AbsorptionPct == nil {
		return a, false
	}
	return Absorption{Kind: AbsorptionStated, Pct: *k.judged.Stated(k.judged.AbsorptionPct),
		Why: "replaced by the assessor"}, true
}

// statesOral says whether a row has an oral absorption that is not the default.
func (m *Marginer) statesOral(row *safety.Tox) bool {
	return row.OralPct != nil && row.OralPct.Value != m.fact("oral-absorption-default").Value
}

// Dose is a systemic exposure dose, mg/kg bw/d.
type Dose struct {
	Max     float64 // at the highest content: compared with the point of departure
	Typical float64 // at the typical content: shown beside it
	Skin    float64 // part of Max through skin, or mouth where swallowed
	Inhaled float64 // part of Max through the lungs
	ByArea  bool    // from µg/cm²: does not change with the content

	of  *Marginer // nil: the exposure to the product is not known
	at  exact.Num // the content that Max is of, %
	pct float64   // absorption, % of the dose
	ug  float64   // absorption, µg/cm² per application; where ByArea
}

// Text is the arithmetic of Max, without its result; "" where there is none.
func (d *Dose) Text() string {
	if d.of == nil {
		return ""
	}
	e, content := d.of.exp, d.at.Sig(formula.Significant)
	text := formula.FigureText(e.MgPerKg.Value) + " × " + content + " % × " + formula.FigureText(d.pct) + " %"
	if d.ByArea {
		text = fmt.Sprintf("%s µg/cm² × 0.001 × %s cm² × %s / %s kg", formula.FigureText(d.ug),
			formula.FigureText(e.AreaCm2.Value), formula.FigureText(e.PerDay.Value),
			formula.FigureText(e.BodyWeightKg.Value))
		if e.ChildFactor != nil {
			text += " × " + formula.FigureText(e.ChildFactor.Value)
		}
	}
	if h := d.of.inh; h.Known() {
		text += " + " + formula.FigureText(h.MgPerKg) + " × " + content + " % inhaled"
	}
	return text
}

// dose computes the SED of a content. ok is false where the exposure to the
// product is not known.
func (m *Marginer) dose(content exact.Range, a *Absorption) (d Dose, ok bool) {
	e := m.exp
	if !e.Known() {
		return d, false
	}
	highest, typical := content.Max.Float(), content.Typ.Float()
	d.Skin = SEDByPercent(e.MgPerKg.Value, highest, a.Pct.Value)
	typicalSkin := SEDByPercent(e.MgPerKg.Value, typical, a.Pct.Value)
	d.of, d.at, d.pct = m, content.Max, a.Pct.Value
	if a.UgCm2 != nil && !e.Swallowed {
		m.doseByArea(&d, a)
		if d.ByArea {
			typicalSkin = d.Skin
		}
	}
	d.Inhaled = m.inh.Dose(highest)
	d.Max, d.Typical = d.Skin+d.Inhaled, typicalSkin+m.inh.Dose(typical)
	return d, true
}

// doseByArea replaces the dose through the skin by that of absolute absorption,
// unless a stated per cent figure gives more, or skin area or uses a day are not
// known; the per cent figure then stays.
func (m *Marginer) doseByArea(d *Dose, a *Absorption) {
	e := m.exp
	if e.AreaCm2 == nil || e.PerDay == nil {
		a.Why += "; absorption in µg/cm² is given too, but skin area or uses a day are not known"
		return
	}
	byArea := SEDByArea(a.UgCm2.Value, e.AreaCm2.Value, e.PerDay.Value, e.BodyWeightKg.Value)
	if e.ChildFactor != nil {
		byArea *= e.ChildFactor.Value
	}
	if a.Kind == AbsorptionStated && byArea < d.Skin {
		return
	}
	d.Skin, d.ug, d.ByArea = byArea, a.UgCm2.Value, true
}
