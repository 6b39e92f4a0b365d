package exposure

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"gallipot/calc/formula"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// sumMargins adds the doses of substances with the same word and divides the lowest
// point of departure of them by the sum: the cautious reading of a group.
//
//	MoS = min PoD_sys / Σ SED
//
// Units: mg/kg bw/d. Compared unrounded.
// Findings: ask "sum-margin".
// Source: as in SCCS/1647/22 for substances of one mode of action.
func (m *Marginer) sumMargins(margins []Margin) ([]SumMargin, []finding.Finding) {
	if len(m.sheets) == 0 {
		return nil, nil
	}
	groups := map[string][]*Margin{}
	var names []string
	for i := range margins {
		sheets, _ := m.stated(margins[i].INCI)
		for _, x := range sheets {
			word := x.value.SumWith
			if word == "" || slices.Contains(groups[word], &margins[i]) {
				continue
			}
			if groups[word] == nil {
				names = append(names, word)
			}
			groups[word] = append(groups[word], &margins[i])
		}
	}
	slices.Sort(names)
	var sums []SumMargin
	var fs []finding.Finding
	for _, name := range names {
		s, ok := m.sumMargin(name, groups[name])
		if !ok {
			continue
		}
		sums = append(sums, s)
		if s.Verdict == MarginBelow || len(s.Missing) > 0 {
			fs = append(fs, sumMarginFinding(&s, m.posOf(groups[name][0])))
		}
	}
	return sums, fs
}

func (m *Marginer) sumMargin(name string, group []*Margin) (SumMargin, bool) {
	s := SumMargin{Name: name}
	var terms []string
	var exactValue exact.Num
	var lowest *Margin
	for _, x := range group {
		if x.None != "" {
			s.Missing = append(s.Missing, x.INCI)
			continue
		}
		s.Substances = append(s.Substances, x.INCI)
		s.SED += x.SED.Max
		exactValue = exactValue.Add(m.exactDose(x.Content.Max, &x.SED, &x.Absorption))
		terms = append(terms, formula.FigureText(x.SED.Max))
		if lowest == nil || x.PoDSys < lowest.PoDSys {
			lowest = x
		}
		if s.Target.Value < x.Target.Value {
			s.Target = x.Target
		}
	}
	if len(group) < 2 || lowest == nil {
		return s, false
	}
	s.PoDSys = lowest.PoDSys
	s.MoS, s.Verdict = decideMargin(MarginOfSafety(s.PoDSys, s.SED), s.Target.Value, func() exact.Num {
		return lowest.PoD.exactSys(lowest.PoD.Systemic.Num()).Quo(exactValue)
	})
	s.Arithmetic = fmt.Sprintf("MoS = %s / (%s) = %s", formula.FigureText(s.PoDSys), strings.Join(terms, " + "),
		marginText(s.MoS, s.Target.Value))
	return s, true
}

func sumMarginFinding(s *SumMargin, pos exact.Pos) finding.Finding {
	values := finding.With().Figure("margin", marginText(s.MoS, s.Target.Value), "").
		Figure("target", formula.FigureText(s.Target.Value), "").
		Names("substances", s.Substances).Names("missing", s.Missing).Quote("arithmetic", s.Arithmetic).
		Quote("reason", s.Target.Source)
	form := ""
	if s.Verdict != MarginBelow {
		form = "missing"
	}
	return finding.NewFinding(finding.Ask, "sum-margin", pos, values).As(form).
		On(cmp.Or(s.Name, strings.Join(s.Substances, " + "))).By(finding.TheAssessor)
}
