package exposure

import (
	"slices"

	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/calc/law/safety"
	"gallipot/calc/law/table"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
)

// MarginOfSafety returns PoD_sys / SED, a ratio; both in mg/kg bw/d. The SED
// must be above 0.
func MarginOfSafety(podSys, sed float64) float64 { return podSys / sed }

// MarginVerdict says how a margin stands against its target. None of them says
// that a product or substance is safe: that is the assessor's to judge.
type MarginVerdict string

// The verdicts on a margin.
const (
	MarginReached MarginVerdict = "at or above target"
	MarginBelow   MarginVerdict = "below target"
	MarginNone    MarginVerdict = "no margin" // not computed; the reason stands beside it
)

// NoMargin says why no margin was computed.
type NoMargin string

// The reasons for having no margin.
const (
	NoMarginNotNeeded    NoMargin = "not needed"     // a margin has no meaning, as for water
	NoMarginUndeclared   NoMargin = "undeclared"     // nobody has said what it is
	NoMarginNotDisclosed NoMargin = "not disclosed"  // a scent whose composition is not disclosed
	NoMarginNoExposure   NoMargin = "no exposure"    // the exposure to the product is not known
	NoMarginNoPoD        NoMargin = "no PoD"         // no point of departure is known
	NoMarginUnusable     NoMargin = "unusable value" // an intake, a tumour dose or another value that is none
	NoMarginNoThreshold  NoMargin = "no threshold"   // no dose without effect is assumed
	NoMarginNotAbsorbed  NoMargin = "not absorbed"   // absorption 0: no systemic exposure
	NoMarginNotThere     NoMargin = "not there"      // the content is 0
)

// Margin is one substance in the worst mixture: how much of it reaches the body,
// against the dose that had no effect, with every input.
type Margin struct {
	*marginFigures // never nil

	WorstIn       string      // the portion that holds most; "" for the whole
	Whole         exact.Range // % of the whole product
	Contributions []formula.Contribution

	of *formula.Substance
}

// marginFigures are what a margin has from its substance and its content alone. Variants and
// markets in which both are alike share them: nothing of them is changed once they are made.
type marginFigures struct {
	INCI, CAS string
	Nano      bool
	Content   exact.Range // % of the worst mixture, all routes; its Max governs

	MgPerKg float64 // exposure to the product, mg/kg bw/d; 0 where not known
	// Absorption is that of the skin, or of the mouth where the product is
	// swallowed.
	Absorption Absorption
	SED        Dose
	PoD        *PoD    // the value used; nil: none usable
	Others     []PoD   // the other values known, usable or not
	PoDSys     float64 // mg/kg bw/d; 0 where there is none

	MoS        float64        // unrounded, at the highest content; 0 where there is none
	MoSTypical float64        // at the typical content; 0 where there is none
	Target     formula.Stated // the margin asked for
	Verdict    MarginVerdict
	None       NoMargin // why there is none; "" where there is one
	Reason     string   // the same in words
	// HighestPct is the content in % at which the margin is exactly the target,
	// 100 where any content reaches it; nil where there is no margin or it does not depend on the content. Cut it
	// down, never up, in print.
	HighestPct *float64
	// OtherAbsorption is the margin with the other default absorption: with 50 %
	// where 10 % was taken, with 10 % where a case for it can be made.
	OtherAbsorption *otherMargin
	Judged          *formula.Judged // what the assessor decided; nil: nothing
	TTC             *Screening      // where no point of departure exists and a class is known
	// Memory names the figures above that were not read in their source.
	Memory []MemoryFigure

	highest float64     // what HighestPct points to
	other   otherMargin // what OtherAbsorption points to
}

// otherMargin is a margin under another assumption, for the assessor to weigh.
type otherMargin struct {
	AbsorptionPct float64 // %
	MoS           float64
	Verdict       MarginVerdict
	Why           string
}

// Marginer holds what all margins of one product share.
type Marginer struct {
	In     *formula.Input
	exp    *Exposure
	inh    *Inhalation
	sheets map[string][]sheetTox // by substance key
	judged map[string]*formula.Judged
	Sums   []SumMargin
	made   []marginFigures // those made last

	margins []Margin // as computed; nil: not yet
}

func NewMarginer(in *formula.Input, comps []*formula.Composition, exp Exposure) *Marginer {
	inh := InhalationOf(in, exp)
	m := &Marginer{In: in, exp: &exp, inh: &inh}
	if len(in.Judged) > 0 {
		m.judged = make(map[string]*formula.Judged, len(in.Judged))
	}
	for i := range in.Judged {
		m.judged[ingredients.NameKey(in.Judged[i].INCI)] = &in.Judged[i]
	}
	for _, s := range formula.SheetsIn(in, comps) {
		for i := range s.Toxicology {
			key := ToxName(in.Dict, s, s.Toxicology[i].INCI).Key
			if m.sheets == nil {
				m.sheets = map[string][]sheetTox{}
			}
			m.sheets[key] = append(m.sheets[key], sheetTox{s, &s.Toxicology[i]})
		}
	}
	return m
}

// ToxName is the substance that a toxicology entry of a sheet is about: the one
// that the sheet's composition has under the same printed name, whatever that is
// counted as, else the one the name stands for.
func ToxName(dict *ingredients.Dictionary, s *ingredients.Sheet, printed string) formula.Name {
	key := ingredients.NameKey(printed)
	for _, c := range s.Composition.Constituents {
		if ingredients.NameKey(c.INCI) == key {
			return formula.ReadNames(dict, c.INCI, c.CAS, c.EC)[0]
		}
	}
	for _, t := range s.Impurities {
		if ingredients.NameKey(t.Name) == key {
			return formula.ReadNames(dict, t.Name, t.CAS, "")[0]
		}
	}
	if s.Allergens != nil {
		for _, d := range s.Allergens.Declared {
			if ingredients.NameKey(d.Name) == key {
				return formula.ReadNames(dict, d.Name, d.CAS, "")[0]
			}
		}
	}
	return formula.ReadNames(dict, printed, "", "")[0]
}

// factMemory keeps the figures of guidance that every margin asks for.
type factMemory struct {
	formula.Memo[string, *formula.Stated]
}

// fact returns a figure of guidance, the caller's own: notes are written on it.
func (m *Marginer) fact(key string) *formula.Stated {
	x := *formula.MemoryOf[factMemory](m.In.Session).Of(key, func() *formula.Stated {
		return formula.OfFact(law.Fact(m.In.Law, key))
	})
	return &x
}

// counted leaves out what is in the product as a trace alone.
func counted(s *formula.Substance) bool {
	return slices.ContainsFunc(s.Contributions,
		func(c formula.Contribution) bool { return c.Route != formula.ByImpurity })
}

// Open says whether a substance has no margin and no settled reason for having none: no
// value is on file that its dose can be compared with.
func (x *marginFigures) Open() bool {
	switch x.None {
	case "", NoMarginNotNeeded, NoMarginNotAbsorbed, NoMarginNotDisclosed, NoMarginNotThere:
		return false
	}
	return true
}

// OfTarget is the margin measured by its target, a ratio that sorts the one nearest to its
// target, or furthest below it, first; a substance without a margin comes last.
func (x *marginFigures) OfTarget() float64 {
	const last = 1e300
	if x.Verdict == MarginNone {
		return last
	}
	return x.MoS / x.Target.Value
}

// compute takes what does not depend on the content and divides.
func (m *Marginer) compute(x *marginFigures, undeclared bool) {
	like := m.startOf(x.INCI, x.CAS, x.Nano)
	k := like.known
	x.Judged, x.Verdict, x.Target = k.judged, MarginNone, like.target
	x.Absorption, x.PoD, x.Others, x.PoDSys, x.Memory = like.absorption, like.pod, like.others, like.sys, like.memory
	if m.exp.Known() {
		x.MgPerKg = m.exp.MgPerKg.Value
	}
	dose, ok := m.dose(x.Content, &x.Absorption)
	x.SED = dose
	switch {
	case x.Content.IsZero():
		x.none(NoMarginNotThere, "its content is 0")
	case !k.needed:
		x.none(NoMarginNotNeeded, k.why)
	case undeclared:
		x.none(NoMarginUndeclared, "nobody has said what it is")
	case x.INCI == formula.Parfum || x.INCI == formula.Aroma:
		x.none(NoMarginNotDisclosed,
			"a mixture whose composition is not disclosed; what is declared in it stands on lines of its own")
	case !ok:
		x.none(NoMarginNoExposure, "the exposure to the product is not known")
	case x.SED.Max == 0 && x.Absorption.Kind == absorptionInsoluble:
		x.none(NoMarginNotAbsorbed,
			"insoluble particles: no uptake through intact skin is assumed, which the assessor confirms")
	case x.SED.Max == 0:
		x.none(NoMarginNotAbsorbed, "absorption 0: no systemic exposure is assumed, so nothing is divided")
	default:
		m.divide(x, k)
	}
}

func (x *marginFigures) none(n NoMargin, reason string) {
	x.None, x.Reason = n, reason
}

// divide computes the margin, or says why there is none.
func (m *Marginer) divide(x *marginFigures, k *knowledge) {
	switch {
	case x.PoD == nil && slices.ContainsFunc(x.Others, func(p PoD) bool { return !p.Threshold }):
		x.none(NoMarginNoThreshold, firstReason(x.Others, func(p PoD) bool { return !p.Threshold }))
		return
	case x.PoD == nil && len(x.Others) > 0:
		x.none(NoMarginUnusable, firstReason(x.Others, func(PoD) bool { return true }))
		return
	case x.PoD == nil:
		x.none(NoMarginNoPoD, "no point of departure is known")
		x.TTC = m.screen(x, k)
		return
	case x.PoDSys == 0:
		x.none(NoMarginNotAbsorbed, "absorption 0 in the study: no internal dose to start from")
		return
	}
	x.MoS = MarginOfSafety(x.PoDSys, x.SED.Max)
	if x.SED.Typical > 0 {
		x.MoSTypical = MarginOfSafety(x.PoDSys, x.SED.Typical)
	}
	x.MoS, x.Verdict = decideMargin(x.MoS, x.Target.Value, func() exact.Num {
		return x.PoD.exactSys(x.PoD.Systemic.Num()).Quo(m.exactDose(x.Content.Max, &x.SED, &x.Absorption))
	})
	if !x.SED.ByArea {
		x.highest = highestPct(x.Content, x.MoS, x.Target.Value)
		x.HighestPct = &x.highest
	}
	x.OtherAbsorption = m.otherAbsorption(x)
}

// highestPct is the content at which a margin is the target, at most 100 %: the
// SED is proportional to the content.
func highestPct(content exact.Range, mos, target float64) float64 {
	return min(content.Max.Float()*mos/target, 100)
}

func firstReason(pods []PoD, fits func(PoD) bool) string {
	for _, p := range pods {
		if fits(p) {
			return p.Unusable
		}
	}
	return ""
}

// otherAbsorption computes the margin with the other default, where the default
// decides something.
func (m *Marginer) otherAbsorption(x *marginFigures) *otherMargin {
	o := &x.other
	switch {
	case x.SED.ByArea:
		return nil
	case x.Absorption.Kind == AbsorptionPoor:
		o.AbsorptionPct, o.Why = m.fact("dermal-absorption-default").Value, "without the case for poor absorption"
	case x.Absorption.Kind == AbsorptionDefault && x.Absorption.PoorCase != "":
		o.AbsorptionPct, o.Why = m.fact("dermal-absorption-poor").Value, x.Absorption.PoorCase
	default:
		return nil
	}
	skin := SEDByPercent(x.MgPerKg, x.Content.Max.Float(), o.AbsorptionPct)
	sys := x.PoDSys
	if x.PoD.Route == "dermal" {
		sys = internalPoD(x.PoD.Value, x.PoD.Divisor(), o.AbsorptionPct)
	}
	o.MoS, o.Verdict = decideMargin(MarginOfSafety(sys, skin+x.SED.Inhaled), x.Target.Value, func() exact.Num {
		other := Absorption{Pct: formula.Stated{Value: o.AbsorptionPct}}
		internal := x.PoD.Systemic.Num()
		if x.PoD.Route == "dermal" {
			internal = other.Pct.Num()
		}
		return x.PoD.exactSys(internal).Quo(m.exactDose(x.Content.Max, &x.SED, &other))
	})
	return o
}

// known gathers what table and sheets say of a substance.
func (m *Marginer) known(inci, cas string) *knowledge {
	k := &knowledge{published: publishedOf(m.In.Session, inci, cas)}
	k.sheets, k.judged = m.stated(inci)
	return k
}

// stated is what sheets and the assessor say of a substance.
func (m *Marginer) stated(inci string) ([]sheetTox, *formula.Judged) {
	if len(m.sheets) == 0 && len(m.judged) == 0 {
		return nil, nil
	}
	var room [80]byte
	key := ingredients.AppendKey(room[:0], inci)
	return m.sheets[string(key)], m.judged[string(key)]
}

// publishedMemory keeps what is published of a substance.
type publishedMemory struct {
	formula.Memo[publishedKey, *published]
}

// publishedOf gathers what the tables say of a substance. Tables are never
// changed, so it is looked up once.
func publishedOf(s *formula.Session, inci, cas string) *published {
	return formula.MemoryOf[publishedMemory](s).Of(publishedKey{inci, cas}, func() *published {
		return readPublished(s.Law, inci, cas)
	})
}

func readPublished(tables *table.Tables, inci, cas string) *published {
	p := &published{Rows: toxRowsOf(tables, inci, cas), Uses: map[*safety.Tox]safety.ToxUse{}, needed: true}
	for _, row := range p.Rows {
		p.Uses[row] = useOfRow(tables, row.Substance, inci)
	}
	for _, u := range law.ToxUses(tables, inci, inci) {
		if u.Use == safety.UseNotNeeded {
			p.needed, p.why = false, u.Reason
		}
	}
	for _, u := range law.ToxUses(tables, inci, inci) {
		if u.Insoluble {
			p.particles = u
		}
	}
	p.Mw = law.MassOf(tables, inci, formula.List(cas)...)
	return p
}

// toxRowsOf finds the rows of a substance; a trace under a short name, such as
// Pb, by the number that its guide holds.
func toxRowsOf(tables *table.Tables, inci, cas string) []*safety.Tox {
	rows := law.Tox(tables, inci, cas)
	if len(rows) > 0 {
		return rows
	}
	for _, g := range tables.TraceGuideRows() {
		if g.Covers(inci, cas) && len(g.CAS) == 1 {
			return law.Tox(tables, inci, g.CAS...)
		}
	}
	return nil
}

// useOfRow joins the readings of a row: what is said of the label name comes on
// top of what is said of the row.
func useOfRow(tables *table.Tables, substance, inci string) safety.ToxUse {
	var use safety.ToxUse
	for _, u := range law.ToxUses(tables, substance, inci) {
		if u.INCI != "" {
			use.DermalUnfit, use.Note = u.DermalUnfit, u.Note
			continue
		}
		use = *u
	}
	return use
}

// posOf is the place of the line that brings most of a substance.
func (m *Marginer) posOf(x *Margin) exact.Pos {
	pos := m.In.Product.Pos
	var most exact.Num
	for _, c := range x.Contributions {
		if most.Less(c.Pct.Max) {
			most, pos = c.Pct.Max, c.LinePos
		}
	}
	return pos
}

// SumMargin is one margin of safety for several substances that a sheet or the
// assessor wants held to one together.
type SumMargin struct {
	Name       string         // the word that the sheets give the sum
	Substances []string       // in the order of their margins, the smallest first
	SED        float64        // of all together, mg/kg bw/d
	PoDSys     float64        // the lowest internal point of departure of them, mg/kg bw/d
	MoS        float64        // PoDSys / SED
	Target     formula.Stated // the highest asked for of them
	Verdict    MarginVerdict
	Missing    []string // substances of the sum that have no margin: they count in no figure
	Arithmetic string
}

// MemoryFigure is a figure in use that was not, or not wholly, read in its
// source: the assessor is asked to confirm it.
type MemoryFigure struct {
	What  string // what it is used as
	Table string
	Row   string
	Seen  string // partly, memory or none
}
