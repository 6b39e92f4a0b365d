package recalc

import (
	"gallipot/calc/exposure"
	"gallipot/calc/law"
	"gallipot/dossier/document"
	"gallipot/dossier/show"
	"gallipot/dossier/words"
)

// The tables of the guide, by their IDs, and its sheet.
const (
	guideSheet    = "Recalc"
	tableLegend   = "recalc-legend"
	tableGuide    = "recalc-guide"
	tableOutcomes = "recalc-outcomes"
	tableRules    = "recalc-rules"
)

// guideSection says how the sheets hang together, and sums them up.
func (m *model) guideSection(sections []*document.Section) *document.Section {
	s := &document.Section{ID: "recalc-guide-section", Title: "Recalculation: how to use it"}
	columns := []document.Column{{Head: "What", Fixed: true, Weight: 1.4}, {Key: "value", Head: "Value"},
		{Head: "How"}}
	return s.Add(m.legend(columns), m.guideTable(sections), m.outcomes(columns, sections),
		m.changed(sections), m.rules(columns))
}

// legend shows what the cells look like.
func (m *model) legend(columns []document.Column) *document.Table {
	t := &document.Table{ID: tableLegend, Title: "Cells", SheetName: guideSheet, Columns: columns}
	t.Add(document.TextCell("Input"), document.IntCell(1).
		Open(document.Input{Title: "An input",
			Source: "This one is for trying out; nothing follows from it"}), document.TextCell("May be changed. A note beside it says what it takes and where its value comes from."))
	t.Add(document.TextCell("Input that follows"), document.IntCell(1).Computed("{value@0}").
		Open(document.Input{Title: "An input that follows",
			Source: "Holds a formula until something is typed over it"}.Following()), document.TextCell("Holds a formula until a value is typed over it: one mixture may then differ from the others."))
	t.Add(document.TextCell("All other cells"), document.IntCell(1).Computed("{value@0}"),
		document.TextCell("Protected from slips, without a password."))
	return t.Note("What is changed here is a trial: it is in no file of the maker's, and the fingerprint of the pack does not stand for it. To keep a change, make it in the product file or the sheet and make the pack again.")
}

// guideTable leads to the tables in the order in which they follow from each
// other.
func (m *model) guideTable(sections []*document.Section) *document.Table {
	t := &document.Table{ID: tableGuide, Title: "From the formula to the margin", SheetName: guideSheet,
		Columns: []document.Column{{Head: "Table", Fixed: true, Weight: 1.4}, {Head: "Sheet"},
			{Head: "Follows from"}}}
	from := map[string]string{
		tableWritten: "inputs", tableShares: "inputs", tableAdded: "inputs", tablePortions: "inputs", tableUse: "the tables above", tableContents: "inputs, and the raw materials in each mixture",
		TableMost: "contents × raw materials", TableTypical: "contents × raw materials", TableLeast: "contents × raw materials",
		totalsTable(bounds[0]): "substances", totalsTable(bounds[1]): "substances", totalsTable(bounds[2]): "substances",
		tableThresholds: "inputs", TableLimits: "highest contents", tableCertificates: "raw materials in each mixture",
		tableStandards: "highest contents", tableThreshold: "doses", tableRoom: "bounds, contents and raw materials",
		tableDeclare: "totals of allergens and thresholds", tableExposure: "inputs", tableInhalation: "inputs and exposure",
		TableMargins: "inputs, highest contents and exposure", tableMoS: "doses and points of departure", tableAggregate: "inputs, highest contents and points of departure", tableDoses: "contents, exposure and absorption", tableSources: "papers and tables behind the inputs",
	}
	for _, s := range sections {
		for _, b := range s.Blocks {
			if x, ok := b.(*document.Table); ok {
				t.Add(document.TextCell(x.Title), document.LinkCell(x.SheetName, x.ID), document.TextCell(from[x.ID]))
			}
		}
	}
	return t
}

// outcomes sums up what the sheets come to.
func (m *model) outcomes(columns []document.Column, sections []*document.Section) *document.Table {
	t := &document.Table{ID: tableOutcomes, Title: "What it comes to", SheetName: guideSheet, Columns: columns}
	lowest, highest := mixtureTotal(m.columns[0]), mixtureTotal(m.columns[0])
	for _, c := range m.columns {
		lowest, highest = lowest.Min(mixtureTotal(c)), highest.Max(mixtureTotal(c))
	}
	totals := "{" + tableUse + "!" + m.span() + "@" + words.Itoa(len(m.materials)) + "}"
	t.Add(document.TextCell("Lowest total of any mixture, %"), document.PctCell(lowest).
		Computed("MIN("+totals+")"), document.TextCell("has to be 100"))
	t.Add(document.TextCell("Highest total of any mixture, %"), document.PctCell(highest).
		Computed("MAX("+totals+")"), document.TextCell("has to be 100"))
	count := func(what, table, column, words, how string) {
		x := tableOf(sections, table)
		if x == nil {
			return
		}
		n := 0
		for _, r := range x.Rows {
			for i, col := range x.Columns {
				if r.Kind == document.RowData && col.Key == column && verdictText(r.Cells[i]) == words {
					n++
				}
			}
		}
		t.Add(document.TextCell(what), document.IntCell(n).Computed(`COUNTIF({`+table+`!`+column+`},"`+words+`")`),
			document.TextCell(how))
	}
	if x := tableOf(sections, TableMargins); x != nil {
		least := 0.0
		for i := range x.Rows {
			if mos := figureIn(x, i, "mos"); mos > 0 && (least == 0 || mos < least) {
				least = mos
			}
		}
		cell := document.MissingCell("none")
		if least > 0 {
			cell = document.FloatCell(least, document.RatioDigits)
		}
		const margins = "{" + TableMargins + "!mos}"
		t.Add(document.TextCell("Smallest margin of safety"),
			cell.Computed("IF(COUNT("+margins+")>0,MIN("+margins+`),"none")`).
				Named("MoS_smallest"), document.TextCell("targets differ: see the sheet"))
	}
	count("Margins below their target", TableMargins, "verdict",
		verdictText(show.MarginVerdict(exposure.MarginBelow)), "of those that are computed")
	count("Margins that differ from the pack", TableMargins, "same", "differs",
		"0 as long as nothing is changed")
	count("Limits exceeded", TableLimits, "now", verdictText(overCell(true)), "of those with a figure")
	count("Certificates exceeded", tableCertificates, "now", verdictText(overCell(true)), "scent by scent")
	count("Standards exceeded", tableStandards, "now", verdictText(overCell(true)),
		"by what the suppliers disclose")
	count("Doses above a threshold of concern", tableThreshold, "now", verdictText(screenCell(true)),
		"of substances without a point of departure")
	count("Raw materials beyond a rule", tableRoom, "now", verdictText(overCell(true)), "by rule")
	count("Allergens whose verdict differs from the pack", tableDeclare, "same", "differs",
		"0 as long as nothing is changed")
	return t
}

func tableOf(sections []*document.Section, id string) *document.Table {
	for _, s := range sections {
		for _, b := range s.Blocks {
			if t, ok := b.(*document.Table); ok && t.ID == id {
				return t
			}
		}
	}
	return nil
}

// rules are the figures of the tables that the formulas use.
func (m *model) rules(columns []document.Column) *document.Table {
	t := &document.Table{ID: tableRules, Title: "Rules", SheetName: guideSheet, Columns: columns}
	f := law.Fact(m.v.A.Options.Law, "percent-sum-tolerance")
	return t.Add(document.TextCell("Typed percentages may miss 100 by, %"),
		document.NumCell(f.Number, document.RuleExact).
			Named(toleranceName), document.TextCell(f.Source+" (facts.csv, row "+f.Key+")"))
}
