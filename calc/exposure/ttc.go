package exposure

import (
	"fmt"

	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// ScreeningVerdict says how a dose stands against a threshold of toxicological
// concern.
type ScreeningVerdict string

// The verdicts of a screening.
const (
	ScreenBelow         ScreeningVerdict = "at or below the threshold"
	ScreenAbove         ScreeningVerdict = "above the threshold"
	ScreenNotApplicable ScreeningVerdict = "not applicable"
)

// Screening compares a dose with the threshold of its Cramer class. It stands in
// for nothing: the assessor decides whether the class and the method fit.
type Screening struct {
	Class      string // Cramer class I, II or III
	ClassSeen  string
	Limit      formula.Stated // µg/kg bw/d, an external oral dose
	Absorption formula.Stated // % that turns it into an internal dose
	Internal   float64        // µg/kg bw/d
	DoseUg     float64        // SED at the highest content, µg/kg bw/d
	Verdict    ScreeningVerdict
	Reason     string // why the method does not apply
	Arithmetic string
}

// mgToUg converts mg to µg.
const mgToUg = 1000

// screen compares the SED with the threshold of the highest Cramer class known
// for the substance; nil where none is known.
//
//	SED × 1000 ≤ TTC × oral absorption/100
//
// Units: µg/kg bw/d.
// Source: as in SCCS/1647/22, 3-5.2; facts.csv, rows ttc-cramer-*; groups the
// method is closed to in ttc-exclusions.csv, by name.
func (m *Marginer) screen(x *marginFigures, k *knowledge) *Screening {
	s := &Screening{}
	for _, row := range k.Rows {
		if row.Cramer > s.Class { // I, II, III sort as text
			s.Class, s.ClassSeen = row.Cramer, row.Seen
			if row.CramerFromMemory {
				s.ClassSeen = "memory"
			}
		}
	}
	for _, c := range law.CramerOf(m.In.Law, x.INCI, formula.List(x.CAS)...) {
		if class := c.Strictest(); class > s.Class {
			s.Class, s.ClassSeen = class, c.Seen
		}
	}
	for _, t := range k.sheets {
		if t.value.CramerClass > s.Class {
			s.Class, s.ClassSeen = t.value.CramerClass, formula.SeenGiven
		}
	}
	if s.Class == "" {
		return nil
	}
	s.Limit = *m.fact("ttc-cramer-" + formula.Itoa(len(s.Class)))
	s.Absorption = *m.fact("oral-absorption-default")
	s.Internal = s.Limit.Value * s.Absorption.Value / 100
	s.DoseUg = x.SED.Max * mgToUg
	if x.Nano {
		s.Reason = "nanomaterials"
	} else if group := m.In.Law.TTCExcluded(x.INCI); group != nil {
		s.Reason = group.Group
	}
	if s.Reason != "" {
		s.Verdict = ScreenNotApplicable
		s.Arithmetic = "TTC not applicable: " + s.Reason
		return s
	}
	s.Verdict = ScreenBelow
	sign := "≤"
	above := s.Internal < s.DoseUg
	if formula.IsNear(s.DoseUg, s.Internal) {
		dose, most := m.exactDose(x.Content.Max, &x.SED, &x.Absorption).Mul(exact.Int(mgToUg)), s.Limit.Num().
			Pct(s.Absorption.Num())
		s.DoseUg, s.Internal, above = dose.Float(), most.Float(), most.Less(dose)
	}
	if above {
		s.Verdict, sign = ScreenAbove, ">"
	}
	s.Arithmetic = fmt.Sprintf("TTC Cramer class %s: %s µg/kg bw/d × %s %% = %s; SED %s %s %s", s.Class,
		formula.FigureText(s.Limit.Value),
		formula.FigureText(s.Absorption.Value), formula.FigureText(s.Internal), formula.FigureBeside(s.DoseUg,
			s.Internal), sign, formula.FigureText(s.Internal))
	return s
}

func (m *Marginer) screeningFinding(x *Margin) finding.Finding {
	s := x.TTC
	most := x.Content.Max
	f := finding.NewFinding(finding.Ask, "ttc-exceeded", m.posOf(x),
		formula.With().Figure("dose", formula.FigureBeside(s.DoseUg, s.Internal), "µg/kg bw/d").
			Figure("threshold", formula.FigureText(s.Internal), "µg/kg bw/d").Name("class", s.Class).
			Figure("highest", formula.FigureDown(x.Content.Max.Float()*s.Internal/s.DoseUg), "%").
			Source("source", finding.Values{{Kind: finding.KindQuote, Text: s.Limit.Cite()}})).On(x.INCI).
		By(finding.TheAssessor)
	f.Grade = &most
	return f
}
