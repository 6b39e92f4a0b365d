package pack

import (
	"gallipot/calc/listing"
	"gallipot/dossier/document"
	"gallipot/dossier/profile"
	"gallipot/dossier/sections"
	"gallipot/dossier/show"
	"gallipot/dossier/stability"
	"gallipot/dossier/words"
)

// rest is what stands in the workbook alone: the full tables behind the pages, and
// what serves the maker more than the judgement.
func rest(v *show.View) []*document.Section {
	full := []struct {
		id, title, sheet string
		build            func() *document.Section
	}{
		{"rest-composition", "Composition of every variant and portion", "Composition",
			func() *document.Section { return sections.CompositionSection(v) }},
		{"rest-allergens", "Allergens of every variant", "Allergens",
			func() *document.Section { return sections.AllergensSection(v).Add(unstatedTable(v)) }},
		{"rest-lists", "Ingredient lists to copy", "Ingredient lists",
			func() *document.Section { return (&document.Section{}).Add(sections.ListTable(v)) }},
		{"rest-limits", "Legal limits with their rows", "Limits",
			func() *document.Section { return sections.LimitsSection(v) }},
		{"rest-considered", "Limits that do not apply", "Limits",
			func() *document.Section { return sections.LimitsConsideredSection(v) }},
		{"rest-impurities", "Impurities to expect", "Purity",
			func() *document.Section { return profile.ExpectedInFull(v) }},
		{"rest-traces", "Impurities and traces", "Traces",
			func() *document.Section { return only(sections.ImpuritiesSection(v), "margins-traces") }},
		{"rest-materials", "Raw materials", "Raw materials",
			func() *document.Section { return sections.FunctionsSection(v) }},
		{"rest-doses", "Doses", "Doses", func() *document.Section { return sections.DosesSection(v) }},
		{"rest-margins", "Margins", "Margins", func() *document.Section { return sections.MarginsSection(v) }},
		{"rest-micro", "Microbiology", "Microbiology",
			func() *document.Section { return only(sections.MicrobiologySection(v), "micro-limits") }},
		{"rest-challenge", "Challenge tests by criterion", "Challenge",
			func() *document.Section { return only(stability.ChallengeSection(v), "challenge-") }},
		{"rest-gaps", "Gaps", "Gaps", func() *document.Section { return sections.GapsSection(v) }},
		{"rest-headroom", "Headroom", "Headroom", func() *document.Section { return sections.HeadroomSection(v) }},
		{"rest-readiness", "Readiness with legal basis", "Readiness",
			func() *document.Section { return sections.ReadinessSection(v) }},
		{"rest-contributions", "Contributions", "Contributions",
			func() *document.Section { return sections.ContributionsSection(v) }},
		{"rest-sources", "Sources and documents", "Sources",
			func() *document.Section { return sections.SourcesSection(v) }},
		{"rest-findings", "Findings", "Findings", func() *document.Section { return sections.FindingsSection(v) }},
		{"rest-questions", "Questions", "Questions",
			func() *document.Section { return sections.QuestionsSection(v) }},
	}
	build := make([]func() *document.Section, len(full))
	for i, f := range full {
		build[i] = func() *document.Section { return f.build() }
	}
	out := sideBySide(build...)
	for i, s := range out {
		s.ID, s.Title = full[i].id, full[i].title
		forWorkbook(s, full[i].id, full[i].sheet)
	}
	return out
}

// forWorkbook gives every section an anchor of its own and every table a sheet, and takes out the charts.
func forWorkbook(s *document.Section, id, sheet string) {
	sections.WithoutCharts(s)
	for i, sub := range s.Subsections {
		sub.ID = id + "-" + words.Itoa(i+1)
		forWorkbook(sub, sub.ID, sheet)
	}
	for _, b := range s.Blocks {
		if t, ok := b.(*document.Table); ok && t.SheetName == "" {
			t.SheetName = sheet
		}
	}
}

// unstatedTable lists the names that no document speaks of, by variant and market.
func unstatedTable(v *show.View) *document.Table {
	t := &document.Table{ID: "allergens-unstated", Title: "Names not stated by a supplier: unknown, not zero",
		SheetName: "Allergens", InWorkbook: true, Empty: "Every name of the lists is stated.",
		Columns: []document.Column{{Head: "Variant", Fixed: true}, {Head: "Market"},
			{Head: "Label name", Weight: 1.5}, {Head: "Not stated by"}}}
	for _, x := range v.Variants {
		for _, r := range v.A.ByVariant(x.ID) {
			for _, a := range r.Allergens {
				if a.Verdict == listing.Unstated && a.Worst.IsZero() {
					t.Add(document.TextCell(show.ShortName(x)), document.TextCell(string(r.Input.Market)),
						document.TextCell(a.LabelName), document.TextCell(words.JoinNames(a.Uncovered)))
				}
			}
		}
	}
	return t
}

// sheetOf gathers the tables of a pack on fewer sheets than the subjects have.
var sheetOf = map[string]string{
	"Changes": "Product", "Process": "Product", "Product papers": "Product", "Effects": "Product",
	"Formula, base": "Formula", "Formula, variants": "Formula", "Soap": "Formula",
	"Composition, range": "Composition", "Portions": "Composition", "Allergens, range": "Allergens",
	"Ingredient lists": "Product", "Open order": "Product", "Label wording": "Product",
	"Fragrance": "Limits", "Standards": "Limits", "Characteristics": "Raw materials",
	"Readings": "Tests", "Trends": "Tests", "Stability": "Tests", "Microbiology": "Tests",
	"Challenge": "Tests", "Due readings": "Tests",
	"Traces": "Raw materials", "Criteria": "Raw materials", "Purity": "Raw materials",
	"Findings": "Readiness", "Label lists": "Product",
	"Doses": "Exposure", "Local dose": "Exposure", "Aggregate": "Margins", "MoS arithmetic": "Margins",
	"No margin": "Margins", "Gaps": "Margins",
	"Headroom by rule": "Headroom", "Label changes": "Headroom", "Papers": "Sources", "Questions": "Readiness",
}

// onSheets puts the tables of sections on the sheets of a pack.
func onSheets(list []*document.Section) {
	(&document.Document{Sections: list}).Walk(func(s *document.Section, _ int) {
		for _, b := range document.Flat(s.Blocks) {
			t, ok := b.(*document.Table)
			if !ok {
				continue
			}
			if sheet := sheetOf[t.SheetName]; sheet != "" {
				t.SheetName = sheet
			}
		}
	})
}
