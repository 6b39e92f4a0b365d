package dossier

import (
	"fmt"
	"strconv"
	"strings"

	"gallipot/calc"
	"gallipot/ingredients"
)

// exposureDigits is how many significant digits exposure figures are printed
// with: more than they carry, so that a reader can recalculate.
const exposureDigits = 4

// exposureSection shows how much of the product reaches its user, with the
// source of every figure.
func (v *view) exposureSection() *Section {
	r := v.first(v.variants[0])
	e := r.Exposure
	s := &Section{ID: "exposure", Title: "Exposure to the product",
		Intro: "Figures of the exposure table for the product type, or the maker's own. Inputs for the assessor, who decides whether they fit the product and its users."}
	if e.IsProxy() {
		s.Add(&Callout{Kind: CalloutCaution, Title: "A stand-in", Body: []*Paragraph{Para("No published figure is in the table for this product type. The row " + e.Key + " stands in for it: the assessor confirms it, or the maker gives amounts of their own under exposure.")}})
	}
	t := &Table{ID: "exposure-figures", SheetName: "Exposure", Empty: "No figure is known: nothing that rests on exposure is computed.",
		Columns: []Column{{Head: "Figure", Fixed: true, Weight: 1.2}, {Head: "Value", Kind: KindNumber}, {Head: "Unit"}, {Head: "Source", Weight: 2.4}}}
	for _, f := range []struct {
		name, unit string
		figure     *calc.Stated
	}{
		{"Product applied", "g/d", e.AmountG}, {"Applications", "1/d", e.PerDay}, {"Retention factor", "share", e.Retention}, {"Product that stays", "g/d", e.ExposureG},
		{"Product that stays, per body weight", "mg/kg bw/d", e.MgPerKg}, {"Skin treated", "cm²", e.AreaCm2}, {"Body weight", "kg", e.BodyWeightKg},
		{"Youngest user's body weight", "kg", e.UserWeightKg}, {"Factor for children's skin surface", "ratio", e.ChildFactor},
	} {
		if f.figure != nil {
			t.Add(TextCell(f.name), statedCell(f.figure), TextCell(f.unit), TextCell(f.figure.Cite()))
		}
	}
	s.Add(t)
	if e.Arithmetic != "" {
		s.Add(Rich(Span{Text: "Arithmetic: ", Strong: true}, Span{Text: e.Arithmetic}))
	}
	if len(e.Notes) > 0 {
		s.Add(List(e.Notes...))
	}
	return s.Add(v.inhalationBlocks(r)...)
}

// statedCell prints a figure as its source states it.
func statedCell(f *calc.Stated) Cell {
	n, err := ingredients.ParseNum(strconv.FormatFloat(f.Value, 'f', -1, 64))
	if err != nil {
		return FloatCell(f.Value, exposureDigits).MarkedIf(f.FromMemory(), memoryMark)
	}
	return NumCell(n, RuleExact).MarkedIf(f.FromMemory(), memoryMark)
}

func (v *view) inhalationBlocks(r *calc.Result) []Block {
	h := r.Inhalation
	if !h.Applies {
		return nil
	}
	t := &Table{ID: "exposure-inhalation", Title: "Breathed in: " + h.Form, SheetName: "Exposure",
		Columns: []Column{{Head: "Symbol", Fixed: true}, {Head: "Parameter", Weight: 1.6}, {Head: "Value", Kind: KindNumber}, {Head: "Unit"}, {Head: "Source", Weight: 2}}}
	for _, p := range h.Parameters {
		t.Add(TextCell(p.Symbol), TextCell(p.Name), statedCell(&p.Stated), TextCell(p.Unit), TextCell(p.Cite()))
	}
	blocks := []Block{t}
	if h.Reason != "" {
		blocks = append(blocks, Para("Not computed: "+h.Reason+"."))
	}
	if h.Arithmetic != "" {
		blocks = append(blocks, Rich(Span{Text: "Arithmetic: ", Strong: true}, Span{Text: h.Arithmetic}))
	}
	if len(h.Notes) > 0 {
		blocks = append(blocks, List(h.Notes...))
	}
	return blocks
}

// worstMargin is the margin of a substance in the variant where it is smallest,
// or, without a margin, where there is most of it.
type worstMargin struct {
	calc.Margin
	variant string
}

func (w worstMargin) where() string {
	if w.WorstIn == "" {
		return w.variant
	}
	return w.variant + ", " + w.WorstIn
}

// worstMargins takes each substance once over the shown variants, in the order
// of its first appearance.
func (v *view) worstMargins() []worstMargin {
	var list []worstMargin
	at := map[string]int{}
	for _, x := range v.variants {
		for _, m := range v.first(x).Margins {
			key := m.INCI + fmt.Sprint(m.Nano)
			i, known := at[key]
			switch {
			case !known:
				at[key] = len(list)
				list = append(list, worstMargin{m, shortName(x)})
			case list[i].Content.Max.Less(m.Content.Max):
				list[i] = worstMargin{m, shortName(x)}
			}
		}
	}
	return list
}

// marginsSection shows the inputs of each margin of safety, its arithmetic, and
// the substances that have none with the reason.
func (v *view) marginsSection() *Section {
	s := &Section{ID: "margins", Title: "Exposure to the substances and margins of safety",
		Intro: "Systemic exposure dose (SED), point of departure (PoD) and margin of safety (MoS) of each substance, at its highest content in the variant and mixture that hold most of it. The program prints inputs and arithmetic; whether a value fits and a margin is enough is the assessor's to judge."}
	t := &Table{ID: "margins-table", SheetName: "Margins", Empty: "No margin could be computed.",
		Columns: []Column{{Head: "Substance", Fixed: true, Weight: 1.4}, {Head: "Where", Weight: 0.9}, {Head: "Content, highest", Unit: "% w/w", Kind: KindNumber}, {Head: "Absorbed", Unit: "%", Kind: KindNumber},
			{Head: "SED", Unit: "mg/kg bw/d", Kind: KindNumber}, {Head: "PoD, internal", Unit: "mg/kg bw/d", Kind: KindNumber}, {Head: "MoS", Kind: KindNumber}, {Head: "Target", Kind: KindNumber}, {Head: "Verdict"}}}
	lines := &Table{ID: "margins-arithmetic", Title: "Arithmetic", SheetName: "MoS arithmetic", Columns: []Column{{Head: "Substance", Fixed: true}, {Head: "Arithmetic", Weight: 3}, {Head: "Study and source", Weight: 2}}}
	none := &Table{ID: "margins-none", Title: "Without a margin", SheetName: "No margin", Empty: "Every substance has one.",
		Columns: []Column{{Head: "Substance", Fixed: true}, {Head: "Content, highest", Unit: "% w/w", Kind: KindNumber}, {Head: "SED", Unit: "mg/kg bw/d", Kind: KindNumber}, {Head: "Why", Weight: 2.5}, {Head: "Screening by Cramer class", Weight: 1.5}}}
	chart := &HBarLog{ID: "chart-margins", Title: "Margin of safety against its target", Unit: "MoS", AtLeast: true}
	for _, m := range v.worstMargins() {
		if m.None != "" {
			none.Add(TextCell(m.INCI), PctCell(m.Content.Max), sedCell(m.Margin), TextCell(m.Reason), ttcCell(m.TTC))
			continue
		}
		memory := len(m.Memory) > 0
		t.Add(TextCell(m.INCI), TextCell(m.where()), PctCell(m.Content.Max), absorbedCell(m.Margin), sedCell(m.Margin), FloatCell(m.PoDSys, exposureDigits),
			FloatCell(m.MoS, exposureDigits).MarkedIf(memory, memoryMark).To(mosOf(m)), statedCell(&m.Target), marginVerdict(m.Verdict))
		source := TextCell("")
		if m.PoD != nil {
			source = TextCell(strings.TrimSpace(m.PoD.Type + " " + m.PoD.Study + "; " + m.PoD.Cite()))
		}
		lines.Add(TextCell(m.INCI).At(mosOf(m)), TextCell(m.Arithmetic), source.MarkedIf(memory, memoryMark))
		chart.Rows = append(chart.Rows, HBar{Label: m.INCI, Value: m.MoS, Limit: m.Target.Value, Used: FloatCell(m.MoS, 3), Bound: FloatCell(m.Target.Value, 3), State: marginState(m.Verdict)})
	}
	s.Add(t)
	if len(chart.Rows) > 0 {
		s.Add(chart, lines)
	}
	s.Add(none)
	return s
}

// dosesSection shows what reaches the body of each substance.
func (v *view) dosesSection() *Section {
	s := &Section{ID: "doses", Title: "Exposure to each substance",
		Intro: "Systemic exposure dose (SED) of each substance at its highest content, in the variant and mixture that hold most of it, with the absorption used and the reason for it. Preservatives and UV filters also with the exposure to all products together; declarable allergens with their dose per area."}
	t := &Table{ID: "doses-table", SheetName: "Doses", Empty: "No dose could be computed.", Columns: []Column{{Head: "Substance", Fixed: true, Weight: 1.3}, {Head: "Where", Weight: 0.9}, {Head: "Content, highest", Unit: "% w/w", Kind: KindNumber},
		{Head: "Absorbed", Unit: "%", Kind: KindNumber}, {Head: "SED", Unit: "mg/kg bw/d", Kind: KindNumber}, {Head: "SED, typical", Unit: "mg/kg bw/d", Kind: KindNumber}, {Head: "Absorption used because", Weight: 1.8}}}
	for _, m := range v.worstMargins() {
		if m.SED.Max == 0 || m.None == calc.NoMarginNotNeeded {
			continue
		}
		t.Add(TextCell(m.INCI), TextCell(m.where()), PctCell(m.Content.Max), absorbedCell(m.Margin), sedCell(m.Margin), FloatCell(m.SED.Typical, exposureDigits), TextCell(m.Absorption.Why))
	}
	return s.Add(t, v.aggregateTable(), v.localDoseTable())
}

// mosOf is the anchor of the arithmetic of a margin.
func mosOf(m worstMargin) string {
	return "mos-" + ingredients.NameKey(m.INCI) + strconv.FormatBool(m.Nano)
}

func sedCell(m calc.Margin) Cell {
	if m.SED.Max == 0 {
		return MissingCell("not computed")
	}
	return FloatCell(m.SED.Max, exposureDigits)
}

func absorbedCell(m calc.Margin) Cell {
	if m.SED.ByArea {
		return TextCell("by area")
	}
	return statedCell(&m.Absorption.Pct)
}

func marginVerdict(verdict calc.MarginVerdict) Cell {
	return VerdictCell(marginState(verdict), string(verdict))
}

func marginState(verdict calc.MarginVerdict) Verdict {
	switch verdict {
	case calc.MarginReached:
		return VerdictMet
	case calc.MarginBelow:
		return VerdictFail
	}
	return VerdictOpen
}

func ttcCell(s *calc.Screening) Cell {
	if s == nil {
		return MissingCell("no class known")
	}
	if s.Verdict == calc.ScreenNotApplicable {
		return TextCell("class " + s.Class + ": does not apply, " + s.Reason)
	}
	return TextCell("class " + s.Class + ": " + string(s.Verdict) + "; " + s.Arithmetic)
}

// inVariant is a value with the variant it was found in.
type inVariant[T any] struct {
	value   T
	variant string // with the markets that have it, where not all do
	markets []string
}

// worstOver takes each thing once over the shown variants and markets, from the
// variant that holds most of it, in the order of first appearance. A market can
// know things that the others do not: names of allergens, rows of a list.
func worstOver[T any](v *view, list func(*calc.Result) []T, key func(T) string, content func(T) ingredients.Num) []inVariant[T] {
	var out []inVariant[T]
	at := map[string]int{}
	for _, x := range v.variants {
		for _, r := range v.a.ByVariant(x.ID) {
			for _, value := range list(r) {
				k := key(value)
				i, known := at[k]
				switch {
				case !known:
					i, at[k] = len(out), len(out)
					out = append(out, inVariant[T]{value: value, variant: shortName(x)})
				case content(out[i].value).Less(content(value)):
					out[i].value, out[i].variant = value, shortName(x)
				}
				out[i].markets = addOnce(out[i].markets, string(r.Input.Market))
			}
		}
	}
	for i := range out {
		if len(out[i].markets) < len(v.a.Markets) {
			out[i].variant += " (" + strings.Join(out[i].markets, ", ") + ")"
		}
	}
	return out
}

func (v *view) aggregateTable() *Table {
	t := &Table{ID: "margins-aggregate", Title: "Aggregate exposure of preservatives and UV filters", SheetName: "Aggregate", Empty: "No preservative or UV filter of the lists is in it.",
		Columns: []Column{{Head: "Substance", Fixed: true}, {Head: "Variant"}, {Head: "Content, highest", Unit: "% w/w", Kind: KindNumber}, {Head: "SED, all products", Unit: "mg/kg bw/d", Kind: KindNumber},
			{Head: "MoS", Kind: KindNumber}, {Head: "Target", Kind: KindNumber}, {Head: "Verdict"}, {Head: "Arithmetic or reason", Weight: 2.5}}}
	for _, w := range worstOver(v, func(r *calc.Result) []calc.Aggregate { return r.Aggregates },
		func(a calc.Aggregate) string { return a.INCI }, func(a calc.Aggregate) ingredients.Num { return a.Content.Max }) {
		a := w.value
		if a.MoS == 0 {
			t.Add(TextCell(a.INCI), TextCell(w.variant), PctCell(a.Content.Max), MissingCell("not computed"), BlankCell(), BlankCell(), VerdictCell(VerdictOpen, "no margin"), TextCell(a.Reason))
			continue
		}
		t.Add(TextCell(a.INCI), TextCell(w.variant), PctCell(a.Content.Max), FloatCell(a.SED, exposureDigits), FloatCell(a.MoS, exposureDigits).MarkedIf(a.All.FromMemory(), memoryMark), statedCell(&a.Target), marginVerdict(a.Verdict), TextCell(a.Arithmetic))
	}
	return t
}

func (v *view) localDoseTable() *Table {
	t := &Table{ID: "margins-local", Title: "Local dose of declarable allergens", SheetName: "Local dose", Empty: "No declarable allergen is known to be in it.",
		Columns: []Column{{Head: "Allergen", Fixed: true}, {Head: "Variant"}, {Head: "Content, highest", Unit: "% w/w", Kind: KindNumber}, {Head: "Dose per area", Unit: "µg/cm² a day", Kind: KindNumber}, {Head: "Arithmetic or reason", Weight: 2}}}
	for _, w := range worstOver(v, func(r *calc.Result) []calc.LocalDose { return r.LocalDoses },
		func(d calc.LocalDose) string { return d.LabelName }, func(d calc.LocalDose) ingredients.Num { return d.Content.Max }) {
		d := w.value
		if d.Reason != "" {
			t.Add(TextCell(d.LabelName), TextCell(w.variant), PctCell(d.Content.Max), MissingCell("not computed"), TextCell(d.Reason))
			continue
		}
		t.Add(TextCell(d.LabelName), TextCell(w.variant), PctCell(d.Content.Max), FloatCell(d.UgCm2, exposureDigits), TextCell(d.Arithmetic))
	}
	return t
}

func (v *view) traceTable() *Table {
	t := &Table{ID: "margins-traces", Title: "Impurities and traces", SheetName: "Traces", Empty: "No sheet declares an impurity; what is not declared is unknown, not zero.",
		Columns: []Column{{Head: "Trace", Fixed: true}, {Head: "Variant"}, {Head: "Content", Unit: "mg/kg", Kind: KindRange}, {Head: "Published figure", Weight: 1.6}, {Head: "Verdict", Weight: 1.2}, {Head: "SED and margin", Weight: 1.6}}}
	for _, w := range worstOver(v, func(r *calc.Result) []calc.Trace { return r.Traces },
		func(tr calc.Trace) string { return tr.Name }, func(tr calc.Trace) ingredients.Num { return tr.MgPerKg.Max }) {
		tr := w.value
		figure, verdict := MissingCell("none in the tables"), VerdictCell(VerdictNone, "not judged")
		if len(tr.Checks) > 0 {
			c := tr.Checks[0]
			figure = TextCell(FormatFloat(c.Figure.Value, exposureDigits)+" mg/kg; "+c.Figure.Cite()).MarkedIf(c.Figure.FromMemory(), memoryMark)
			verdict = traceVerdict(c.Verdict)
		}
		margin := tr.Margin.Arithmetic
		if margin == "" {
			margin = tr.Margin.Reason
		}
		t.Add(TextCell(tr.Name), TextCell(w.variant), RangeCell(tr.MgPerKg), figure, verdict, TextCell(margin))
	}
	return t
}

func traceVerdict(t calc.TraceVerdict) Cell {
	switch t {
	case calc.TraceWithin:
		return VerdictCell(VerdictMet, string(t))
	case calc.TraceAbove:
		return VerdictCell(VerdictFail, string(t))
	case calc.TraceMayExceed:
		return VerdictCell(VerdictOpen, string(t))
	}
	return VerdictCell(VerdictNone, string(t))
}

// gapRow joins gaps that miss the same from the same one.
type gapRow struct {
	gap      calc.Gap
	subjects []string
	variants []string
}

func (v *view) gaps() []*gapRow {
	var list []*gapRow
	at := map[calc.Gap]*gapRow{}
	for _, x := range v.variants {
		for _, r := range v.a.ByVariant(x.ID) {
			for _, g := range r.Gaps {
				key := g
				key.Subject = ""
				row := at[key]
				if row == nil {
					row = &gapRow{gap: g}
					at[key] = row
					list = append(list, row)
				}
				for subject := range strings.SplitSeq(g.Subject, ", ") {
					row.subjects = addOnce(row.subjects, subject)
				}
				row.variants = addOnce(row.variants, shortName(x))
			}
		}
	}
	return list
}

// gapsSection lists what the assessor needs and the workshop does not hold.
func (v *view) gapsSection() *Section {
	s := &Section{ID: "gaps", Title: "Gaps in the data", Intro: "What is missing for exposure and margins, and who has it. A gap is never counted as zero."}
	t := &Table{ID: "gaps-all", SheetName: "Gaps", Empty: "No gap was found.", Columns: []Column{{Head: "About", Fixed: true}, {Head: "Missing", Weight: 1.6}, {Head: "Needed for", Weight: 1.6}, {Head: "Who has it"}, {Head: "Variants"}}}
	for _, w := range v.gaps() {
		variants := strings.Join(w.variants, ", ")
		if len(w.variants) == len(v.variants) {
			variants = "all"
		}
		t.Add(TextCell(strings.Join(w.subjects, ", ")), TextCell(w.gap.Missing), TextCell(w.gap.Why), TextCell(w.gap.Ask), TextCell(variants))
	}
	return s.Add(t)
}

// standardsTable shows the fragrance Standards for what the papers disclose.
func (v *view) standardsTable() *Table {
	t := &Table{ID: "fragrance-standards", Title: "Fragrance Standards for what the papers disclose", SheetName: "Standards", Empty: "No Standard in the table names a disclosed substance.",
		Columns: []Column{{Head: "Standard", Fixed: true, Weight: 1.3}, {Head: "Variant"}, {Head: "Category"}, {Head: "Disclosed, highest", Unit: "% w/w", Kind: KindNumber}, {Head: "Limit", Unit: "% w/w", Kind: KindNumber}, {Head: "Verdict", Weight: 1.2}, {Head: "Reason", Weight: 2}}}
	var blank []string
	for _, w := range worstOver(v, func(r *calc.Result) []calc.StandardCheck { return r.Standards },
		func(c calc.StandardCheck) string { return c.Standard + string(c.Verdict) }, func(c calc.StandardCheck) ingredients.Num { return c.Content.Max }) {
		c := w.value
		switch c.Verdict {
		case calc.StandardNotApplicable:
			continue
		case calc.StandardNoFigure:
			blank = addOnce(blank, c.Standard)
			continue
		}
		limit := numOr(c.LimitPct, "not in our table")
		if c.Row != nil {
			limit = limit.MarkedIf(c.Row.FromMemory(), memoryMark)
		}
		t.Add(TextCell(c.Standard), TextCell(w.variant), TextCell(c.Category), PctCell(c.Content.Max), limit, standardVerdict(c.Verdict), TextCell(c.Reason))
	}
	if len(blank) > 0 {
		t.Note("The limit for this category is not in our table, which is never to be read as no limit: " + joinNames(blank) + ".")
	}
	t.Note("Disclosed contents are a lower bound of what is there: they can prove an excess, never that a Standard is kept.")
	return t
}

func standardVerdict(s calc.StandardVerdict) Cell {
	switch s {
	case calc.StandardKept, calc.StandardNoRestriction:
		return VerdictCell(VerdictMet, string(s))
	case calc.StandardExceeded, calc.StandardProhibited:
		return VerdictCell(VerdictFail, string(s))
	case calc.StandardSpecification:
		return VerdictCell(VerdictNone, string(s))
	}
	return VerdictCell(VerdictOpen, string(s))
}
