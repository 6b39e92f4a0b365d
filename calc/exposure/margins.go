package exposure

import (
	"cmp"
	"gallipot/calc/formula"
	"gallipot/calc/law/trade"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
	"slices"
)

// Margins computes exposure and margin of safety of each substance of a product
// in the mixture that holds most of it.
//
//	MoS = PoD_sys / SED
//
// Substances that are declared inside a scent are computed like those of the
// composition; traces have their own table, see [Traces]. The lowest usable
// point of departure is used and the others are listed.
//
// Units: mg/kg bw/d; margins without unit. Compared unrounded with the target.
// Basis: the highest content of the range in the worst of whole and portions.
// Findings: ask "mos-below-target", "absorption-decides", "ttc-exceeded",
// "not-a-pod", "no-point-of-departure" (one for all); note
// "toxicology-replaced"; ask "toxicology-unmatched".
// Source: as in SCCS/1647/22; worked cases in
// testdata/published/mos_examples.csv.
func (m *Marginer) Margins(comps []*formula.Composition) ([]Margin, []finding.Finding) {
	margins := make([]Margin, 0, len(comps[0].Substances))
	for _, s := range comps[0].Substances {
		if counted(s) {
			margins = append(margins, m.margin(s, comps))
		}
	}
	slices.SortStableFunc(margins, func(a, b Margin) int { return cmp.Compare(a.OfTarget(), b.OfTarget()) })
	m.margins = margins
	var found []finding.Finding
	m.Sums, found = m.sumMargins(margins)
	found = append(found, particleFinding(m.In, margins)...)
	return margins, append(m.marginFindings(margins, comps), found...)
}

// particleFinding asks the assessor to confirm what was taken as insoluble
// particles, all of them in one.
func particleFinding(in *formula.Input, margins []Margin) []finding.Finding {
	var names []string
	for _, x := range margins {
		if x.None == NoMarginNotAbsorbed && x.Absorption.Kind == absorptionInsoluble {
			names = append(names, x.INCI)
		}
	}
	if len(names) == 0 {
		return nil
	}
	f := in.OnProduct(finding.NewFinding(finding.Ask, "insoluble-particles", in.Product.Pos, nil))
	return []finding.Finding{f.By(finding.TheAssessor).AboutNames(names)}
}

// madeAtOnce is how many figures of margins are made at once.
const madeAtOnce = 8

// figures are those of one more margin; several lie side by side.
func (m *Marginer) figures() *marginFigures {
	if len(m.made) == cap(m.made) {
		m.made = make([]marginFigures, 0, madeAtOnce)
	}
	m.made = append(m.made, marginFigures{})
	return &m.made[len(m.made)-1]
}

// margin is that of a substance. Where several variants have the substance they share its
// figures.
func (m *Marginer) margin(s *formula.Substance, comps []*formula.Composition) Margin {
	r := Margin{of: s, Whole: s.Total}
	var content exact.Range
	content, r.WorstIn, r.Contributions = formula.WorstOf(s, comps)
	fill := func() *marginFigures {
		x := m.figures()
		x.INCI, x.CAS, x.Nano, x.Content = s.INCI, s.CAS, s.Nano, content
		m.fill(x, s.Undeclared)
		return x
	}
	sheets, judged := m.stated(s.INCI)
	if known := formula.SharedOf[marginMemory](m.In); known != nil && sheets == nil && judged == nil && comps[0].Again(s) {
		r.marginFigures = known.Of(m.keyOf(s, content), fill)
	} else {
		r.marginFigures = fill()
	}
	return r
}

// marginOf is the margin of a substance as it was computed; it is computed where it was not.
func (m *Marginer) marginOf(s *formula.Substance, comps []*formula.Composition) Margin {
	if i := slices.IndexFunc(m.margins, func(x Margin) bool { return x.of == s }); i >= 0 {
		return m.margins[i]
	}
	return m.margin(s, comps)
}

// marginKey is what a margin rests on, where no sheet and no assessor gave a figure: what
// else it depends on is that of the product.
type marginKey struct {
	product          *formula.Product
	kind             *trade.ProductType
	inci, cas        string
	nano, undeclared bool
	content          exact.Range
}

func (m *Marginer) keyOf(s *formula.Substance, content exact.Range) marginKey {
	return marginKey{m.In.Product, m.In.Type, s.INCI, s.CAS, s.Nano, s.Undeclared, content}
}

// marginMemory keeps the margins of substances whose content is that of other variants.
type marginMemory struct {
	formula.Memo[marginKey, *marginFigures]
}

// fill computes a margin whose substance and content are set, and marks what was not
// read in its source.
func (m *Marginer) fill(x *marginFigures, undeclared bool) {
	m.compute(x, undeclared)
	x.addUnread()
}
