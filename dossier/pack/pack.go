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
//
// On the pages stands what a judgement rests on; the sheets of the workbook hold the
// rest: see [rest].
func Build(a *assess.Assessment) *document.Document {
	v := show.Show(a, "")
	d := v.Document("Information for the safety assessment")
	d.Dense, d.NoContents = true, true
	d.Cover = cover(v)
	c := newCited(v)
	var live, more []*document.Section
	parallel.All(
		func() { live = recalc.Build(a) },
		func() { more = rest(v) },
		func() {
			d.Sections = sideBySide(func() *document.Section { return partA(v, c) }, func() *document.Section { return partB(v) },
				func() *document.Section { return restOfFile(v) })
		},
	)
	d.Sections = append(d.Sections, annexes(v, c)) // it lists the sources that the parts cite
	d.Sections = append([]*document.Section{summarySection(v, d.Sections)}, d.Sections...)
	d.Workbook = append(live, more...)
	onSheets(append(slices.Clone(d.Sections), more...))
	d.NumberSections()
	c.cite(d)
	return d
}

// sections builds sections side by side and returns them in their order.
func sideBySide(build ...func() *document.Section) []*document.Section {
	out := make([]*document.Section, len(build))
	parallel.Each(len(build), func(i int) { out[i] = build[i]() })
	return out
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

// plain is a table for the pages alone: it goes into no workbook.
func plain(t *document.Table) *document.Table {
	t.SheetName = ""
	return t
}

// withoutUnfilled leaves out the columns that nobody filled and names them once.
func withoutUnfilled(t *document.Table, why string) *document.Table {
	var gone []string
	for i := len(t.Columns) - 1; i > 0; i-- {
		filled := len(t.Rows) == 0
		for _, r := range t.Rows {
			filled = filled || i < len(r.Cells) && r.Cells[i].Kind != document.CellMissing && r.Cells[i].Kind != document.CellBlank
		}
		if filled {
			continue
		}
		gone = append([]string{lowered(t.Columns[i].Head)}, gone...)
		t.Columns = slices.Delete(slices.Clone(t.Columns), i, i+1)
		for j, r := range t.Rows {
			if i < len(r.Cells) {
				t.Rows[j].Cells = slices.Delete(slices.Clone(r.Cells), i, i+1)
			}
		}
	}
	if len(gone) > 0 {
		t.Note("□ " + why + " for any: " + words.JoinNames(gone) + ".")
	}
	return t
}

// without leaves out the columns with the given heads.
func without(t *document.Table, heads ...string) *document.Table {
	for i := len(t.Columns) - 1; i >= 0; i-- {
		if !slices.Contains(heads, t.Columns[i].Head) {
			continue
		}
		t.Columns = slices.Delete(slices.Clone(t.Columns), i, i+1)
		for j, r := range t.Rows {
			if len(r.Cells) > i && r.Kind != document.RowGroup {
				t.Rows[j].Cells = slices.Delete(slices.Clone(r.Cells), i, i+1)
			}
		}
	}
	return t
}

// lowered begins with a small letter, save for abbreviations and pH.
func lowered(s string) string {
	if len(s) > 1 && strings.ToUpper(s[1:2]) == s[1:2] {
		return s
	}
	return strings.ToLower(s[:min(1, len(s))]) + s[min(1, len(s)):]
}
