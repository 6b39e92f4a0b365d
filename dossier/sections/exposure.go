package sections

import (
	"fmt"
	"strconv"
	"strings"

	"gallipot/calc"
	"gallipot/calc/exposure"
	"gallipot/calc/formula"
	"gallipot/calc/standards"
	"gallipot/dossier/document"
	"gallipot/dossier/show"
	"gallipot/dossier/words"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
)

// ExposureSection shows how much of the product reaches its user, with the
// source of every figure.
func ExposureSection(v *show.View) *document.Section {
	r := v.First(v.Variants[0])
	e := r.Exposure
	s := &document.Section{ID: "exposure", Title: "Exposure to the product",
		Intro: "Figures of the exposure table for the product type, or the maker's own. Inputs for the assessor, who decides whether they fit the product and its users."}
	if e.IsProxy() {
		s.Add(&document.Callout{Kind: document.CalloutCaution, Title: "A stand-in",
			Body: []*document.Paragraph{document.Para("No published figure is in the table for this product type. The row " + e.Key + " stands in for it: the assessor confirms it, or the maker gives amounts of their own under exposure.")}})
	}
	t := &document.Table{ID: "exposure-figures", Title: "Exposure to the product", SheetName: "Exposure",
		Empty: "No figure is known: nothing that rests on exposure is computed.",
		Columns: []document.Column{{Head: "Figure", Fixed: true, Weight: 1.2},
			{Head: "Value", Kind: document.KindNumber}, {Head: "Unit"}, {Head: "Source", Weight: 2.4}}}
	for _, f := range []struct {
		name, unit string
		figure     *formula.Stated
	}{
		{"Product applied", "g/d", e.AmountG}, {"Applications", "1/d", e.PerDay}, {"Retention factor", "share",
			e.Retention}, {"Product that stays", "g/d", e.ExposureG},
		{"Product that stays, per body weight", "mg/kg bw/d", e.MgPerKg}, {"Skin treated", "cm²",
			e.AreaCm2}, {"Body weight", "kg", e.BodyWeightKg},
		{"Youngest user's body weight", "kg", e.UserWeightKg}, {"Factor for children's skin surface", "ratio",
			e.ChildFactor},
	} {
		if f.figure != nil {
			t.Add(document.TextCell(f.name), StatedCell(f.figure).InFull(), document.TextCell(f.unit),
				document.TextCell(f.figure.Cite()))
		}
	}
	s.Add(t)
	if e.Arithmetic != "" {
		s.Add(document.Rich(document.Span{Text: "Arithmetic: ", Strong: true}, document.Span{Text: e.Arithmetic}))
	}
	if len(e.Notes) > 0 {
		s.Add(document.List(e.Notes...))
	}
	return s.Add(inhalationBlocks(v, r)...)
}

// StatedCell prints a figure as its source states it.
func StatedCell(f *formula.Stated) document.Cell {
	n, err := exact.ParseNum(strconv.FormatFloat(f.Value, 'f', -1, 64))
	if err != nil {
		return document.FloatCell(f.Value, show.ExposureDigits).MarkedIf(f.FromMemory(), show.MemoryMark)
	}
	return document.NumCell(n, document.RuleExact).MarkedIf(f.FromMemory(), show.MemoryMark).
		MarkedIf(f.Seen == formula.SeenAssessor, show.AssessorMark)
}

func inhalationBlocks(v *show.View, r *calc.Result) []document.Block {
	h := r.Inhalation
	if !h.Applies {
		return nil
	}
	t := &document.Table{ID: "exposure-inhalation", Title: "Breathed in: " + h.Form, SheetName: "Exposure",
		Columns: []document.Column{{Head: "Symbol", Fixed: true}, {Head: "Parameter", Weight: 1.6},
			{Head: "Value", Kind: document.KindNumber}, {Head: "Unit"}, {Head: "Source", Weight: 2}}}
	for _, p := range h.Parameters {
		t.Add(document.TextCell(p.Symbol), document.TextCell(p.Name), StatedCell(&p.Stated),
			document.TextCell(p.Unit), document.TextCell(p.Cite()))
	}
	blocks := []document.Block{t}
	if h.Reason != "" {
		blocks = append(blocks, document.Para("Not computed: "+h.Reason+"."))
	}
	if h.Arithmetic != "" {
		blocks = append(blocks, document.Rich(document.Span{Text: "Arithmetic: ", Strong: true},
			document.Span{Text: h.Arithmetic}))
	}
	if len(h.Notes) > 0 {
		blocks = append(blocks, document.List(h.Notes...))
	}
	return blocks
}

// WorstMargin is the margin of a substance in the variant where it is smallest,
// or, without a margin, where there is most of it.
type WorstMargin struct {
	exposure.Margin
	variant string
}

func (w WorstMargin) Where() string {
	if w.WorstIn == "" {
		return w.variant
	}
	return w.variant + ", " + w.WorstIn
}

// WorstMargins takes each substance once over the shown variants, in the order
// of its first appearance.
func WorstMargins(v *show.View) []WorstMargin {
	var list []WorstMargin
	at := map[string]int{}
	for _, x := range v.Variants {
		for _, m := range v.First(x).Margins {
			key := m.INCI + fmt.Sprint(m.Nano)
			i, known := at[key]
			switch {
			case !known:
				at[key] = len(list)
				list = append(list, WorstMargin{m, show.ShortName(x)})
			case list[i].Content.Max.Less(m.Content.Max):
				list[i] = WorstMargin{m, show.ShortName(x)}
			}
		}
	}
	return list
}

// MarginsSection shows the inputs of each margin of safety, its arithmetic, and
// the substances that have none with the reason.
func MarginsSection(v *show.View) *document.Section {
	s := &document.Section{ID: "margins", Title: "Exposure to the substances and margins of safety",
		Intro: "Systemic exposure dose (SED), point of departure (PoD) and margin of safety (MoS) of each substance, at its highest content in the variant and mixture that hold most of it. The program prints inputs and arithmetic; whether a value fits and a margin is enough is the assessor's to judge."}
	t := &document.Table{ID: "margins-table", Title: "Margins of safety", SheetName: "Margins",
		Empty: "No margin could be computed.",
		Columns: []document.Column{{Head: "Substance", Fixed: true, Weight: 1.4}, {Head: "Where", Weight: 0.9},
			{Head: "Content, highest", Unit: "% w/w", Kind: document.KindNumber}, {Head: "Absorbed", Unit: "%",
				Kind: document.KindNumber},
			{Head: "SED", Unit: "mg/kg bw/d", Kind: document.KindNumber}, {Head: "PoD, internal", Unit: "mg/kg bw/d",
				Kind: document.KindNumber}, {Head: "MoS", Kind: document.KindNumber}, {Head: "Target",
				Kind: document.KindNumber}, {Head: "Verdict"}}}
	lines := &document.Table{ID: "margins-arithmetic", Title: "Arithmetic", SheetName: "MoS arithmetic",
		Columns: []document.Column{{Head: "Substance", Fixed: true}, {Head: "Arithmetic", Weight: 3},
			{Head: "Study and source", Weight: 2}}}
	none := &document.Table{ID: "margins-none", Title: "Without a margin", SheetName: "No margin",
		Empty: "Every substance has one.",
		Columns: []document.Column{{Head: "Substance", Fixed: true}, {Head: "Content, highest", Unit: "% w/w",
			Kind: document.KindNumber}, {Head: "SED", Unit: "mg/kg bw/d",
			Kind: document.KindNumber}, {Head: "Why", Weight: 2.5}, {Head: "Screening by Cramer class", Weight: 1.5}}}
	chart := &document.HBarLog{ID: "chart-margins", Title: "Margin of safety against its target", Unit: "MoS",
		AtLeast: true}
	for _, m := range WorstMargins(v) {
		if m.None != "" {
			none.Add(document.TextCell(m.INCI), document.PctCell(m.Content.Max), sedCell(m.Margin),
				document.TextCell(m.Reason), ttcCell(m.TTC))
			continue
		}
		memory := len(m.Memory) > 0
		t.Add(document.TextCell(m.INCI), document.TextCell(m.Where()), document.PctCell(m.Content.Max),
			AbsorbedCell(m.Margin), sedCell(m.Margin), document.FloatCell(m.PoDSys, show.ExposureDigits),
			document.FloatCell(m.MoS, show.ExposureDigits).MarkedIf(memory, show.MemoryMark).
				MarkedIf(m.Judged != nil, show.AssessorMark).
				To(mosOf(m)), StatedCell(&m.Target), show.MarginVerdict(m.Verdict))
		source := document.TextCell("")
		if m.PoD != nil {
			source = document.TextCell(strings.TrimSpace(m.PoD.Type + " " + m.PoD.Study + "; " + m.PoD.Cite()))
		}
		lines.Add(document.TextCell(m.INCI).At(mosOf(m)), document.TextCell(m.Arithmetic()),
			source.MarkedIf(memory, show.MemoryMark))
		chart.Rows = append(chart.Rows, document.HBar{Label: m.INCI, Value: m.MoS, Limit: m.Target.Value,
			Used: document.FloatCell(m.MoS, 3), Bound: document.FloatCell(m.Target.Value,
				3), State: show.MarginState(m.Verdict)})
	}
	s.Add(t)
	if len(chart.Rows) > 0 {
		s.Add(chart, lines)
	}
	s.Add(none)
	return s
}

// DosesSection shows what reaches the body of each substance.
func DosesSection(v *show.View) *document.Section {
	s := &document.Section{ID: "doses", Title: "Exposure to each substance",
		Intro: "Systemic exposure dose (SED) of each substance at its highest content, in the variant and mixture that hold most of it, with the absorption used and the reason for it. Preservatives and UV filters also with the exposure to all products together; declarable allergens with their dose per area."}
	t := &document.Table{ID: "doses-table", Title: "Doses", SheetName: "Doses",
		Empty: "No dose could be computed.", Columns: []document.Column{{Head: "Substance", Fixed: true,
			Weight: 1.3}, {Head: "Where", Weight: 0.9}, {Head: "Content, highest", Unit: "% w/w",
			Kind: document.KindNumber},
			{Head: "Absorbed", Unit: "%", Kind: document.KindNumber}, {Head: "SED", Unit: "mg/kg bw/d",
				Kind: document.KindNumber}, {Head: "SED, typical", Unit: "mg/kg bw/d",
				Kind: document.KindNumber}, {Head: "Absorption used because", Weight: 1.8}}}
	for _, m := range WorstMargins(v) {
		if m.SED.Max == 0 || m.None == exposure.NoMarginNotNeeded {
			continue
		}
		t.Add(document.TextCell(m.INCI), document.TextCell(m.Where()), document.PctCell(m.Content.Max),
			AbsorbedCell(m.Margin), sedCell(m.Margin), document.FloatCell(m.SED.Typical,
				show.ExposureDigits), document.TextCell(m.Absorption.Why))
	}
	return s.Add(t, aggregateTable(v), localDoseTable(v))
}

// mosOf is the anchor of the arithmetic of a margin.
func mosOf(m WorstMargin) string {
	return "mos-" + ingredients.NameKey(m.INCI) + strconv.FormatBool(m.Nano)
}

func sedCell(m exposure.Margin) document.Cell {
	if m.SED.Max == 0 {
		return document.MissingCell("not computed")
	}
	return document.FloatCell(m.SED.Max, show.ExposureDigits)
}

func AbsorbedCell(m exposure.Margin) document.Cell {
	if m.SED.ByArea {
		return document.TextCell("by area")
	}
	return StatedCell(&m.Absorption.Pct)
}

func ttcCell(s *exposure.Screening) document.Cell {
	if s == nil {
		return document.MissingCell("no class known")
	}
	if s.Verdict == exposure.ScreenNotApplicable {
		return document.TextCell("class " + s.Class + ": does not apply, " + s.Reason)
	}
	return document.TextCell("class " + s.Class + ": " + string(s.Verdict) + "; " + s.Arithmetic)
}

func aggregateTable(v *show.View) *document.Table {
	t := &document.Table{ID: "margins-aggregate", Title: "Aggregate exposure of preservatives and UV filters",
		SheetName: "Aggregate", Empty: "No preservative or UV filter of the lists is in it.",
		Columns: []document.Column{{Head: "Substance", Fixed: true}, {Head: "Variant"},
			{Head: "Content, highest", Unit: "% w/w", Kind: document.KindNumber}, {Head: "SED, all products",
				Unit: "mg/kg bw/d", Kind: document.KindNumber},
			{Head: "MoS", Kind: document.KindNumber}, {Head: "Target",
				Kind: document.KindNumber}, {Head: "Verdict"}, {Head: "Arithmetic or reason", Weight: 2.5}}}
	for _, w := range show.WorstOver(v, func(r *calc.Result) []exposure.Aggregate { return r.Aggregates },
		func(a exposure.Aggregate) string { return a.Name() },
		func(a exposure.Aggregate) exact.Num { return a.Content.Max }) {
		a := w.Value
		if a.MoS == 0 {
			t.Add(document.TextCell(a.Name()), document.TextCell(w.Variant), document.PctCell(a.Content.Max),
				document.MissingCell("not computed"), document.BlankCell(), document.BlankCell(),
				document.VerdictCell(document.VerdictOpen, "no margin"), document.TextCell(a.Reason))
			continue
		}
		t.Add(document.TextCell(a.Name()), document.TextCell(w.Variant), document.PctCell(a.Content.Max),
			document.FloatCell(a.SED, show.ExposureDigits), document.FloatCell(a.MoS, show.ExposureDigits).
				MarkedIf(a.All.FromMemory(),
					show.MemoryMark), StatedCell(&a.Target), show.MarginVerdict(a.Verdict), document.TextCell(a.Arithmetic))
	}
	return t
}

func localDoseTable(v *show.View) *document.Table {
	t := &document.Table{ID: "margins-local", Title: "Local dose of declarable allergens",
		SheetName: "Local dose", Empty: "No declarable allergen is known to be in it.",
		Columns: []document.Column{{Head: "Allergen", Fixed: true}, {Head: "Variant"},
			{Head: "Content, highest", Unit: "% w/w", Kind: document.KindNumber}, {Head: "Dose per area",
				Unit: "µg/cm² a day", Kind: document.KindNumber}, {Head: "Arithmetic or reason", Weight: 2}}}
	for _, w := range show.WorstOver(v, func(r *calc.Result) []exposure.LocalDose { return r.LocalDoses },
		func(d exposure.LocalDose) string { return d.LabelName },
		func(d exposure.LocalDose) exact.Num { return d.Content.Max }) {
		d := w.Value
		if d.Reason != "" {
			t.Add(document.TextCell(d.LabelName), document.TextCell(w.Variant), document.PctCell(d.Content.Max),
				document.MissingCell("not computed"), document.TextCell(d.Reason))
			continue
		}
		t.Add(document.TextCell(d.LabelName), document.TextCell(w.Variant), document.PctCell(d.Content.Max),
			document.FloatCell(d.UgCm2, show.ExposureDigits), document.TextCell(d.Arithmetic()))
	}
	return t
}

func traceTable(v *show.View) *document.Table {
	t := &document.Table{ID: "margins-traces", Title: "Impurities and traces", SheetName: "Traces",
		Empty: "No sheet declares an impurity; what is not declared is unknown, not zero.",
		Columns: []document.Column{{Head: "Trace", Fixed: true}, {Head: "Variant"},
			{Head: "Content", Unit: "mg/kg", Kind: document.KindRange}, {Head: "Published figure",
				Weight: 1.6}, {Head: "Verdict", Weight: 1.2}, {Head: "SED and margin", Weight: 1.6}}}
	for _, w := range show.WorstOver(v, func(r *calc.Result) []exposure.Trace { return r.Traces },
		func(tr exposure.Trace) string { return tr.Name },
		func(tr exposure.Trace) exact.Num { return tr.MgPerKg.Max }) {
		tr := w.Value
		figure, verdict := document.MissingCell("none in the tables"), document.VerdictCell(document.VerdictNone,
			"not judged")
		if len(tr.Checks) > 0 {
			c := tr.Checks[0]
			figure = document.TextCell(document.FormatFloat(c.Figure.Value,
				show.ExposureDigits)+" mg/kg; "+c.Figure.Cite()).MarkedIf(c.Figure.FromMemory(), show.MemoryMark)
			verdict = TraceVerdict(c.Verdict)
		}
		margin := tr.Margin.Arithmetic()
		if margin == "" {
			margin = tr.Margin.Reason
		}
		t.Add(document.TextCell(tr.Name), document.TextCell(w.Variant), document.RangeCell(tr.MgPerKg), figure,
			verdict, document.TextCell(margin))
	}
	return t
}

// TraceVerdict is the verdict on a trace as every document shows it.
func TraceVerdict(t exposure.TraceVerdict) document.Cell {
	switch t {
	case exposure.TraceWithin:
		return document.VerdictCell(document.VerdictMet, string(t))
	case exposure.TraceAbove:
		return document.VerdictCell(document.VerdictFail, string(t))
	case exposure.TraceMayExceed:
		return document.VerdictCell(document.VerdictOpen, string(t))
	}
	return document.VerdictCell(document.VerdictNone, string(t))
}

// gapRow joins gaps that miss the same from the same one.
type gapRow struct {
	gap      calc.Gap
	subjects []string
	variants []string
}

func gaps(v *show.View) []*gapRow {
	var list []*gapRow
	at := map[calc.Gap]*gapRow{}
	for _, x := range v.Variants {
		for _, r := range v.A.ByVariant(x.ID) {
			for _, g := range r.Gaps() {
				key := g
				key.Subject = ""
				row := at[key]
				if row == nil {
					row = &gapRow{gap: g}
					at[key] = row
					list = append(list, row)
				}
				for subject := range strings.SplitSeq(g.Subject, ", ") {
					row.subjects = words.AddOnce(row.subjects, subject)
				}
				row.variants = words.AddOnce(row.variants, show.ShortName(x))
			}
		}
	}
	return list
}

// GapsSection lists what the assessor needs and the workshop does not hold.
func GapsSection(v *show.View) *document.Section {
	s := &document.Section{ID: "gaps", Title: "Gaps in the data",
		Intro: "What is missing for exposure and margins, and who has it. A gap is never counted as zero."}
	t := &document.Table{ID: "gaps-all", Title: "Gaps", SheetName: "Gaps", Empty: "No gap was found.",
		Columns: []document.Column{{Head: "About", Fixed: true}, {Head: "Missing", Weight: 1.6},
			{Head: "Needed for", Weight: 1.6}, {Head: "Who has it"}, {Head: "Variants"}}}
	for _, w := range gaps(v) {
		variants := strings.Join(w.variants, ", ")
		if len(w.variants) == len(v.Variants) {
			variants = "all"
		}
		t.Add(document.TextCell(strings.Join(w.subjects, ", ")), document.TextCell(w.gap.Missing),
			document.TextCell(w.gap.Why), document.TextCell(w.gap.Ask), document.TextCell(variants))
	}
	return s.Add(t)
}

// standardsTable shows the fragrance Standards for what the papers disclose.
func standardsTable(v *show.View) *document.Table {
	t := &document.Table{ID: "fragrance-standards", Title: "Fragrance Standards for what the papers disclose",
		SheetName: "Standards", Empty: "No Standard in the table names a disclosed substance.",
		Columns: []document.Column{{Head: "Standard", Fixed: true, Weight: 1.3}, {Head: "Variant"},
			{Head: "Category"}, {Head: "Disclosed, highest", Unit: "% w/w", Kind: document.KindNumber}, {Head: "Limit",
				Unit: "% w/w", Kind: document.KindNumber}, {Head: "Verdict", Weight: 1.2}, {Head: "Reason", Weight: 2}}}
	var blank []string
	for _, w := range show.WorstOver(v, func(r *calc.Result) []standards.StandardCheck { return r.Standards },
		func(c standards.StandardCheck) string {
			return c.Standard +
				string(c.Verdict)
		}, func(c standards.StandardCheck) exact.Num { return c.Content.Max }) {
		c := w.Value
		switch c.Verdict {
		case standards.StandardNotApplicable:
			continue
		case standards.StandardNoFigure:
			blank = words.AddOnce(blank, c.Standard)
			continue
		}
		limit := NumOr(c.LimitPct, "not in the tables")
		if c.Row != nil {
			limit = limit.MarkedIf(c.Row.FromMemory(), show.MemoryMark)
		}
		t.Add(document.TextCell(c.Standard), document.TextCell(w.Variant), document.TextCell(c.Category),
			document.PctCell(c.Content.Max), limit, standardVerdict(c.Verdict), document.TextCell(c.Reason))
	}
	if len(blank) > 0 {
		t.Note("The limit for this category is not in the tables, which is never to be read as no limit: " +
			words.JoinNames(blank) + ".")
	}
	t.Note("Disclosed contents are a lower bound of what is there: they can prove an excess, never that a Standard is kept.")
	return t
}

func standardVerdict(s standards.StandardVerdict) document.Cell {
	switch s {
	case standards.StandardKept, standards.StandardNoRestriction:
		return document.VerdictCell(document.VerdictMet, string(s))
	case standards.StandardExceeded, standards.StandardProhibited:
		return document.VerdictCell(document.VerdictFail, string(s))
	case standards.StandardSpecification:
		return document.VerdictCell(document.VerdictNone, string(s))
	}
	return document.VerdictCell(document.VerdictOpen, string(s))
}
