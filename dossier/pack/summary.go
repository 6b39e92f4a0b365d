package pack

import (
	"fmt"
	"slices"
	"strings"

	"gallipot/calc"
	"gallipot/calc/formula"
	"gallipot/calc/law/rows"
	"gallipot/calc/limits"
	"gallipot/calc/listing"
	"gallipot/dossier/document"
	"gallipot/dossier/evidence"
	"gallipot/dossier/ready"
	"gallipot/dossier/sections"
	"gallipot/dossier/show"
	"gallipot/dossier/words"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// summarySection stands before the report: what the product is and what the law says
// of it, what has to be decided, what is open and where everything stands.
func summarySection(v *show.View, parts []*document.Section, p profiles) *document.Section {
	s := &document.Section{ID: "summary", Number: "S", Title: "Summary", Quiet: true}
	s.Subsections = []*document.Section{productAndLaw(v), decisions(v), openPoints(v, parts, p.volume(v))}
	return s
}

// productAndLaw is the first page: six answers, the product, its variants, and the
// verdict of the law in each market.
func productAndLaw(v *show.View) *document.Section {
	s := &document.Section{ID: "product-law", Title: "The product and the law"}
	about := "This pack prepares data. It is not a safety assessment and gives no permission to sell: a qualified safety assessor checks it, decides and signs; the responsible person stays answerable for the product. What is missing is named and is never counted as zero."
	if v.A.Workshop.Invented {
		about += " The workshop, its suppliers, products and figures are invented for demonstration."
	}
	s.Add(&document.Callout{Kind: document.CalloutCaution, Body: []*document.Paragraph{document.Para(about)}},
		answers(v))
	if stops := v.StopCallout(); stops != nil {
		s.Add(stops)
	}
	return s.Add(faceAndFacts(v)...).Add(variantsTable(v), lawByMarket(v))
}

// answers are the figures that a judgement hangs on, at a glance.
func answers(v *show.View) *document.KeyFigures {
	k := &document.KeyFigures{}
	for _, m := range v.A.Markets {
		verdict, note := marketVerdict(v, m)
		k.Items = append(k.Items, document.KeyFigure{Label: "Law, " + string(m), Value: verdict, Note: note})
	}
	margins := lowestMargins(v)
	low := document.KeyFigure{Label: "Lowest margin", Value: document.MissingCell("none computed")}
	if len(margins) > 0 {
		low.Value, low.Note = margins[0].cell(),
			margins[0].name+", "+margins[0].of+"; target "+document.PlainFloat(margins[0].target)
	}
	none, all := withoutValue(v), len(sections.WorstMargins(v))
	tested := testedVariants(v)
	toAssessor, toOthers := len(questions(v)), len(openList(v))
	k.Items = append(k.Items, low,
		document.KeyFigure{Label: "Without a value",
			Value: document.TextCell(fmt.Sprintf("%d of %d", len(none),
				all)), Note: "substances without a dose to compare with"},
		document.KeyFigure{Label: "Tested",
			Value: document.TextCell(fmt.Sprintf("%d of %d", len(tested),
				len(v.Variants))), Note: "variants by a batch on record"},
		document.KeyFigure{Label: "To be answered",
			Value: document.TextCell(fmt.Sprintf("%d + %d", toAssessor,
				toOthers)), Note: "by you (S.2), by suppliers and maker (S.3)"})
	return k
}

// marketVerdict sums up what the law of a market says of all variants.
func marketVerdict(v *show.View, m rows.Market) (document.Cell, string) {
	exceeded, open := 0, 0
	for _, row := range sections.LimitRows(v) {
		if !slices.Contains(row.Markets, m) {
			continue
		}
		switch row.Check.Verdict {
		case limits.LimitExceeded:
			exceeded++
		case limits.LimitUndecided:
			open++
		}
	}
	var notes []string
	stopped := slices.ContainsFunc(v.Findings(), func(f finding.Finding) bool {
		return f.Severity == finding.Stop && (len(f.Markets) == 0 || slices.Contains(f.Markets, string(m)))
	})
	if stopped {
		notes = append(notes, "what stops it: see below")
	}
	if state := itemState(v, "N1"); state == evidence.ReadyMissing {
		notes = append(notes, "■ not notified")
	}
	if itemState(v, "A2d") == evidence.ReadyMissing {
		notes = append(notes, "■ durability without basis")
	}
	switch {
	case exceeded > 0:
		return document.VerdictCell(document.VerdictFail,
				"exceeded"), strings.Join(append([]string{words.Count(exceeded, "limit", "limits") + " exceeded"},
				notes...), "\n")
	case open > 0:
		return document.VerdictCell(document.VerdictOpen,
				"open"), strings.Join(append([]string{words.Count(open, "limit", "limits") + " not decided"},
				notes...), "\n")
	}
	if stopped {
		return document.VerdictCell(document.VerdictFail, "stopped"), strings.Join(append([]string{"no limit exceeded"},
			notes...), "\n")
	}
	return document.VerdictCell(document.VerdictMet, "limits kept"), strings.Join(append([]string{"no limit exceeded"},
		notes...), "\n")
}

// itemState is the state of an item of the file.
func itemState(v *show.View, id string) evidence.ReadyState {
	for _, x := range ready.Readiness(v.A) {
		if x.ID == id {
			return x.State
		}
	}
	return ""
}

// fullest is the variant with the longest list, whose label is the hardest to read.
func fullest(v *show.View) *formula.Variant {
	x := v.Variants[0]
	for _, y := range v.Variants[1:] {
		if len(v.First(y).List.Line()) > len(v.First(x).List.Line()) {
			x = y
		}
	}
	return x
}

// labelText is what the label of the fullest variant has to say.
func labelText(v *show.View) *document.Table {
	p, x := v.A.Product, fullest(v)
	t := &document.Table{ID: "label-face", Title: "Label face in words",
		Remark: variantOrProduct(v, show.VariantName(x), x.ID), Columns: []document.Column{{Head: "Item"},
			{Head: "On the label", Kind: document.KindText}}}
	t.Add(document.TextCell("Warnings"), show.TextOr(sections.Sentences(p.Warnings)))
	t.Add(document.TextCell("Directions"), show.TextOr(p.Directions.Text))
	longest := sections.ListGroup{}
	for _, g := range sections.SameLists(v, x) {
		if longest.Result == nil || len(longest.Result.List.Line()) < len(g.Result.List.Line()) {
			longest = g
		}
	}
	t.Add(document.TextCell("Ingredients, "+strings.Join(longest.Markets, ", ")),
		document.TextCell(longest.Result.List.Line()))
	return t
}

// productInShort are the facts that an assessor asks for first.
func productInShort(v *show.View) *document.Table {
	p := v.A.Product
	var markets []string
	for _, m := range v.A.Markets {
		markets = append(markets, string(m))
	}
	t := &document.Table{ID: "product-short", Title: "Product", Columns: []document.Column{{Head: "Item"},
		{Head: "As stated", Kind: document.KindText}}}
	ph := document.MissingCell("not stated")
	if p.Specification.PH != nil {
		ph = show.NumRangeCell(*p.Specification.PH)
	}
	signed := document.TextCell("first assessment: none is on record")
	if last := p.Newest(); last != nil {
		signed = document.TextCell(last.Dated.String() + " by " + last.Assessor + ", figures " + last.Fingerprint)
	}
	for _, f := range []struct {
		label string
		cell  document.Cell
	}{
		{"Type", document.TextCell(v.TypeName())},
		{"Contact", document.TextCell(v.RinseText() + "; " + words.OrWord(strings.Join(p.BodyAreas, ", "),
			"body area not stated"))},
		{"Users", document.TextCell(string(p.IntendedFor) + "; professional use only: " +
			sections.ProfessionalCell(p.Professional).Text)},
		{"Content", sections.NetCell(v)}, {"Pack",
			sections.OneLine(show.TextOr(sections.PackText(v)))}, {"Durability",
			sections.DurabilityCell(v)}, {"pH", ph},
		{"Claims", document.TextCell(words.Count(len(p.Claims), "claim", "claims"))},
		{"Made in", sections.OriginCell(v)}, {"Markets", document.TextCell(strings.Join(markets, ", "))},
		{"Assessed", signed},
	} {
		t.Add(document.TextCell(f.label), f.cell)
	}
	return t
}

// variantsTable says what sets each variant apart, and how many allergens it names.
func variantsTable(v *show.View) *document.Table {
	t := &document.Table{ID: "variants", Title: "Variants",
		Remark: "below each market: how many allergens the label of the variant names",
		Columns: []document.Column{{Head: "Short"}, {Head: "Name"}, {Head: "Has besides the base, % w/w",
			Weight: 2}}}
	for _, m := range v.A.Markets {
		t.Columns = append(t.Columns, document.Column{Head: string(m), Kind: document.KindNumber})
	}
	for _, x := range v.Variants {
		var own []string
		for _, share := range v.First(x).Recipe.Whole.Shares {
			if share.Slot != "" || share.Added {
				own = append(own, materialName(v, share.Ingredient)+" "+document.FormatPct(share.Pct))
			}
		}
		row := []document.Cell{document.TextCell(words.OrWord(x.ID, v.A.Product.ID)),
			document.TextCell(variantOrProduct(v, show.VariantName(x),
				x.ID)), document.TextCell(words.OrWord(strings.Join(own, "; "), "nothing"))}
		for _, m := range v.A.Markets {
			named := 0
			for _, r := range v.A.ByVariant(x.ID) {
				if r.Input.Market == m {
					named = onLabel(r)
				}
			}
			row = append(row, document.IntCell(named))
		}
		t.Add(row...)
	}
	return t
}

func onLabel(r *calc.Result) (n int) {
	for _, a := range r.Allergens {
		if a.OnLabel() {
			n++
		}
	}
	return n
}

// lawAnnexes are the annexes of Regulation (EC) 1223/2009 in the order of the table.
var lawAnnexes = []struct{ annex, subject string }{
	{"II", "Prohibited substances"}, {"III", "Restricted substances"}, {"IV", "Colourants"}, {"V",
		"Preservatives"}, {"VI", "UV filters"},
}

// lawByMarket is the verdict of the law, subject by subject, in a column for each
// market.
func lawByMarket(v *show.View) *document.Table {
	t := &document.Table{ID: "law-by-market", Title: "The law by market",
		Remark:  "verdicts on the highest content of any variant or portion; details in A.1.7",
		Columns: []document.Column{{Head: "Subject"}, {Head: "Annex, Article"}}}
	for _, m := range v.A.Markets {
		t.Columns = append(t.Columns, document.Column{Head: string(m), Unit: "read to " +
			v.A.Options.Law.StateOf(m).ConsolidatedTo.String(), Kind: document.KindText})
	}
	t.Columns = append(t.Columns, document.Column{Head: "Remark", Weight: 2})
	all := sections.LimitRows(v)
	for _, a := range lawAnnexes {
		row := []document.Cell{document.TextCell(a.subject), document.TextCell(a.annex)}
		for _, m := range v.A.Markets {
			row = append(row, annexVerdict(all, a.annex, m))
		}
		t.Add(append(row, document.TextCell(nearestLimit(all, a.annex)))...)
	}
	t.Add(allergenLaw(v)...)
	t.Add(eachMarket(v, "Fragrance certificates", "", func(rows.Market) document.Cell { return certificates(v) },
		"self-regulation, not law; A.1.8")...)
	t.Add(classesLaw(v)...)
	for _, x := range []struct{ id, subject, article string }{{"A2d", "Basis of the durability", "19(1)(c), I A.2"},
		{"N1", "Notification", "13"}} {
		for _, item := range ready.Readiness(v.A) {
			if item.ID == x.id {
				t.Add(eachMarket(v, x.subject, x.article,
					func(rows.Market) document.Cell { return sections.StateCell(item.State) },
					sections.SentenceCase(item.Because()))...)
			}
		}
	}
	return t
}

func eachMarket(v *show.View, subject, article string, of func(rows.Market) document.Cell,
	remark string) []document.Cell {
	row := []document.Cell{document.TextCell(subject), document.TextCell(article)}
	for _, m := range v.A.Markets {
		row = append(row, of(m))
	}
	return append(row, document.TextCell(remark))
}

// annexVerdict counts the entries of an annex that apply in a market, by the gravest
// verdict.
func annexVerdict(all []*sections.LimitRow, annex string, m rows.Market) document.Cell {
	count := map[limits.LimitVerdict]int{}
	for _, row := range all {
		if row.Check.Row.Annex == annex && slices.Contains(row.Markets, m) {
			count[row.Check.Verdict]++
		}
	}
	applying := count[limits.LimitKept] + count[limits.LimitNoFigure]
	switch {
	case count[limits.LimitExceeded] > 0:
		return document.VerdictCell(document.VerdictFail,
			whole("exceeded: "+words.Itoa(count[limits.LimitExceeded])))
	case count[limits.LimitUndecided] > 0:
		return document.VerdictCell(document.VerdictOpen, whole("open: "+words.Itoa(count[limits.LimitUndecided])))
	case applying == 0:
		return document.VerdictCell(document.VerdictMet, whole("none found"))
	}
	return document.VerdictCell(document.VerdictMet, whole("kept: "+words.Count(applying, "entry", "entries")))
}

// nearestLimit names the content that comes nearest to its limit.
func nearestLimit(all []*sections.LimitRow, annex string) string {
	var best *sections.LimitRow
	var most exact.Num
	for _, row := range all {
		c := row.Check
		if c.Row.Annex != annex || c.LimitPct == nil || c.LimitPct.IsZero() ||
			c.Verdict == limits.LimitNotApplicable {
			continue
		}
		if share := c.Content.Max.Quo(*c.LimitPct); best == nil || most.Less(share) {
			best, most = row, share
		}
	}
	if best == nil {
		return "compared by name and number"
	}
	c := best.Check
	return "nearest its limit: " + words.JoinNames(c.Substances) + ", " +
		document.FormatNum(c.Content.Max, document.RulePctBeside(*c.LimitPct)) + " of " +
		document.FormatPct(*c.LimitPct) + " %"
}

// allergenLaw says how many allergens a label names with certainty and by caution.
func allergenLaw(v *show.View) []document.Cell {
	var straddling []string
	row := []document.Cell{document.TextCell("Allergens on the label"), document.TextCell("III")}
	for _, m := range v.A.Markets {
		named, caution := []string{}, []string{}
		for _, x := range v.Variants {
			for _, r := range v.A.ByVariant(x.ID) {
				if r.Input.Market != m {
					continue
				}
				for _, a := range r.Allergens {
					switch {
					case a.Verdict == listing.Open:
						caution = words.AddOnce(caution, a.LabelName)
						straddling = words.AddOnce(straddling, a.LabelName)
					case a.OnLabel():
						named = words.AddOnce(named, a.LabelName)
					}
				}
			}
		}
		verdict := document.VerdictCell(document.VerdictMet, "named: "+words.Itoa(len(named)))
		if len(caution) > 0 {
			verdict = document.VerdictCell(document.VerdictOpen,
				whole(fmt.Sprintf("%d, %d by caution", len(named), len(caution))))
		}
		row = append(row, verdict)
	}
	remark := "each name once over all variants; A.1.5"
	if len(straddling) > 0 {
		remark += "; " + words.JoinNames(straddling) + " may be on either side of the threshold"
	}
	return append(row, document.TextCell(remark))
}

// certificates is the gravest verdict on the fragrances of any variant.
func certificates(v *show.View) document.Cell {
	state, n := document.VerdictMet, 0
	for _, x := range v.Variants {
		for _, f := range v.First(x).Fragrances {
			state, n = max(state, sections.FragranceState(f.Status)), n+1
		}
	}
	switch {
	case n == 0:
		return document.VerdictCell(document.VerdictNone, "no fragrance")
	case state == document.VerdictFail:
		return document.VerdictCell(state, "exceeded")
	case state == document.VerdictOpen:
		return document.VerdictCell(state, "open")
	}
	return document.VerdictCell(state, "kept")
}

// classesLaw says what is on file of classified, nano and endocrine substances: nothing is
// never taken for a no, and a class of the table counts without a document.
func classesLaw(v *show.View) []document.Cell {
	state, remark := document.MissingCell("□\u00a0not\u00a0stated"), "no document on file states classification"
	for _, x := range ready.Readiness(v.A) {
		if x.ID == "N7" && x.State != evidence.ReadyNotStated {
			state, remark = sections.StateCell(x.State), "CMR: "+x.Short()
		}
	}
	nano := evidence.New(v.A).Nano()
	if len(nano) > 0 {
		state, remark = document.VerdictCell(document.VerdictOpen, "nano"), remark+"; nano: "+words.JoinNames(nano)
	} else {
		remark += "; particle size not stated"
	}
	return eachMarket(v, "CMR, nano, endocrine", "15, 16", func(rows.Market) document.Cell { return state },
		remark+"; endocrine action not stated")
}
