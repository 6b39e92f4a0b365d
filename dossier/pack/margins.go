package pack

import (
	"cmp"
	"slices"
	"strings"

	"gallipot/calc/exposure"
	"gallipot/calc/formula"
	"gallipot/dossier/document"
	"gallipot/dossier/profile"
	"gallipot/dossier/sections"
	"gallipot/dossier/show"
	"gallipot/ingredients/pattern"
)

// figure prints a dose or a margin to the digits that all of them have.
func figure(f float64) document.Cell { return document.FloatCell(f, mosDigits).InFull() }

// exampleOf shows the arithmetic once, on the lowest margin of this product.
func exampleOf(v *show.View) *document.Section {
	s := &document.Section{Intro: "Systemic exposure dose (SED) = product that stays, mg/kg bw/d (A.6) × highest content × absorption. Internal point of departure = PoD × the share of the study's dose that is taken up, after any divisor for a short study or a lowest effect level. MoS = internal PoD ÷ SED. The doses stand beside the margins in A.8; typical doses, the reason for each absorption and doses per area stand in the spreadsheet, sheet Exposure."}
	list := slices.SortedStableFunc(slices.Values(sections.WorstMargins(v)), byMargin)
	if len(list) > 0 && list[0].None == "" {
		s.Add(document.Rich(document.Span{Text: "Example. ", Strong: true},
			document.Span{Text: list[0].INCI + ": " + profile.SameDigits(list[0].Margin)}))
	}
	return s
}

// marginPages show each margin with its inputs, the lowest first.
func marginPages(v *show.View, c *cited) *document.Section {
	s := &document.Section{ID: "margins", Title: "Margins of safety",
		Intro: "Each substance at its highest content, in the variant or portion with most of it; by margin ÷ target, the lowest first. Whether a value fits and a margin is enough is the assessor's to judge."}
	t := &document.Table{ID: "margins-pages", Title: "This product", Empty: "No margin could be computed.",
		Columns: []document.Column{{Head: "Substance", Fixed: true}, {Head: "Variant"},
			{Head: "Content", Unit: "% w/w", Kind: document.KindNumber}, {Head: "Abs.", Unit: "%",
				Kind: document.KindNumber},
			{Head: "SED", Unit: "mg/kg bw/d", Kind: document.KindNumber}, {Head: "PoD", Unit: "mg/kg",
				Kind: document.KindNumber}, {Head: "Study", Weight: 1.4}, {Head: "Internal", Unit: "mg/kg",
				Kind: document.KindNumber}, {Head: "MoS", Kind: document.KindNumber}, {Head: "Target",
				Kind: document.KindNumber}, {Head: "Verdict"}, {Head: "Source"}}}
	list := slices.DeleteFunc(sections.WorstMargins(v),
		func(m sections.WorstMargin) bool { return m.None != "" })
	slices.SortStableFunc(list, byMargin)
	for _, m := range list {
		pod, study, source := document.BlankCell(), document.BlankCell(), document.BlankCell()
		if m.PoD != nil {
			pod, study, source = stated(m.PoD.Value).MarkedIf(m.PoD.Seen == formula.SeenAssessor,
				show.AssessorMark), studyCell(m.PoD), document.TextCell(c.source(m.PoD.Cite()))
		}
		absorbed := sections.AbsorbedCell(m.Margin)
		t.Add(document.TextCell(m.INCI), document.TextCell(m.Where()), document.PctCell(m.Content.Max), absorbed,
			figure(m.SED.Max), pod, study, figure(m.PoDSys),
			figure(m.MoS).MarkedIf(len(m.Memory) > 0, show.MemoryMark).
				MarkedIf(m.Judged != nil,
					show.AssessorMark), sections.StatedCell(&m.Target), profile.Verdict(m.Verdict), source)
	}
	all := &document.Table{ID: "margins-all-products",
		Title: "All products together: preservatives and UV filters",
		Empty: "No preservative or UV filter of the lists is in it.",
		Columns: []document.Column{{Head: "Substance", Fixed: true}, {Head: "Variant"},
			{Head: "Content", Unit: "% w/w", Kind: document.KindNumber},
			{Head: "All products", Unit: "mg/kg bw/d", Kind: document.KindNumber},
			{Head: "SED", Unit: "mg/kg bw/d", Kind: document.KindNumber},
			{Head: "Internal PoD", Unit: "mg/kg", Kind: document.KindNumber}, {Head: "MoS",
				Kind: document.KindNumber}, {Head: "Target",
				Kind: document.KindNumber}, {Head: "Verdict or reason", Weight: 1.6}}}
	unread := unreadMargins(v)
	for _, w := range aggregates(v) {
		a := w.Value
		if a.MoS == 0 {
			all.Add(document.TextCell(a.Name()), document.TextCell(w.Variant), document.PctCell(a.Content.Max),
				document.BlankCell(), document.BlankCell(), document.BlankCell(), document.BlankCell(),
				document.BlankCell(), document.VerdictCell(document.VerdictOpen, "no margin: "+a.Reason))
			continue
		}
		all.Add(document.TextCell(a.Name()), document.TextCell(w.Variant), document.PctCell(a.Content.Max),
			sections.StatedCell(&a.All), figure(a.SED), figure(a.PoDSys), figure(a.MoS).MarkedIf(a.All.FromMemory() ||
				unread[a.INCI], show.MemoryMark), sections.StatedCell(&a.Target), profile.Verdict(a.Verdict))
	}
	t.Note("PoD is a no-effect level (NOAEL) unless the study says otherwise; divisors behind it. ‡ read-across, surrogate or metabolite. No route, no length: the source states none; the route is taken as oral. Each study in full, other values known and the arithmetic of each margin: spreadsheet, sheet Margins.")
	return s.Add(t, all)
}

// stated prints a figure as its source has it.
func stated(f float64) document.Cell {
	return sections.StatedCell(&formula.Stated{Value: f, Seen: formula.SeenGiven})
}

// mostOfStudy is how many parts of the description of a study stand in a column.
const mostOfStudy = 3

var bracketRE = pattern.New(` ?\([^()]*\)`)

// studyCell is a study in the words of a column, or that nobody has said which it is.
func studyCell(p *exposure.PoD) document.Cell {
	if p.Study == "" {
		return document.MissingCell("□\u00a0not\u00a0stated")
	}
	return document.TextCell(studyWords(p))
}

// studyWords is a study in the words of a column: the animal, the route, how long. The
// whole description stands in the spreadsheet.
func studyWords(p *exposure.PoD) string {
	parts := strings.Split(bracketRE.ReplaceAllString(p.Study, ""), ", ")
	parts = parts[:min(len(parts), mostOfStudy)]
	text := studyShort.Replace(strings.Join(parts, ", "))
	if p.Type != "NOAEL" {
		text = p.Type + ", " + text
	}
	if strings.Contains(p.Study, "read-across") || strings.Contains(p.Study, "surrogate") ||
		strings.Contains(p.Study, "metabolite") {
		text += " ‡"
	}
	if p.DurationFactor != nil {
		text += ", ÷ " + document.PlainFloat(p.DurationFactor.Value)
	}
	if p.LOAELFactor != nil {
		text += ", ÷ " + document.PlainFloat(p.LOAELFactor.Value)
	}
	return text
}

// noMarginPages list the substances without a margin: those that wait for a value
// first, by falling dose.
func noMarginPages(v *show.View) *document.Section {
	s := &document.Section{ID: "margins-without", Title: "Substances without a margin"}
	t := &document.Table{ID: "no-margin", Title: "Substances without a margin",
		Remark: "settle each by a value or by a reason", Empty: "Every substance has one.",
		Columns: []document.Column{{Head: "Substance", Fixed: true}, {Head: "Variant"},
			{Head: "Content", Unit: "% w/w", Kind: document.KindNumber},
			{Head: "SED", Unit: "mg/kg bw/d", Kind: document.KindNumber}, {Head: "Reason", Weight: 4},
			{Head: "Screening", Unit: "by class", Weight: 0.8}}}
	list := slices.DeleteFunc(sections.WorstMargins(v),
		func(m sections.WorstMargin) bool { return m.None == "" })
	slices.SortStableFunc(list, func(a, b sections.WorstMargin) int {
		return cmp.Or(cmp.Compare(boolRank(b.Open()), boolRank(a.Open())),
			cmp.Compare(b.SED.Max, a.SED.Max), b.Content.Max.Cmp(a.Content.Max))
	})
	for _, m := range list {
		sed := document.MissingCell("–")
		if m.SED.Max != 0 {
			sed = figure(m.SED.Max)
		}
		reason := document.TextCell("–\u00a0" + m.Reason)
		if m.Open() {
			reason = document.TextCell("□\u00a0" + m.Reason)
		}
		t.Add(document.TextCell(m.INCI), document.TextCell(m.Where()), document.PctCell(m.Content.Max), sed, reason,
			screeningCell(m.TTC))
	}
	t.Note("□ no value: a dose without effect from a repeated-dose study, with the study, or a stated reason is asked for. The arithmetic of the screening stands in the spreadsheet, sheet Margins, with who has the data.")
	return s.Add(t)
}

// studyShort are the short forms of what studies are described by.
var studyShort = strings.NewReplacer("oral: feed", "feed", "oral: gavage", "gavage", "oral: unspecified",
	"oral", "oral gavage", "gavage", "oral diet", "diet", "oral: ", "",
	" days", "\u00a0d", " weeks", "\u00a0w", " years", "\u00a0y", "route not stated", "no route",
	"duration not stated", "no length")

func screeningCell(s *exposure.Screening) document.Cell {
	if s == nil {
		return document.MissingCell("–")
	}
	if s.Verdict == exposure.ScreenNotApplicable {
		return document.TextCell(whole(s.Class + ": does not apply"))
	}
	return document.TextCell(whole(s.Class + ": " + strings.TrimSuffix(string(s.Verdict), " the threshold")))
}
