package pack

import (
	"strings"

	"gallipot/dossier/answer"
	"gallipot/dossier/document"
	"gallipot/dossier/show"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/finding"
	"gallipot/ingredients/pattern"
)

// openPoints shows where everything stands and what is open at suppliers and maker, a row each.
func openPoints(v *show.View, parts []*document.Section, volume string) *document.Section {
	s := &document.Section{ID: "open", Title: "Contents and open points"}
	s.Add(contentsStrip(parts))
	if volume != "" {
		s.Add(&document.Paragraph{Small: true, Spans: []document.Span{{Text: "Beside this document: " + volume}}})
	}
	s.Add(&document.Paragraph{Small: true,
		Spans: []document.Span{{Text: "○ kept, present, above    ▲ open: someone must act    ■ missing, against a law, exceeded    □ not stated: nobody has said it    – not relevant, with the reason    †\u00a0unverified: verify before use    [E12] document 12 of D.3"}}})
	s.Add(&document.Paragraph{Small: true,
		Spans: []document.Span{{Text: "SED systemic exposure dose, mg per kg body weight and day · PoD point of departure · MoS margin of safety = internal PoD ÷ SED · % is % w/w · contents are the highest that the documents allow · doses and margins have three significant digits"}}})
	t := &document.Table{ID: "open-points", Title: "Open points", Remark: "questions for the assessor: S.2",
		Empty: "Nothing is open.", Columns: []document.Column{{Head: "No."}, {Head: "Whom", Weight: 1.6},
			{Head: "What", Weight: 2}, {Head: "Why it matters", Weight: 1.4}, {Head: "Where"}}}
	group := ""
	for _, o := range openList(v) {
		if o.group != group {
			group = o.group
			t.Group(group)
		}
		t.Add(document.TextCell(o.code), document.TextCell(o.whom), document.TextCell(o.what),
			document.TextCell(o.why), document.TextCell(o.where))
	}
	s.Add(t)
	if decided := decidedTable(v); len(decided.Rows) > 0 {
		s.Add(decided)
	}
	return s
}

// decidedTable lists what was asked and is settled in writing.
func decidedTable(v *show.View) *document.Table {
	t := &document.Table{ID: "decided", Title: "Decided",
		Remark: "asked, and settled in writing by the person named; open again when the values change or the day comes", Columns: []document.Column{
			{Head: "What", Weight: 2}, {Head: "Decision", Weight: 2}, {Head: "By"}, {Head: "Date",
				Kind: document.KindText}, {Head: "Open again", Kind: document.KindText}, {Head: "Where"}}}
	for _, f := range v.Findings() {
		if d := f.Decided; d != nil {
			said := words.Say(&f, words.Assessor)
			again := document.TextCell("when its values change")
			if !d.Until.IsZero() {
				again = document.DateCell(d.Until)
			}
			t.Add(document.TextCell(sentence(about(&said, v))), document.TextCell(d.Text), document.TextCell(d.By),
				document.DateCell(d.Date), again, document.TextCell(where(&f)))
		}
	}
	return t
}

// contentsStrip leads to the sections, in columns.
func contentsStrip(parts []*document.Section) *document.ContentsStrip {
	column := func(head string, items ...document.ContentsItem) document.ContentsColumn {
		return document.ContentsColumn{Head: head, Items: items}
	}
	columns := []document.ContentsColumn{column("S Summary", document.ContentsItem{Label: "S.1 Product, law",
		Anchor: "product-law"}, document.ContentsItem{Label: "S.2 Decisions",
		Anchor: "decisions"}, document.ContentsItem{Label: "S.3 Open points", Anchor: "open"})}
	last := document.ContentsColumn{Head: "C, D The rest"}
	for _, p := range parts {
		if p.ID == "part-a" {
			var first, second, third []document.ContentsItem
			for _, s := range p.Subsections {
				if s.ID == "a1" {
					for i, sub := range s.Subsections {
						first = append(first,
							document.ContentsItem{Label: "A.1." + words.Itoa(i+1) + " " + shortTitle(sub),
								Anchor: sub.ID})
					}
					continue
				}
				item := document.ContentsItem{Label: s.Number + " " + shortTitle(s), Anchor: s.ID}
				if len(second) < 5 {
					second = append(second, item)
				} else {
					third = append(third, item)
				}
			}
			columns = append(columns, column("A.1 Composition", first...), column("A.2 to A.6", second...),
				column("A.7 to A.10", third...))
			continue
		}
		if p.ID == "file" || p.ID == "annexes" {
			for i, s := range p.Subsections {
				last.Items = append(last.Items, document.ContentsItem{Label: p.Number + "." + words.Itoa(i+1) + " " +
					shortTitle(s), Anchor: s.ID})
			}
			continue
		}
		var items []document.ContentsItem
		for i, s := range p.Subsections {
			items = append(items, document.ContentsItem{Label: p.Number + "." + words.Itoa(i+1) + " " + shortTitle(s),
				Anchor: s.ID})
		}
		columns = append(columns, column(p.Number+" "+shortTitle(p), items...))
	}
	return &document.ContentsStrip{Columns: append(columns, last)}
}

// shortTitles are for a strip of contents, by section.
var shortTitles = map[string]string{
	"product": "Product", "formula": "Formula", "method": "Method", "composition": "Substance",
	"allergens": "Allergens", "ingredient-lists": "Label lists", "limits": "Limits", "fragrance": "Scents",
	"materials": "Materials",
	"a2":        "Physical", "a3": "Microbes", "a4": "Purity, pack", "a5": "Use", "a6": "Exposure", "a7": "Doses",
	"a8": "Toxicology", "endpoints": "Endpoints", "profiles": "Profiles", "a9": "Effects", "a10": "Other",
	"part-b": "Assessment", "b1": "Conclusion", "b2": "Warnings", "b3": "Reasoning", "b4": "Signature",
	"file": "Rest of file", "c-making": "Making", "c-claims": "Claims", "c-animals": "Animals",
	"annexes": "Annexes", "readiness": "Readiness", "contributions": "Contents", "sources": "Documents",
}

func shortTitle(s *document.Section) string {
	if t := shortTitles[s.ID]; t != "" {
		return t
	}
	return s.Title
}

// openPoint is one thing that suppliers or the maker have to settle, or that is worth
// knowing.
type openPoint struct {
	code, group, whom, what, why, where string

	points []workshop.Accepted // the findings behind it; none for what is only worth knowing
	stops  bool
}

// openList lists the open points by who must act, numbered.
func openList(v *show.View) []openPoint {
	var list []openPoint
	groups := []struct {
		title string
		in    func(f finding.Finding) bool
	}{
		{"Stops the product", func(f finding.Finding) bool { return f.Severity == finding.Stop }},
		{"Asked of suppliers", func(f finding.Finding) bool {
			return f.Severity == finding.Ask &&
				goesTo(f, finding.RoleSupplier)
		}},
		{"Asked of a laboratory", func(f finding.Finding) bool {
			return f.Severity == finding.Ask && !goesTo(f, finding.RoleSupplier) && goesTo(f, finding.RoleLaboratory)
		}},
		{"Due from the maker", func(f finding.Finding) bool {
			return f.Severity == finding.Ask && !goesTo(f, finding.RoleSupplier) &&
				!goesTo(f, finding.RoleLaboratory) && !onlyAssessor(f)
		}},
		{"To know", func(f finding.Finding) bool { return f.Severity == finding.Note }},
	}
	for _, g := range groups {
		at := map[string]int{}
		for _, f := range v.Findings() {
			if !g.in(f) {
				continue
			}
			said := words.Say(&f, words.Assessor)
			what := about(&said, v)
			if f.Code == "dossier-open" {
				what += " (D.1)"
			}
			if i, known := at[what]; known { // the same of another variant or market
				list[i].where = words.Joined("; ", list[i].where, where(&f))
				list[i].points = withPoint(list[i].points, f)
				continue
			}
			at[what] = len(list)
			o := openPoint{code: answer.Code("O", len(list)+1), group: g.title,
				whom: words.UpperFirst(words.Whom(f.Who)), what: sentence(what),
				why: firstReason(said.Why), where: where(&f), stops: f.Severity == finding.Stop}
			if f.Severity != finding.Note {
				o.points = withPoint(nil, f)
			}
			list = append(list, o)
		}
	}
	return list
}

// sentence begins with a capital, save where it begins with a file that is cited by
// its number.
func sentence(s string) string {
	if strings.HasPrefix(s, "evidence/") {
		return s
	}
	return words.UpperFirst(s)
}

// firstReason is the first of several reasons, and what names the law of each further
// market: the others stand in the spreadsheet.
func firstReason(why string) string {
	reasons := strings.Split(why, "; ")
	n := 1
	if len(reasons) > 1 && len(reasons[0])+len(reasons[1]) < 140 {
		n = 2
	}
	for all := len(marketsIn(why)); n < len(reasons) && len(marketsIn(strings.Join(reasons[:n], "; "))) < all; n++ {
	}
	return strings.Join(reasons[:n], "; ")
}

// marketRE is a market as it stands behind the law of a reason.
var marketRE = pattern.New(`(?:, | and )(GB|EU|NI)\b`)

func marketsIn(why string) (markets []string) {
	for _, m := range marketRE.FindAllStringSubmatch(why, -1) {
		markets = words.AddOnce(markets, m[1])
	}
	return markets
}

func goesTo(f finding.Finding, role finding.Role) bool {
	for _, p := range f.Who {
		if p.Role == role {
			return true
		}
	}
	return false
}
