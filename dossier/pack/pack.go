package pack

import (
	"slices"
	"strings"
	"sync"

	"gallipot/dossier/assess"
	"gallipot/dossier/document"
	"gallipot/dossier/flat"
	"gallipot/dossier/parallel"
	"gallipot/dossier/recalc"
	"gallipot/dossier/show"
	"gallipot/dossier/words"
	"gallipot/ingredients/finding"
)

// Build builds the document for the assessor: everything computed for a product
// and everything still open. Its parts are built side by side: each reads the
// assessment and changes nothing in it.
//
// On the pages stands what a judgement rests on; the sheets of the workbook hold the
// rest: see [rest].
func Build(a *assess.Assessment) *document.Document {
	v := show.Show(a, "")
	d := v.Document("Information for the safety assessment")
	d.Dense, d.NoContents = true, true
	d.Cover = cover(v)
	c, of := newCited(v), sync.OnceValue(func() profiles { return profilesOf(v) })
	var live, more, answers []*document.Section
	var substances *document.Section
	parallel.All(
		func() { answers = answerSections(a) },
		func() {
			live = recalc.Build(a)
			substances = flat.Section(v, live)
		},
		func() { more = rest(v) },
		func() {
			d.Sections = sideBySide(func() *document.Section { return partA(v, c, of()) },
				func() *document.Section { return partB(v) },
				func() *document.Section { return restOfFile(v) })
		},
	)
	d.Sections = append(d.Sections, annexes(v, c)) // it lists the sources that the parts cite
	d.Sections = append([]*document.Section{summarySection(v, d.Sections, of())}, d.Sections...)
	forWorkbook(substances, "rest-flat", flat.Sheet)
	substances.ID, substances.Title = "rest-flat", "Substances in one table"
	more = append([]*document.Section{substances}, more...)
	d.Workbook = append(append(live, more...), answers...)
	if len(live) > 0 {
		d.ChangedAt, d.Records, d.Following = recalc.ChangedAt, []string{"Sources", "Answers"}, []string{flat.Sheet}
	}
	onSheets(append(slices.Clone(d.Sections), more...))
	d.NumberSections()
	c.cite(d)
	return d
}

// mostOnCover is how many variants the first sheet names.
const mostOnCover = 10

// cover is what heads the workbook and a web page; the pages of a pack begin with
// section S.1.
func cover(v *show.View) *document.Cover {
	p := v.A.Product
	var variants, markets []string
	for _, x := range p.Variants {
		variants = append(variants, show.VariantName(x))
	}
	if n := len(variants); n > mostOnCover {
		variants = append(variants[:mostOnCover:mostOnCover], "and "+words.Itoa(n-mostOnCover)+" more")
	}
	for _, m := range v.A.Markets {
		markets = append(markets, string(m))
	}
	return &document.Cover{Kicker: v.A.Workshop.Maker.Name, Facts: []document.Fact{
		{Label: "Product", Value: document.TextCell(p.Name)},
		{Label: "Product type", Value: document.TextCell(v.TypeName())},
		{Label: "Variants", Value: document.TextCell(strings.Join(variants, "\n"))},
		{Label: "Markets", Value: document.TextCell(strings.Join(markets, ", "))},
		{Label: "Revision", Value: document.IntCell(p.Revision)},
		{Label: "Law on", Value: document.DateCell(v.A.Options.Date)},
		{Label: "Law in the tables to", Value: document.TextCell(lawTo(v))},
		{Label: "Fingerprint", Value: document.TextCell(v.A.Fingerprint)},
	}, Blocks: []document.Block{countFigures(v)}}
}

// countFigures are the findings by severity, as a check of the product counts them.
func countFigures(v *show.View) *document.KeyFigures {
	n := finding.Count(v.Findings())
	k := &document.KeyFigures{Items: []document.KeyFigure{
		{Label: "Stop", Value: document.IntCell(n.Stop),
			Note: "against a law, a certificate or a Standard, or not computable"},
		{Label: "Ask", Value: document.IntCell(n.Ask), Note: "someone must supply or decide"},
		{Label: "Note", Value: document.IntCell(n.Note), Note: "worth knowing"},
	}}
	if n.Decided > 0 {
		k.Items = append(k.Items, document.KeyFigure{Label: "Decided", Value: document.IntCell(n.Decided),
			Note: "asked, and settled in writing"})
	}
	return k
}
