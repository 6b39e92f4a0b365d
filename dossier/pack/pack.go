package pack

import (
	"slices"
	"strings"

	"gallipot/dossier/assess"
	"gallipot/dossier/document"
	"gallipot/dossier/parallel"
	"gallipot/dossier/recalc"
	"gallipot/dossier/show"
	"gallipot/dossier/words"
	"gallipot/ingredients/finding"
)

// Build builds the document for the assessor: everything computed for a product
// and everything still open. Its parts are built side by side: each reads the
// assessment and changes nothing in it.
func Build(a *assess.Assessment) *document.Document {
	v := show.Show(a, "")
	v.WithContributions = true
	d := v.Document("Information for the safety assessment")
	parallel.All(
		func() { d.Workbook = recalc.Build(a) },
		func() {
			d.Sections = sections(func() *document.Section { return summarySection(v) }, func() *document.Section { return partA(v) }, func() *document.Section { return partB(v) }, func() *document.Section { return restOfFile(v) }, func() *document.Section { return annexes(v) })
		},
		func() { d.Cover = cover(v) },
	)
	d.NumberSections()
	return d
}

// sections builds sections side by side and returns them in their order.
func sections(build ...func() *document.Section) []*document.Section {
	out := make([]*document.Section, len(build))
	parallel.Each(len(build), func(i int) { out[i] = build[i]() })
	return out
}

// mostOnCover is how many variants the cover names.
const mostOnCover = 10

func cover(v *show.View) *document.Cover {
	p := v.A.Product
	var variants, markets []string
	for _, x := range p.Variants {
		variants = append(variants, show.VariantName(x))
	}
	if n := len(variants); n > mostOnCover {
		variants = append(variants[:mostOnCover:mostOnCover], "and "+words.Itoa(n-mostOnCover)+" more, each in the annex of ingredient lists")
	}
	for _, m := range v.A.Markets {
		markets = append(markets, string(m))
	}
	c := &document.Cover{Kicker: v.A.Workshop.Maker.Name, Facts: []document.Fact{
		{Label: "Product", Value: document.TextCell(p.Name)},
		{Label: "Product type", Value: document.TextCell(v.TypeName())},
		{Label: "Variants", Value: document.TextCell(strings.Join(variants, "\n"))},
		{Label: "Markets", Value: document.TextCell(strings.Join(markets, ", "))},
		{Label: "Revision", Value: document.IntCell(p.Revision)},
		{Label: "Law on", Value: document.DateCell(v.A.Options.Date)},
		{Label: "Law in the tables to", Value: document.TextCell(lawTo(v))},
		{Label: "Fingerprint", Value: document.TextCell(v.A.Fingerprint)},
	}}
	c.Blocks = append(c.Blocks, document.Caution("What this is not",
		"This pack prepares data. It is not a safety assessment and gives no permission to sell. A qualified safety assessor must check it, decide and sign; the responsible person stays answerable for the product. Missing data are named as missing and count nowhere as zero."),
		countFigures(v))
	if stops := v.StopCallout(); stops != nil {
		c.Blocks = append(c.Blocks, stops)
	}
	c.Blocks = append(c.Blocks, nextSteps(v), readinessCover(v))
	if v.A.Workshop.Invented {
		c.Blocks = append(c.Blocks, &document.Callout{Kind: document.CalloutNote, Title: "Invented data", Body: []*document.Paragraph{document.Para("The workshop, its suppliers, products and figures are invented for demonstration.")}})
	}
	return c
}

func countFigures(v *show.View) *document.KeyFigures {
	n := finding.Count(v.Findings())
	return &document.KeyFigures{Items: []document.KeyFigure{
		{Label: "Stop", Value: document.IntCell(n.Stop), Note: "against a law, a certificate or a Standard, or not computable"},
		{Label: "Ask", Value: document.IntCell(n.Ask), Note: "someone must supply or decide"},
		{Label: "Note", Value: document.IntCell(n.Note), Note: "worth knowing"},
	}}
}

// lawTo says up to which day the annexes of the product's markets are in the
// tables.
func lawTo(v *show.View) string {
	var parts []string
	for _, m := range v.A.Markets {
		part := string(m) + " " + v.A.Options.Law.StateOf(m).ConsolidatedTo.String()
		if !slices.Contains(parts, part) {
			parts = append(parts, part)
		}
	}
	return strings.Join(parts, ", ")
}
