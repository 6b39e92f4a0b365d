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
		if !counted(s) {
			continue
		}
		margins = append(margins, m.margin(s, comps))
	}
	margins = byRank(margins)
	var found []finding.Finding
	m.Sums, found = m.sumMargins(margins)
	found = append(found, particleFinding(m.In, margins)...)
	return margins, append(m.marginFindings(margins, comps), found...)
}

// byRank puts the smallest margin by its target first; they are moved once each.
func byRank(margins []Margin) []Margin {
	order := make([]*Margin, len(margins))
	for i := range margins {
		order[i] = &margins[i]
	}
	slices.SortStableFunc(order, func(a, b *Margin) int { return cmp.Compare(a.rank(), b.rank()) })
	out := make([]Margin, len(margins))
	for i, x := range order {
		out[i] = *x
	}
	return out
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

func (m *Marginer) margin(s *formula.Substance, comps []*formula.Composition) Margin {
	x := Margin{INCI: s.INCI, CAS: s.CAS, Nano: s.Nano, Whole: s.Total}
	x.Content, x.WorstIn, x.Contributions = formula.WorstOf(s, comps)
	known := formula.SharedOf[marginMemory](m.In)
	if sheets, judged := m.stated(x.INCI); known == nil || sheets != nil || judged != nil {
		m.fill(&x, s.Undeclared)
		return x
	}
	like := known.Of(m.keyOf(&x, s.Undeclared), func() *Margin {
		y := Margin{INCI: x.INCI, CAS: x.CAS, Nano: x.Nano, Content: x.Content}
		m.fill(&y, s.Undeclared)
		return &y
	})
	y := *like
	y.WorstIn, y.Whole, y.Contributions = x.WorstIn, x.Whole, x.Contributions
	return y
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

func (m *Marginer) keyOf(x *Margin, undeclared bool) marginKey {
	return marginKey{m.In.Product, m.In.Type, x.INCI, x.CAS, x.Nano, undeclared, x.Content}
}

// marginMemory keeps the margins of substances whose content is that of other variants.
type marginMemory struct {
	formula.Memo[marginKey, *Margin]
}

// fill computes a margin whose substance and content are set, and marks what was not
// read in its source.
func (m *Marginer) fill(x *Margin, undeclared bool) {
	m.compute(x, undeclared)
	x.addUnread()
}
