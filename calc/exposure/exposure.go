package exposure

import (
	"slices"

	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/safety"
	"gallipot/calc/law/trade"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// ExposureOrigin says where the exposure to a product comes from.
type ExposureOrigin string

// The origins of an exposure.
const (
	ExposureOwn   ExposureOrigin = "product file" // stated by the maker or assessor, with a source
	ExposureTable ExposureOrigin = "table"        // published for this type of product
	exposureProxy ExposureOrigin = "proxy"        // published for the nearest type; the assessor confirms it
	ExposureNone  ExposureOrigin = "none"         // no figure: nothing that rests on it is computed
)

// Exposure is how much of a product reaches its user. A nil figure is not
// known, which is never zero.
type Exposure struct {
	Origin      ExposureOrigin
	Key         string           // row of exposure.csv that was used; "" for none
	Row         *safety.Exposure // that row; nil for none
	ProductType string           // the product's type, in words

	AmountG      *formula.Stated // product applied, g/d
	PerDay       *formula.Stated // applications, 1/d
	Retention    *formula.Stated // share that stays, 0 to 1
	ExposureG    *formula.Stated // product that stays, g/d
	MgPerKg      *formula.Stated // product that stays, mg/kg bw/d; what every SED starts from
	AreaCm2      *formula.Stated // skin treated, cm²
	BodyWeightKg *formula.Stated // kg the amounts are divided by
	UserWeightKg *formula.Stated // kg of the youngest user; differs where an adult's exposure is scaled by skin surface
	ChildFactor  *formula.Stated // skin per body weight of a child over that of an adult; nil for adults

	Audience   formula.Audience // whom the figures are for: the youngest of file and product type
	Swallowed  bool             // lip and mouth products: the exposure is taken as swallowed whole
	Population bool             // the row is a population mean, not an upper percentile
	// row spreads rare uses over the year; nil where it does not.
	Arithmetic string   // how MgPerKg came about, in one line
	Notes      []string // what a reader must know about the figures
	printed    bool     // MgPerKg is the printed value of the row
}

// Known says whether there is a figure that substances can be computed from.
func (e *Exposure) Known() bool { return e.MgPerKg != nil }

// IsProxy says whether another type of product stands in.
func (e *Exposure) IsProxy() bool { return e.Origin == exposureProxy }

// gramsToMg converts g to mg.
const gramsToMg = 1000

// ExposureOf returns the exposure to a product of one variant's type.
//
//	E/bw = amount × 1000 × retention / body weight        [mg/kg bw/d]
//
// The printed E/bw of the table is used where there is one, since its rounding
// and its body weights are the survey's. The product file's own figures come
// first, then the row of the type, then the nearest row as a proxy. A proxy for
// a product that stays on the skin is taken with retention 1, and one that
// spreads rare uses over the year as one use a day, unless the row is a
// committee's own default.
//
// Units: g/d, mg/kg bw/d, cm², kg. Not rounded.
// Basis: adults of 60 kg; for children the adult exposure times the factor of
// skin surface for the youngest age, or the child row's grams over a child's
// weight.
// Findings: ask "exposure-proxy", "no-exposure", "exposure-incomplete",
// "child-exposure".
// Source: exposure.csv and facts.csv, rows body-weight-*, child-*.
func ExposureOf(in *formula.Input) (Exposure, []finding.Finding) {
	b := exposureBuilder{in: in, own: in.Product.Exposure}
	b.e = Exposure{ProductType: in.Type.Name, Audience: audienceOf(in), Swallowed: isSwallowed(in.Type)}
	b.chooseRow()
	b.bodyWeight()
	b.area()
	b.childFactor()
	b.amount()
	b.relative()
	b.remarks()
	return b.e, b.findings()
}

type exposureBuilder struct {
	in  *formula.Input
	own *formula.OwnExposure
	e   Exposure
	// guessedRetention: the product file gives an amount but not how much stays.
	guessedRetention bool
	nothingStays     bool // the product file gives a retention of 0
}

// isSwallowed says whether a product ends up in the mouth, by the codes of the
// law for lip and oral products.
func isSwallowed(p *trade.ProductType) bool {
	return slices.Contains(p.Codes, "lip") || slices.Contains(p.Codes, "oral")
}

// audienceOf is the youngest audience of the product file and the type.
func audienceOf(in *formula.Input) formula.Audience {
	byType := formula.Adults
	switch in.Type.Population {
	case "under-3", "children": // children without an age start at birth
		byType = formula.UnderThree
	}
	switch {
	case in.Product.IntendedFor == formula.UnderThree:
		return formula.UnderThree
	case in.Product.IntendedFor == formula.ChildrenThree && in.Type.Population != "under-3":
		return formula.ChildrenThree
	case in.Product.IntendedFor == formula.ChildrenThree:
		return formula.UnderThree
	}
	return byType
}

// chooseRow takes the row of the type, or its proxy.
func (b *exposureBuilder) chooseRow() {
	e := &b.e
	for _, c := range []struct {
		key    string
		origin ExposureOrigin
	}{{b.in.Type.ExposureKey, ExposureTable}, {b.in.Type.ProxyKey, exposureProxy}} {
		if row, ok := law.Exposure(b.in.Law, c.key); ok && c.key != "" {
			e.Origin, e.Key, e.Row = c.origin, row.Key, row
			break
		}
	}
	if e.Row == nil {
		e.Origin = ExposureNone
	}
	if b.ownAmount() {
		e.Origin, e.Key, e.Row = ExposureOwn, "", nil
	}
}

// ownAmount says whether the product file states how much is used.
func (b *exposureBuilder) ownAmount() bool {
	return b.own != nil && (b.own.AmountGDay != nil || b.own.RelativeMgKgD != nil)
}

func (b *exposureBuilder) given(n *exact.Num) *formula.Stated {
	return &formula.Stated{Value: n.Float(), Source: b.own.Source, Seen: formula.SeenGiven}
}

func (b *exposureBuilder) ofRow(f *rows.Figure, note string) *formula.Stated {
	if f == nil {
		return nil
	}
	row := b.e.Row
	return &formula.Stated{Value: f.Value, Source: row.Source, Table: row.File, Row: row.Key, Seen: row.Seen,
		Note: note}
}

func (b *exposureBuilder) childRow() bool { return b.e.Row != nil && b.e.Row.Group == "child" }

// bodyWeight is the file's own, a child's where grams are divided by it, or the
// adult default. Where an adult's exposure is scaled by skin surface, it stays
// an adult's.
func (b *exposureBuilder) bodyWeight() {
	e := &b.e
	adult := law.Fact(b.in.Law, "body-weight-adult")
	e.UserWeightKg = formula.OfFact(adult)
	switch e.Audience {
	case formula.ChildrenThree:
		e.UserWeightKg = formula.OfFact(law.Fact(b.in.Law, "child-body-weight-3-plus"))
	case formula.UnderThree:
		e.UserWeightKg = formula.OfFact(law.Fact(b.in.Law, "child-body-weight-under-3"))
	}
	if b.own != nil && b.own.BodyWeightKg != nil && b.own.BodyWeightKg.Sign() > 0 {
		e.UserWeightKg = b.given(b.own.BodyWeightKg)
	}
	e.BodyWeightKg = e.UserWeightKg
	if b.scaledBySkin() {
		e.BodyWeightKg = formula.OfFact(adult)
	}
}

// scaledBySkin says whether a child's exposure is an adult row's times the
// factor of skin surface.
func (b *exposureBuilder) scaledBySkin() bool {
	return b.e.Audience != formula.Adults && b.e.Row != nil && !b.childRow() && !b.e.Swallowed
}

// area is the file's own, that of the row under the type's own name, or that of
// the row in use.
func (b *exposureBuilder) area() {
	switch own, ok := law.Exposure(b.in.Law, b.in.Type.Key); {
	case b.own != nil && b.own.AreaCm2 != nil && b.own.AreaCm2.Sign() > 0:
		b.e.AreaCm2 = b.given(b.own.AreaCm2)
	case ok && own.SkinSurfaceCM2 != nil:
		b.e.AreaCm2 = &formula.Stated{Value: own.SkinSurfaceCM2.Value, Source: own.Source, Table: own.File,
			Row: own.Key, Seen: own.Seen, Note: own.BodyArea}
	case b.e.Row != nil:
		b.e.AreaCm2 = b.ofRow(b.e.Row.SkinSurfaceCM2, b.e.Row.BodyArea)
	}
}

// printed says whether the row prints E/bw itself: a committee's default, whose
// retention factor is kept.
func (b *exposureBuilder) printed() bool { return b.e.Row != nil && b.e.Row.RelativeMgKg != nil }

// ownRetention says whether the product file states how much stays.
func (b *exposureBuilder) ownRetention() bool { return b.own != nil && b.own.RetentionPct != nil }

// amount fills amount, frequency and retention.
func (b *exposureBuilder) amount() {
	e := &b.e
	if e.Row != nil {
		e.AmountG, e.PerDay = b.ofRow(e.Row.DailyG, ""), b.ofRow(e.Row.PerDay, "")
		e.Retention = b.ofRow(e.Row.Retention, "")
		e.ExposureG = b.ofRow(e.Row.ExposureG, "")
		if !b.printed() {
			b.adjustRow()
		}
	}
	if b.own == nil {
		return
	}
	if b.own.TimesPerDay != nil {
		e.PerDay = b.given(b.own.TimesPerDay)
	}
	if b.own.AmountGDay != nil {
		e.AmountG = b.given(b.own.AmountGDay)
		if b.own.RetentionPct == nil {
			b.guessedRetention = b.own.RelativeMgKgD == nil
			e.Retention = &formula.Stated{Value: 1, Source: b.own.Source, Seen: formula.SeenGiven,
				Note: "retention not given: all of it is taken to stay"}
		}
	}
	if b.ownRetention() {
		e.Retention = b.given(b.own.RetentionPct)
		e.Retention.Become(b.own.RetentionPct.Quo(formula.Hundred))
		e.ExposureG = nil
	}
	if b.own.AmountGDay != nil {
		e.ExposureG = b.given(b.own.AmountGDay)
		e.ExposureG.Become(b.own.AmountGDay.Mul(e.Retention.Num()))
	}
}

// adjustRow reads a row that is no committee's default with the cautious choice:
// what is swallowed or stays on the skin counts whole, and the year's mean of
// rare uses becomes one use a day: who uses it, uses it on that day.
func (b *exposureBuilder) adjustRow() {
	e := &b.e
	whole := ""
	switch {
	case e.Retention == nil:
		whole = "the source has no retention factor: all of it is taken to stay"
	case e.Swallowed:
		whole = "all of it is taken as swallowed"
	case e.IsProxy() && !b.in.Type.RinseOff:
		whole = "a product that stays on: the factor of the row is not used"
	}
	if whole != "" && e.AmountG != nil && e.Retention.Or(0) != 1 {
		e.Retention = &formula.Stated{Value: 1, Source: "cautious choice of this program", Seen: formula.SeenGiven,
			Note: whole}
		e.ExposureG = nil
		e.Notes = append(e.Notes, whole)
	}
	if e.AmountG == nil || e.PerDay.Or(1) >= 1 || e.PerDay.Value <= 0 {
		return
	}
	use := e.AmountG.Num().Quo(e.PerDay.Num())
	note := "one use of " + formula.FigureText(use.Float()) + " g a day; the source spreads " +
		formula.FigureText(e.PerDay.Value) + " uses a day over the year"
	e.Notes = append(e.Notes, note)
	amount, perDay := *e.AmountG, *e.PerDay
	amount.Become(use)
	perDay.Become(exact.Int(1))
	amount.Note, perDay.Note = note, note
	e.AmountG, e.PerDay, e.ExposureG = &amount, &perDay, nil
}
