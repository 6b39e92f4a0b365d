package pack

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"gallipot/calc"
	"gallipot/calc/exposure"
	"gallipot/calc/formula"
	"gallipot/dossier/answer"
	"gallipot/dossier/document"
	"gallipot/dossier/evidence"
	"gallipot/dossier/figures"
	"gallipot/dossier/sections"
	"gallipot/dossier/show"
	"gallipot/dossier/stability"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// decisions is what the assessor has to decide, and what it turns on.
func decisions(v *show.View) *document.Section {
	s := &document.Section{ID: "decisions", Title: "What is to be decided"}
	ask := &document.Fields{Wide: true}
	for _, q := range questions(v) {
		ask.Items = append(ask.Items, document.Field{Code: q.code, Label: q.text, Hint: q.where,
			Options: []string{"accepted", "replaced", "data needed"}, Lines: 1})
	}
	s.Add(document.Rich(document.Span{Text: "Questions for the assessor", Strong: true},
		document.Span{Text: ": each with a place to answer here or in Part B."}), ask)
	s.Add(&document.Beside{Share: 0.6, Left: []document.Block{lowestChart(v)},
		Right: []document.Block{unknownShare(v)}})
	return s.Add(testsByVariant(v), changesTable(v))
}

// question is one thing that only the assessor can settle.
type question struct {
	code, text, where string

	points []workshop.Accepted // the findings behind it
}

// questions are the open points that go to the assessor and what no document on file
// answers, numbered.
func questions(v *show.View) []question {
	var list []question
	ask := func(text, where string) {
		list = append(list, question{code: answer.Code("Q", len(list)+1), text: text, where: where})
	}
	if none := withoutValue(v); len(none) > 0 {
		ask(fmt.Sprintf("%d of %s have no point of departure or other settled reason, among them %s.", len(none),
			words.Count(len(sections.WorstMargins(v)), "substance",
				"substances"), words.JoinNames(none[:min(3, len(none))])), "A.8.2")
	}
	if n := unverifiedMargins(v); n > 0 {
		ask(fmt.Sprintf("%s rest on figures that are not yet checked against their source (†).",
			words.UpperFirst(words.Count(n, "margin of safety", "margins of safety"))), "A.8.1")
	}
	var other []string
	for _, m := range sections.WorstMargins(v) {
		if m.None == "" && m.Target.Value != 100 {
			other = words.AddOnce(other, m.INCI+" ("+document.PlainFloat(m.Target.Value)+")")
		}
	}
	if len(other) > 0 {
		ask("A margin is measured against a target other than 100: "+words.JoinNames(other)+".", "A.8.1")
	}
	switch tested := testedVariants(v); {
	case len(v.A.Product.Stability)+len(v.A.Product.Microbiology) == 0:
		ask("No storage or microbiological test is on record.", "A.2, A.3")
	case len(tested) < len(v.Variants):
		text := "No test and no batch record names the variant that was tested. "
		if len(tested) > 0 {
			text = "The tests were done on " + words.JoinNames(tested) + ". "
		}
		open := stability.Uncovered(v.A, func(*stability.Tested) bool { return true })
		if len(open) > 0 {
			text += "No reason is given why they cover " + words.JoinNames(open) + "."
		} else {
			text += "The maker gives reasons why they cover the others."
		}
		ask(text, "S.2, tests by variant")
	}
	silent, asked := 0, 0 // as in D.1: of water itself none is expected
	file := evidence.New(v.A)
	for _, m := range v.A.UsedSheets() {
		if file.Traits[m.ID].Water {
			continue
		}
		if asked++; len(m.Impurities) == 0 {
			silent++
		}
	}
	if silent > 0 {
		ask(fmt.Sprintf("%d of %s state no impurity, water aside; what is not stated is unknown.", silent,
			words.Count(asked, "raw material sheet", "raw material sheets")), "A.4")
	}
	if without, all := withoutResults(v); without > 0 {
		ask(fmt.Sprintf("For %d of %s no result is on file beside repeated dose and absorption: skin, eye, sensitisation, photo-toxicity, genotoxicity.",
			without, words.Count(all, "substance above the threshold", "substances above the threshold")), "A.8.3")
	}
	ask(words.UpperFirst(words.Count(len(sections.Misuse), "case",
		"cases"))+" of foreseeable misuse wait for an answer.", "A.5")
	known := map[string]bool{"figures-unverified": unverifiedMargins(v) > 0,
		"no-point-of-departure": len(withoutValue(v)) > 0} // asked above
	for _, f := range v.Findings() {
		if f.Severity != finding.Ask || known[f.Code] || !onlyAssessor(f) {
			continue
		}
		said := words.Say(&f, words.Assessor)
		ask(words.UpperFirst(about(&said, v))+".", where(&f))
		list[len(list)-1].points = withPoint(nil, f)
	}
	return list
}

// about is a message with its subject, without the product's own name.
func about(said *words.Said, v *show.View) string {
	text := said.Text()
	first, _, _ := strings.Cut(said.Subject, ", ")
	if said.Subject == "" || said.Subject == v.A.Product.Name || strings.Contains(text, said.Subject+": ") ||
		strings.Contains(text, first+": ") { // it names each of what it speaks of
		return text
	}
	return said.Subject + ": " + text
}

// where names the variants of a finding, short.
func where(f *finding.Finding) string {
	var list []string
	for _, x := range f.Variants {
		_, short, cut := strings.Cut(x, "/")
		if cut {
			list = append(list, short)
		}
	}
	return words.Joined("; ", words.JoinNames(list), words.JoinNames(f.Markets))
}

// onlyAssessor says whether nobody but the assessor can settle a finding.
func onlyAssessor(f finding.Finding) bool {
	return len(f.Who) > 0 &&
		!slices.ContainsFunc(f.Who, func(p finding.Party) bool { return p.Role != finding.RoleAssessor })
}

// mosDigits is how many significant digits doses and margins have, everywhere.
const mosDigits = 3

// lowMargin is a margin of this product alone or of all products together.
type lowMargin struct {
	name, of    string
	mos, target float64
	unverified  bool
	judged      bool // with a figure of the assessor
	state       document.Verdict
}

const thisProduct = "this product"

func (m lowMargin) ofTarget() float64 { return m.mos / m.target }

func (m lowMargin) cell() document.Cell {
	return document.FloatCell(m.mos, mosDigits).InFull().MarkedIf(m.unverified, show.MemoryMark).
		MarkedIf(m.judged, show.AssessorMark)
}

// lowestMargins are all margins, the lowest of each substance, by margin over target.
func lowestMargins(v *show.View) []lowMargin {
	best := map[string]lowMargin{}
	take := func(m lowMargin) {
		if b, known := best[m.name]; !known || m.ofTarget() < b.ofTarget() {
			best[m.name] = m
		}
	}
	for _, m := range sections.WorstMargins(v) {
		if m.None == "" {
			take(lowMargin{m.INCI, thisProduct, m.MoS, m.Target.Value, len(m.Memory) > 0, m.Judged != nil,
				show.MarginState(m.Verdict)})
		}
	}
	unread := unreadMargins(v)
	for _, a := range aggregates(v) {
		if a.Value.MoS != 0 {
			take(lowMargin{a.Value.Name(), "all products", a.Value.MoS, a.Value.Target.Value,
				a.Value.All.FromMemory() || unread[a.Value.INCI],
				a.Value.Target.Seen == formula.SeenAssessor, show.MarginState(a.Value.Verdict)})
		}
	}
	list := make([]lowMargin, 0, len(best))
	for _, m := range best {
		list = append(list, m)
	}
	slices.SortFunc(list, func(a, b lowMargin) int {
		return cmp.Or(cmp.Compare(a.ofTarget(), b.ofTarget()), cmp.Compare(a.name, b.name))
	})
	return list
}

// mostLow is how many of the lowest margins stand on the second page.
const mostLow = 5

func lowestChart(v *show.View) document.Block {
	chart := &document.HBarLog{ID: "chart-lowest",
		Title: "The five lowest margins of safety, by margin ÷ target", Unit: "MoS",
		AtLeast: true, Caption: "Each substance once: this product or, where it says so, all products together, whichever is lower."}
	list := lowestMargins(v)
	if len(list) == 0 {
		return document.Para("No margin of safety could be computed.")
	}
	list = list[:min(mostLow, len(list))]
	for _, m := range list {
		label, sign := m.name, ""
		if m.of != thisProduct {
			label += ", " + m.of
		}
		if m.unverified {
			sign = show.Sign(show.MemoryMark)
		}
		chart.Rows = append(chart.Rows, document.HBar{Label: label, Value: m.mos, Limit: m.target,
			Used: m.cell(), Sign: sign, Bound: stated(m.target), State: m.state})
	}
	return chart
}

// unknownShare says how much of the mass of each variant has a margin and how much
// nobody can judge.
func unknownShare(v *show.View) *document.Table {
	t := &document.Table{ID: "unknown-share", Title: "What is unknown", Remark: "% of the mass, typical",
		Columns: []document.Column{{Head: "Part"}}}
	sum := func(x *formula.Variant, of func(exposure.Margin) bool) (n exact.Num) {
		for _, m := range v.First(x).Margins {
			if of(m) {
				n = n.Add(m.Whole.Typ)
			}
		}
		return n
	}
	shown := slices.Clone(v.Variants)
	if len(shown) > 3 {
		open := func(m exposure.Margin) bool { return m.Open() }
		slices.SortStableFunc(shown, func(a, b *formula.Variant) int { return sum(b, open).Cmp(sum(a, open)) })
		shown = shown[:3]
		t.Remark += ", the three with most of no value"
	}
	kinds := []struct {
		words string
		of    func(exposure.Margin) bool
	}{
		{"no margin needed", func(m exposure.Margin) bool { return m.None == exposure.NoMarginNotNeeded }},
		{"with a margin", func(m exposure.Margin) bool { return m.None == "" }},
		{"no systemic dose, fragrance", func(m exposure.Margin) bool {
			return m.None == exposure.NoMarginNotAbsorbed || m.None == exposure.NoMarginNotDisclosed
		}},
		{"no value", func(m exposure.Margin) bool { return m.Open() }},
	}
	for _, x := range shown {
		t.Columns = append(t.Columns, document.Column{Head: show.ShortName(x), Kind: document.KindNumber})
	}
	for _, k := range kinds {
		row := []document.Cell{document.TextCell(k.words)}
		for _, x := range shown {
			row = append(row, document.NumCell(sum(x, k.of), document.RuleFixed(1)))
		}
		t.Add(row...)
	}
	t.Note("Fragrances count as a whole and by what is declared inside them, so that a column may come to more than 100.")
	return t
}

// withoutValue names the substances that no dose on file can be compared with.
func withoutValue(v *show.View) (names []string) {
	for _, m := range sections.WorstMargins(v) {
		if m.Open() {
			names = append(names, m.INCI)
		}
	}
	return names
}

func unverifiedMargins(v *show.View) (n int) {
	for _, m := range sections.WorstMargins(v) {
		if m.None == "" && len(m.Memory) > 0 {
			n++
		}
	}
	return n
}

func aggregates(v *show.View) []show.InVariant[exposure.Aggregate] {
	return show.WorstOver(v, func(r *calc.Result) []exposure.Aggregate { return r.Aggregates },
		func(a exposure.Aggregate) string { return a.Name() },
		func(a exposure.Aggregate) exact.Num { return a.Content.Max })
}

// testedVariants are the variants that a test on record was done on.
func testedVariants(v *show.View) []string {
	var list []string
	for _, t := range stability.TestsOf(v.A) {
		for _, x := range v.Variants {
			if tested, _ := t.Stands(x.ID); tested {
				list = words.AddOnce(list, show.ShortName(x))
			}
		}
	}
	return list
}

// testsByVariant shows each test with the variant of its batch: a test of one variant
// never counts for another without a reason.
func testsByVariant(v *show.View) *document.Table {
	t := &document.Table{ID: "tests-variants", Title: "Tests and variants", Empty: "No test is on record.",
		Columns: []document.Column{{Head: "Test"}, {Head: "Method, length"},
			{Head: "Dated", Kind: document.KindText}, {Head: "Batch"}}}
	shown := v.Variants
	if v.IsRange() {
		shown = nil
	}
	for _, x := range shown {
		t.Columns = append(t.Columns, document.Column{Head: show.ShortName(x), Kind: document.KindText})
	}
	if v.IsRange() {
		t.Columns = append(t.Columns, document.Column{Head: "Variant"})
	}
	t.Columns = append(t.Columns, document.Column{Head: "Result"}, document.Column{Head: "Paper"})
	tests := stability.TestsOf(v.A)
	var reasons []string
	add := func(test, method, batch string, dated exact.Date, result document.Cell, file string) {
		of := tests[len(t.Rows)]
		row := []document.Cell{document.TextCell(test), document.TextCell(words.OrWord(method, "not stated")),
			document.DateCell(dated), show.TextOr(batch)}
		for _, x := range shown {
			tested, because := of.Stands(x.ID)
			switch {
			case tested:
				row = append(row, document.VerdictCell(document.VerdictMet, "tested"))
			case because != "":
				reasons = words.AddOnce(reasons, show.ShortName(x)+": "+because)
				row = append(row, document.TextCell("‡\u00a0by\u00a0reason"))
			case of.Variant == "" && len(v.A.Product.Variants) > 1:
				row = append(row, document.MissingCell("□\u00a0not\u00a0stated"))
			default:
				row = append(row, document.MissingCell("□\u00a0not\u00a0tested"))
			}
		}
		if v.IsRange() {
			row = append(row, show.TextOr(of.Variant))
		}
		t.Add(append(row, result, show.TextOr(file))...)
	}
	p := v.A.Product
	for i := range p.Stability {
		x := &p.Stability[i]
		length := ""
		if x.Weeks != nil {
			length = x.Weeks.Exact() + "\u00a0weeks"
		}
		add("storage, "+strings.ReplaceAll(x.Name(), ", ", "\u00a0"), length, x.Batch, x.Started,
			stability.TestVerdict(x.Verdict), x.File)
	}
	for _, m := range p.Microbiology {
		add(microNames(m), m.Method, m.Batch, m.Dated, show.TextOr(microResult(m)), m.File)
	}
	if len(t.Rows) > 0 {
		t.Note("□ not tested: no test, and no reason is on file why another variant's covers it.")
		if len(reasons) > 0 {
			t.Note("‡ covered by a reason of the maker, which the assessor judges: " +
				strings.Join(reasons, "; ") + ".")
		}
	}
	return t
}

func microNames(m workshop.MicroTest) string {
	return map[string]string{"challenge": "challenge test", "count": "total count",
		"organisms": "named organisms", "water-activity": "water activity"}[m.Test]
}

func microResult(m workshop.MicroTest) string {
	switch {
	case m.Test == "challenge" && m.Verdict != "" && m.Verdict != "fail":
		return "criterion " + m.Verdict
	case m.CFUPerG != nil:
		return m.CFUPerG.Exact() + " CFU/g"
	}
	return words.OrWord(m.Result, m.Verdict)
}

// changesTable is what changed since the last signature, by kind.
func changesTable(v *show.View) *document.Table {
	t := &document.Table{ID: "changes", Title: "Changes since the last signature", SheetName: "Changes",
		Empty: "No signature is on record: nothing to compare."}
	figures.Table(t, nil)
	last := v.A.Product.Newest()
	if last == nil {
		return t
	}
	t.Remark = "of " + last.Dated.String() + " by " + last.Assessor
	changes, kept := figures.Since(v.A)
	switch {
	case last.Fingerprint == v.A.Fingerprint:
		t.Empty = "None: the figures are those that were signed."
	case !kept:
		t.Empty = "The figures are others than those that were signed, and those of the time are not kept: what changed cannot be told."
	}
	return figures.Table(t, changes)
}

// unreadMargins are the substances whose margin rests on a value that nobody has read in its
// source: the sum over all products rests on it too.
func unreadMargins(v *show.View) map[string]bool {
	m := map[string]bool{}
	for _, w := range sections.WorstMargins(v) {
		m[w.INCI] = m[w.INCI] || len(w.Memory) > 0
	}
	return m
}
