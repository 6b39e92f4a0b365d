package profile

import (
	"cmp"
	"slices"

	"gallipot/calc/exposure"
	"gallipot/calc/law"
	"gallipot/calc/law/tox"
	"gallipot/dossier/document"
	"gallipot/dossier/sections"
	"gallipot/dossier/show"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
)

// State says what is known of an endpoint.
type State int

// The states, which must be kept apart.
const (
	NotSupplied State = iota // nobody has said anything: a gap, never "not relevant"
	Value                    // a result, or a figure in use
	ClassOnly                // a hazard class alone speaks of it
	Across                   // borrowed from another substance
	NotRelevant              // a reason is on file why it does not matter
	Partly                   // there, and something of it is still to come
)

// Symbol is the sign of a state; see the legend of a pack.
func (s State) Symbol() string { return [...]string{"□", "○", "▲", "‡", "–", "▲"}[s] }

// Line is one endpoint of one substance.
type Line struct {
	Endpoint   *tox.Endpoint
	State      State
	Text       string
	Source     string
	InPack     bool // the source is a section of the pack, or what is on file in general
	Unverified bool
}

// Profile is what is on file about one substance.
type Profile struct {
	Margin sections.WorstMargin
	Class  *tox.Class // nil: in neither list
	Lines  []Line     // every endpoint, in the order of the table
	// Listed says that it is a preservative or UV filter of the lists.
	Listed bool
	// Dose compares the dose per area with a published one; nil: none is published.
	Dose *dosePerArea

	fromTable bool
}

// FromTable says that the classification is that of the table and of no sheet.
func (p *Profile) FromTable() bool { return p.fromTable }

// dosePerArea is a dose per area of skin beside a published one without sensitisation.
type dosePerArea struct {
	Here      float64 // µg/cm² a day; 0 where it is not computed
	Published *tox.Dose
}

// The endpoints of the hazard classes and of repeated doses.
const (
	classification = "cls-clp"
	RepeatedDose   = "repeat-dose"
)

// INCI is the name of the substance.
func (p *Profile) INCI() string { return p.Margin.INCI }

// Line returns the line of an endpoint.
func (p *Profile) Line(key string) Line {
	for _, l := range p.Lines {
		if l.Endpoint.Key == key {
			return l
		}
	}
	return Line{}
}

// gatherer holds what all profiles of a product share.
type gatherer struct {
	v      *show.View
	tables *tox.Tables
	sheets map[string][]entry              // by substance key
	limits []*sections.LimitRow            // entries of the annexes
	doses  map[string]exposure.LocalDose   // by CAS number, the highest
	parts  map[string][]*ingredients.Sheet // raw materials that hold a substance
	listed map[string]bool                 // preservatives and UV filters
}

// entry is what a sheet says of a substance.
type entry struct {
	sheet *ingredients.Sheet
	value *ingredients.Toxicology
}

// All returns the profiles of the substances of a product that are above the threshold,
// those below their target first, then by rising margin, then by falling dose.
func All(v *show.View, tables *tox.Tables) []*Profile {
	return show.Once(v, allKey{tables}, func() []*Profile { return all(v, tables) })
}

// allKey is what profiles of a view are remembered under.
type allKey struct{ tables *tox.Tables }

func all(v *show.View, tables *tox.Tables) []*Profile {
	g := gather(v, tables)
	var out []*Profile
	for _, m := range sections.WorstMargins(v) {
		class := tables.ClassOf(m.CAS)
		if !g.above(&m, class) {
			continue
		}
		p := &Profile{Margin: m, Class: class, Listed: g.listed[m.INCI]}
		if d := tables.DoseOf(m.CAS); d != nil {
			p.Dose = &dosePerArea{g.doses[m.CAS].UgCm2, d}
		}
		for _, e := range tables.Endpoints() {
			if e.Part != tox.PartProduct {
				p.Lines = append(p.Lines, g.line(p, e))
			}
		}
		out = append(out, p)
	}
	slices.SortStableFunc(out, func(a, b *Profile) int {
		return cmp.Or(cmp.Compare(rank(a), rank(b)), cmp.Compare(a.Margin.MoS, b.Margin.MoS),
			cmp.Compare(b.Margin.SED.Max, a.Margin.SED.Max), cmp.Compare(a.INCI(), b.INCI()))
	})
	return out
}

func rank(p *Profile) int {
	switch {
	case p.Margin.Verdict == exposure.MarginBelow:
		return 0
	case p.Margin.None == "":
		return 1
	}
	return 2
}

// Selected are the profiles that stand whole in a pack: those of the lowest margins, of
// preservatives and UV filters, and of what the assessor replaced or spoke of, up to a
// number.
//
// Source: profile-rules.csv.
func Selected(all []*Profile, tables *tox.Tables, lowest, asked []string) (in, rest []*Profile) {
	most := int(tables.Rule(tox.RuleMost).Float())
	lowest = lowest[:min(len(lowest), int(tables.Rule(tox.RuleLowest).Float()))]
	chosen := map[*Profile]bool{}
	for _, fits := range []func(*Profile) bool{
		func(p *Profile) bool { return slices.Contains(lowest, p.INCI()) },
		func(p *Profile) bool { return p.Listed },
		func(p *Profile) bool { return slices.Contains(asked, p.INCI()) },
	} {
		for _, p := range all {
			if fits(p) && len(chosen) < most {
				chosen[p] = true
			}
		}
	}
	for _, p := range all {
		if chosen[p] {
			in = append(in, p)
		} else {
			rest = append(rest, p)
		}
	}
	return in, rest
}

func gather(v *show.View, tables *tox.Tables) *gatherer {
	g := &gatherer{v: v, tables: tables, sheets: map[string][]entry{}, limits: sections.LimitRows(v),
		doses: map[string]exposure.LocalDose{},
		parts: map[string][]*ingredients.Sheet{}, listed: map[string]bool{}}
	dict := v.A.Options.Session.Dict
	for _, s := range v.A.UsedSheets() {
		for i := range s.Toxicology {
			key := ingredients.NameKey(exposure.ToxName(dict, s, s.Toxicology[i].INCI).INCI)
			g.sheets[key] = append(g.sheets[key], entry{s, &s.Toxicology[i]})
		}
	}
	for _, x := range v.Variants {
		for _, r := range v.A.ByVariant(x.ID) {
			for _, d := range r.LocalDoses {
				if have, known := g.doses[d.CAS]; d.CAS != "" && (!known || have.UgCm2 < d.UgCm2) {
					g.doses[d.CAS] = d
				}
			}
			for _, a := range r.Aggregates {
				g.listed[a.INCI] = true
			}
		}
		for _, m := range v.First(x).Margins {
			for _, c := range m.Contributions {
				if s := v.A.Workshop.Sheets[c.Ingredient]; s != nil && !slices.Contains(g.parts[m.INCI], s) {
					g.parts[m.INCI] = append(g.parts[m.INCI], s)
				}
			}
		}
	}
	return g
}

// above says whether a substance has a line: above the threshold, which is lower for
// allergens and classified substances in what stays on the skin.
//
// Source: profile-rules.csv.
func (g *gatherer) above(m *sections.WorstMargin, class *tox.Class) bool {
	limit := g.tables.Rule(tox.RuleLine)
	t, known := law.ProductType(g.v.A.Options.Law, g.v.A.Product.Type)
	_, allergen := g.doses[m.CAS]
	if known && !t.RinseOff && (allergen || class != nil && !class.NotClassified) {
		limit = g.tables.Rule(tox.RuleLineLeaveOn)
	}
	return limit.Less(m.Content.Max)
}

func pct(n exact.Num) string { return document.FormatPct(n) + " %" }
