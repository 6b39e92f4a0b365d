package exposure

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"gallipot/calc/formula"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/safety"
	"gallipot/calc/law/table"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/pattern"
)

// internalPoD turns a point of departure into an internal dose.
//
//	PoD_sys = PoD / divisor × absorption/100
//
// Units: mg/kg bw/d; divisor is the product of LOAEL and duration factor;
// absorption in % of the dose of the study. Not rounded.
// Source: as in SCCS/1647/22, 3-5.1.
func internalPoD(pod, divisor, absorbedPct float64) float64 {
	return pod / divisor * absorbedPct / 100
}

// PoD is one toxicological value that a margin could start from.
type PoD struct {
	Type  string  // NOAEL, LOAEL, BMDL …, as the source has it
	Value float64 // mg/kg bw/d
	Study string
	Route string // oral or dermal, of the study

	LOAELFactor    *formula.Stated // divisor for a lowest effect level; nil: none
	DurationFactor *formula.Stated // divisor for a short study; nil: none
	Systemic       formula.Stated  // % of the study's dose that counts as internal
	SystemicWhy    string
	Sys            float64 // internal point of departure, mg/kg bw/d

	Target    *formula.Stated // margin that the source itself accepts; nil: the general one
	Source    string
	Table     string // table it stands in; "" for a sheet
	Row       string // row of that table
	Seen      string
	Note      string
	Other     string    // limits and remarks of the source
	Sheet     string    // sheet it stands on; "" for the table
	Pos       exact.Pos // on that sheet
	Unusable  string    // why no margin may start from it; "" when it may
	Threshold bool      // false: no dose without effect is assumed
	Single    bool      // a study of single doses

	human bool
}

// Divisor is the product of the factors for effect level and duration.
func (p *PoD) Divisor() float64 { return p.LOAELFactor.Or(1) * p.DurationFactor.Or(1) }

// Cite returns the source with the row of the table it was taken from.
func (p *PoD) Cite() string { return formula.Cite(p.Source, p.Table, p.Row) }

// Human says whether the value comes from people: the factor between species
// may then fall away.
func (p *PoD) Human() bool { return p.human }

// FromMemory says whether the value was not read in its source.
func (p *PoD) FromMemory() bool { return (&formula.Stated{Seen: p.Seen}).FromMemory() }

// podKind is what a type of value is.
type podKind int

const (
	podEffect  podKind = iota // a dose with no or the lowest effect: a margin may start from it
	podLowest                 // the lowest dose with an effect: a factor is needed
	podIntake                 // a safe intake already
	podTumour                 // a dose that causes tumours
	podUnknown                // no point of departure by this name
)

var podKinds = map[string]podKind{"effect": podEffect, "lowest": podLowest, "intake": podIntake,
	"tumour": podTumour}

// kindOf reads a type by its first letters; what is not known is refused rather
// than taken for a dose without effect.
func kindOf(tables *table.Tables, podType string) podKind {
	means, ok := tables.Words(rows.WordsPoDType).Means(strings.TrimSpace(podType))
	if kind, known := podKinds[means]; ok && known {
		return kind
	}
	return podUnknown
}

// pods returns the values known for a substance: those a margin may start from,
// the lowest first, then the others with the reason.
//
// Lowest counts after the factor for effect level and the share that is
// internal, but before the factor for duration: that factor stands in for a
// longer study, so it must not make a short study govern where a longer one with
// a lower value is at hand. A sheet's value that replaces the table's leaves its
// rows out, save for a substance without threshold: that is no matter of another
// figure.
func (m *Marginer) pods(k *knowledge, dermal *Absorption) []PoD {
	var all []PoD
	replaced := k.replaces(hasPoD)
	for _, row := range k.Rows {
		if row.PoD != nil && (!replaced || k.Uses[row].Use == safety.UseNoThreshold) {
			all = append(all, m.ofRow(row, k, dermal))
		}
	}
	for _, x := range k.sheets {
		if x.value.PoD != nil && (!replaced || x.value.Replaces) {
			all = append(all, m.ofSheet(x, k, dermal))
		}
	}
	if j := k.judged; j != nil && j.PoD != nil {
		all = append(m.replacedBy(j, all), m.ofJudged(j, all, k, dermal))
	}
	m.targets(all, k)
	slices.SortStableFunc(all, func(a, b PoD) int {
		if c := cmp.Compare(boolRank(a.Unusable != ""), boolRank(b.Unusable != "")); c != 0 {
			return c
		}
		if ta, tb := m.targetOf(&a), m.targetOf(&b); ta != tb {
			return cmp.Compare(a.Sys*a.DurationFactor.Or(1)/ta, b.Sys*b.DurationFactor.Or(1)/tb)
		}
		if c := formula.CompareNear(a.Sys*a.DurationFactor.Or(1), b.Sys*b.DurationFactor.Or(1), func() int {
			return a.exactSys(a.Systemic.Num()).Mul(a.DurationFactor.Num()).
				Cmp(b.exactSys(b.Systemic.Num()).Mul(b.DurationFactor.Num()))
		}); c != 0 {
			return c
		}
		return cmp.Compare(a.Sys, b.Sys)
	})
	return all
}

// targets sets the margin that each value is held to where it is not the general
// one: a value from people to that without the factor between species; and what a
// sheet or the assessor states with a reason to all values of the substance.
func (m *Marginer) targets(all []PoD, k *knowledge) {
	for i := range all {
		if all[i].Target == nil && all[i].Human() {
			all[i].Target = m.fact("mos-target-human")
		}
	}
	if j := k.judged; j != nil && j.Target != nil {
		for i := range all {
			all[i].Target = j.Stated(j.Target)
		}
		return
	}
	for _, x := range k.sheets {
		if n := x.value.Target; n != nil {
			for i := range all {
				all[i].Target = &formula.Stated{Value: n.Float(), Source: x.value.TargetReason, Seen: formula.SeenGiven,
					Note: "sheet " + x.sheet.ID}
			}
		}
	}
}

// replacedBy are the values that an assessor's figure stands in for: they are shown and
// no margin starts from them.
func (m *Marginer) replacedBy(j *formula.Judged, all []PoD) []PoD {
	for i := range all {
		all[i].Threshold = true // the assessor has decided on a dose without effect
		if all[i].Unusable == "" {
			all[i].Unusable = "replaced by the assessor, " + j.Assessor + ", " + j.Dated.String()
		}
	}
	return all
}

// ofJudged makes a point of departure of an assessor's figure. Where no route is said it
// is that of the value it replaces, else oral; the absorption of the study is the lowest
// known, as for a sheet's value.
func (m *Marginer) ofJudged(j *formula.Judged, all []PoD, k *knowledge, dermal *Absorption) PoD {
	p := PoD{Type: cmp.Or(j.PoDType, "NOAEL"), Value: j.PoD.Float(), Study: j.Reason, Route: j.Route,
		Threshold: true,
		Source:    j.Source(), Seen: formula.SeenAssessor, Pos: j.Pos}
	oral, why := *m.fact("oral-absorption-default"), "oral study, absorption not known"
	for _, old := range all {
		if p.Route == "" {
			p.Route = old.Route
		}
		if old.Route == "oral" && old.Systemic.Value < oral.Value {
			oral, why = old.Systemic, old.SystemicWhy
		}
	}
	p.Route = cmp.Or(p.Route, "oral")
	for _, row := range k.Rows {
		if m.statesOral(row) && row.OralPct.Value < oral.Value {
			oral, why = k.Absorption(row, row.OralPct), "oral absorption stated for the substance"
		}
	}
	p.finish(m, oral, why, dermal)
	return p
}

func (m *Marginer) targetOf(p *PoD) float64 {
	if p.Target != nil {
		return p.Target.Value
	}
	return m.fact("mos-target").Value
}

func boolRank(b bool) int {
	if b {
		return 1
	}
	return 0
}

// ofRow makes a point of departure of a row of the table.
func (m *Marginer) ofRow(row *safety.Tox, k *knowledge, dermal *Absorption) PoD {
	use := k.Uses[row]
	p := PoD{Type: row.PoDType, Value: row.PoD.Value, Study: row.Study, Route: "oral",
		Threshold: use.Use != safety.UseNoThreshold,
		Source:    row.Source, Table: row.File, Row: row.Key, Seen: row.Seen, Note: row.Note,
		Other: row.Other, human: row.Human}
	if use.Route != "" {
		p.Route = use.Route
	}
	m.typed(&p, row.Typed)
	if use.DurationFactor != "" {
		p.DurationFactor = m.fact(use.DurationFactor)
		p.DurationFactor.Note = use.Note
	}
	if use.Target != "" {
		p.Target = &formula.Stated{Value: m.fact(use.Target).Value, Source: use.Source, Table: use.File,
			Row: use.Key, Seen: use.Seen, Note: use.Note}
	}
	oral := *m.fact("oral-absorption-default")
	why := "oral study, absorption not known"
	if m.statesOral(row) {
		oral, why = k.Absorption(row, row.OralPct), "oral absorption stated for the substance"
	}
	p.finish(m, oral, why, dermal)
	switch use.Use {
	case safety.UseNoThreshold:
		p.Unusable = "no dose without effect is assumed: " + use.Reason
	case safety.UseIntake:
		p.Unusable = intakeReason(p.Type)
	}
	return p
}

// typed takes what a row tells of its study in typed form: the route, a factor for
// a study of at most 28 days that is none of reproduction, and a study of single
// doses, which no margin may start from.
func (m *Marginer) typed(p *PoD, s *safety.Study) {
	if s == nil {
		return
	}
	if s.Route == "dermal" {
		p.Route = "dermal"
	}
	switch {
	case s.Kind == "acute":
		p.Single = true
	case s.Kind == "reproduction" || s.Kind == "screening" || s.Human():
	case s.Days > 0 && float64(s.Days) <= m.fact("duration-short-study").Value:
		p.DurationFactor = m.fact("duration-factor-28d")
		p.DurationFactor.Note = "study of " + formula.FigureText(float64(s.Days)) + " days"
	}
}

// ofSheet makes a point of departure of a sheet's value. Route and length are
// taken from the words of the study.
func (m *Marginer) ofSheet(x sheetTox, k *knowledge, dermal *Absorption) PoD {
	v := x.value
	p := PoD{Type: v.PoDType, Value: v.PoD.Float(), Study: v.Study, Route: "oral", Threshold: true,
		Source: v.Source, Seen: formula.SeenGiven,
		Sheet: x.sheet.ID, Pos: v.Pos, human: m.In.Law.Words(rows.WordsHumanStudy).In(v.Study)}
	study := strings.ToLower(v.Study)
	if route, ok := m.In.Law.Words(rows.WordsStudyRoute).Means(study); ok {
		p.Route = route
	}
	if days, ok := studyDays(m.In.Law, study); ok && days <= m.fact("duration-short-study").Value {
		p.DurationFactor = m.fact("duration-factor-28d")
		p.DurationFactor.Note = "study of " + formula.FigureText(days) + " days"
	}
	oral := *m.fact("oral-absorption-default")
	why := "oral study, absorption not known"
	for _, row := range k.Rows {
		if m.statesOral(row) && row.OralPct.Value < oral.Value {
			oral, why = k.Absorption(row, row.OralPct), "oral absorption stated for the substance"
		}
	}
	if s := x.stated(v.OralAbsorptionPct); s != nil {
		oral, why = *s, "oral absorption stated on sheet "+x.sheet.ID
	}
	p.finish(m, oral, why, dermal)
	return p
}

var studyLength = pattern.New(`(\d+)[ -]?(day|week)`)

// studyDays reads the length of a repeated-dose study from its words. Studies of
// development and reproduction last as long as they need to: no factor.
func studyDays(tables *table.Tables, study string) (days float64, ok bool) {
	if tables.Words(rows.WordsDevelopmentStudy).In(study) {
		return 0, false
	}
	for _, f := range studyLength.FindAllStringSubmatch(study, -1) {
		n, err := strconv.Atoi(f[1])
		if err != nil {
			continue
		}
		if f[2] == "week" {
			n *= 7
		}
		days, ok = max(days, float64(n)), true
	}
	return days, ok
}

// finish adds the factor for the effect level, the internal dose, and the reason
// where no margin may start from the value.
func (p *PoD) finish(m *Marginer, oral formula.Stated, why string, dermal *Absorption) {
	kind := kindOf(m.In.Law, p.Type)
	if kind == podLowest {
		p.LOAELFactor = m.fact("loael-factor")
	}
	p.Systemic, p.SystemicWhy = oral, why
	if p.Route == "dermal" {
		p.Systemic = dermal.Pct
		p.SystemicWhy = "dermal study: dermal absorption, taken as in the test species"
	}
	p.Sys = internalPoD(p.Value, p.Divisor(), p.Systemic.Value)
	switch {
	case kind == podIntake:
		p.Unusable = intakeReason(p.Type)
	case kind == podTumour:
		p.Unusable = p.Type +
			" is a dose that causes tumours, not one without effect: margin of exposure, not margin of safety"
	case kind == podUnknown:
		p.Unusable = fmt.Sprintf("%q is not known as a point of departure", p.Type)
	case p.Single:
		p.Unusable = "a study of single doses is no point of departure for daily use"
	case p.Route == "inhalation":
		p.Unusable = "inhalation study: the assessor converts it by breathing volume and absorption"
	case p.Value <= 0:
		p.Unusable = "a value of 0 is no point of departure"
	}
}

// firstSentence returns what stands before the first full stop.
func intakeReason(podType string) string {
	return podType + " is a safe intake already, not a point of departure: it is not divided again"
}
