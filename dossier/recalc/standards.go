package recalc

import (
	"slices"
	"strings"

	"gallipot/calc/exposure"
	"gallipot/calc/standards"
	"gallipot/dossier/document"
	"gallipot/dossier/show"
	"gallipot/dossier/words"
)

// liveStandard is a fragrance Standard whose content follows the formula.
type liveStandard struct {
	check standards.StandardCheck
	counted
}

// liveStandards are the Standards with a figure, each at its highest content, and the
// names of those whose content is no plain sum.
func (m *model) liveStandards() (list []*liveStandard, others []string) {
	var order []*liveStandard
	for _, r := range m.v.A.Results {
		for _, c := range r.Standards {
			if c.Row == nil || c.LimitPct == nil || c.LimitPct.Sign() <= 0 || c.Content.Max.IsZero() ||
				c.Verdict == standards.StandardNotApplicable {
				continue
			}
			i := slices.IndexFunc(order, func(l *liveStandard) bool {
				return l.check.Standard == c.Standard && l.check.Category == c.Category
			})
			if i < 0 {
				order = append(order, &liveStandard{check: c})
			} else if order[i].check.Content.Max.Less(c.Content.Max) {
				order[i].check = c
			}
		}
	}
	for _, l := range order {
		var known bool
		if l.counted, known = m.follow(l.check.Substances, l.check.Content.Max, false); known {
			list = append(list, l)
		} else {
			others = words.AddOnce(others, l.check.Standard)
		}
	}
	return list, others
}

func (m *model) standardsTable(list []*liveStandard, others []string) *document.Table {
	t := &document.Table{ID: tableStandards, Title: "Fragrance Standards", SheetName: limitSheet,
		Empty: "No Standard with a figure applies to what the suppliers disclose.", Columns: []document.Column{
			{Head: "Standard", Fixed: true}, {Head: "Substances", Weight: 1.6}, {Head: "Category"},
			numbers("content", "Highest disclosed", "% w/w"), numbers("limit", "Limit", "% w/w"), verdicts[0], verdicts[1], verdicts[2]}}
	for _, l := range list {
		over := l.check.LimitPct.Less(l.check.Content.Max)
		t.Add(document.TextCell(l.check.Standard), document.TextCell(strings.Join(l.check.Substances, ", ")),
			document.TextCell(l.check.Category),
			document.PctCell(l.check.Content.Max).Computed(m.most(&l.counted)),
			document.PctCell(*l.check.LimitPct).MarkedIf(l.check.Soft, show.MemoryMark).
				Open(document.PctInput("Limit, % w/w", l.check.Row.Source)),
			overCell(over).Computed(overFormula("content")), overCell(over), sameCell())
	}
	notFollowed(t, others)
	return t.Note("Disclosed contents are a lower bound: they can prove an excess and never that a Standard is kept.")
}

// sameCell compares the verdict of a row with that of the pack.
func sameCell() document.Cell {
	return document.TextCell("same").Computed(`IF({now}={pack},"same","differs")`)
}

// thresholdTable holds SED × 1000 against the threshold times what is taken up by mouth.
func (m *model) thresholdTable(margins []*marginRow) *document.Table {
	t := &document.Table{ID: tableThreshold, Title: "Thresholds of toxicological concern", SheetName: limitSheet,
		Empty: "No substance without a point of departure has a class.", Columns: []document.Column{
			{Head: "Substance", Fixed: true, Weight: 1.4}, {Head: "Cramer class"},
			numbers("dose", "SED", "µg/kg bw/d"), numbers("ttc", "Threshold", "µg/kg bw/d"),
			numbers("oral", "Taken up by mouth", "%"), numbers("limit", "Internal threshold", "µg/kg bw/d"),
			verdicts[0], verdicts[1], verdicts[2]}}
	for _, r := range margins {
		s := r.TTC
		if s == nil || s.Verdict == exposure.ScreenNotApplicable || !m.exposure().Known() {
			continue
		}
		above := s.Verdict == exposure.ScreenAbove
		t.Add(document.LinkCell(r.name, "recalc-margin-"+words.Itoa(r.row)), document.TextCell(s.Class),
			document.FloatCell(s.DoseUg, show.ExposureDigits).
				Computed("1000*"+cellAt(TableMargins, "sed", r.row)),
			document.FloatCell(s.Limit.Value, show.ExposureDigits).MarkedIf(s.Limit.FromMemory(), show.MemoryMark).
				Open(document.PositiveInput("Threshold, µg/kg bw/d", s.Limit.Cite())),
			document.FloatCell(s.Absorption.Value, show.ExposureDigits).
				MarkedIf(s.Absorption.FromMemory(), show.MemoryMark).
				Open(document.PctInput("Taken up by mouth, %", s.Absorption.Cite())),
			document.FloatCell(s.Internal, show.ExposureDigits).Computed("{ttc}*{oral}/100"),
			screenCell(above).Computed("IF({dose}>{limit}*(1+"+tiny+`),"`+verdictText(screenCell(true))+`","`+
				verdictText(screenCell(false))+`")`), screenCell(above), sameCell())
	}
	return t.Note("For a substance without a point of departure. A dose at or below the threshold is a reason that the assessor may take, not a verdict.")
}

func screenCell(above bool) document.Cell {
	if above {
		return document.VerdictCell(document.VerdictOpen, "above")
	}
	return document.VerdictCell(document.VerdictMet, "at or below")
}
