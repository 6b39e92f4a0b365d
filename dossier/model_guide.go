package dossier

import "gallipot/calc"

// The tables of the guide, by their IDs, and its sheet.
const (
	guideSheet    = "Recalc"
	tableLegend   = "recalc-legend"
	tableGuide    = "recalc-guide"
	tableOutcomes = "recalc-outcomes"
	tableRules    = "recalc-rules"
)

// guideSection says how the sheets hang together, and sums them up.
func (m *model) guideSection(sections []*Section) *Section {
	s := &Section{ID: "recalc-guide-section", Title: "Recalculation: how to use it"}
	columns := []Column{{Head: "What", Fixed: true, Weight: 1.4}, {Key: "value", Head: "Value"}, {Head: "How"}}
	return s.Add(m.legend(columns), m.guideTable(sections), m.outcomes(columns, sections), m.rules(columns))
}

// legend shows what the cells look like.
func (m *model) legend(columns []Column) *Table {
	t := &Table{ID: tableLegend, Title: "Cells", SheetName: guideSheet, Columns: columns}
	t.Add(TextCell("Input"), IntCell(1).Open(Input{Title: "An input", Source: "This one is for trying out; nothing follows from it"}), TextCell("May be changed. A note beside it says what it takes and where its value comes from."))
	t.Add(TextCell("Input that follows"), IntCell(1).Computed("{value@0}").Open(Input{Title: "An input that follows", Source: "Holds a formula until something is typed over it"}.following()), TextCell("Holds a formula until a value is typed over it: one mixture may then differ from the others."))
	t.Add(TextCell("All other cells"), IntCell(1).Computed("{value@0}"), TextCell("Protected from slips, without a password."))
	return t.Note("What is changed here is a trial: it is in no file of the maker's, and the fingerprint of the pack does not stand for it. To keep a change, make it in the product file or the sheet and make the pack again.")
}

// guideTable leads to the tables in the order in which they follow from each
// other.
func (m *model) guideTable(sections []*Section) *Table {
	t := &Table{ID: tableGuide, Title: "From the formula to the margin", SheetName: guideSheet, Columns: []Column{{Head: "Table", Fixed: true, Weight: 1.4}, {Head: "Sheet"}, {Head: "Follows from"}}}
	from := map[string]string{
		tableWritten: "inputs", tableShares: "inputs", tableAdded: "inputs", tablePortions: "inputs", tableUse: "the tables above", tableContents: "inputs, and the raw materials in each mixture",
		tableMost: "contents × raw materials", tableTypical: "contents × raw materials", tableLeast: "contents × raw materials",
		totalsTable(bounds[0]): "substances", totalsTable(bounds[1]): "substances", totalsTable(bounds[2]): "substances",
		tableThresholds: "inputs", tableDeclare: "totals of allergens and thresholds", tableExposure: "inputs", tableInhalation: "inputs and exposure",
		tableMargins: "inputs, highest contents and exposure", tableMoS: "doses and points of departure", tableAggregate: "inputs, highest contents and points of departure", tableDoses: "contents, exposure and absorption", tableSources: "papers and tables behind the inputs",
	}
	for _, s := range sections {
		for _, b := range s.Blocks {
			if x, ok := b.(*Table); ok {
				t.Add(TextCell(x.Title), LinkCell(x.SheetName, x.ID), TextCell(from[x.ID]))
			}
		}
	}
	return t
}

// outcomes sums up what the sheets come to.
func (m *model) outcomes(columns []Column, sections []*Section) *Table {
	t := &Table{ID: tableOutcomes, Title: "What it comes to", SheetName: guideSheet, Columns: columns}
	lowest, highest := mixtureTotal(m.columns[0]), mixtureTotal(m.columns[0])
	for _, c := range m.columns {
		lowest, highest = lowest.Min(mixtureTotal(c)), highest.Max(mixtureTotal(c))
	}
	totals := "{" + tableUse + "!" + m.span() + "@" + itoa(len(m.materials)) + "}"
	t.Add(TextCell("Lowest total of any mixture, %"), PctCell(lowest).Computed("MIN("+totals+")"), TextCell("has to be 100"))
	t.Add(TextCell("Highest total of any mixture, %"), PctCell(highest).Computed("MAX("+totals+")"), TextCell("has to be 100"))
	count := func(what, table, column, words, how string) {
		x := tableOf(sections, table)
		if x == nil {
			return
		}
		n := 0
		for _, r := range x.Rows {
			for i, col := range x.Columns {
				if r.Kind == RowData && col.Key == column && verdictText(r.Cells[i]) == words {
					n++
				}
			}
		}
		t.Add(TextCell(what), IntCell(n).Computed(`COUNTIF({`+table+`!`+column+`},"`+words+`")`), TextCell(how))
	}
	if x := tableOf(sections, tableMargins); x != nil {
		least := 0.0
		for _, r := range x.Rows {
			for i, col := range x.Columns {
				if col.Key == "mos" && r.Cells[i].Kind == CellFloat && (least == 0 || r.Cells[i].Float < least) {
					least = r.Cells[i].Float
				}
			}
		}
		cell := MissingCell("none")
		if least > 0 {
			cell = FloatCell(least, ratioDigits)
		}
		const margins = "{" + tableMargins + "!mos}"
		t.Add(TextCell("Smallest margin of safety"), cell.Computed("IF(COUNT("+margins+")>0,MIN("+margins+`),"none")`).Named("MoS_smallest"), TextCell("targets differ: see the sheet"))
	}
	count("Margins below their target", tableMargins, "verdict", verdictText(marginVerdict(calc.MarginBelow)), "of those that are computed")
	count("Margins that differ from the pack", tableMargins, "same", "differs", "0 as long as nothing is changed")
	count("Allergens whose verdict differs from the pack", tableDeclare, "same", "differs", "0 as long as nothing is changed")
	return t
}

func tableOf(sections []*Section, id string) *Table {
	for _, s := range sections {
		for _, b := range s.Blocks {
			if t, ok := b.(*Table); ok && t.ID == id {
				return t
			}
		}
	}
	return nil
}

// rules are the figures of the tables that the formulas use.
func (m *model) rules(columns []Column) *Table {
	t := &Table{ID: tableRules, Title: "Rules", SheetName: guideSheet, Columns: columns}
	f := m.v.a.Options.Law.Fact("percent-sum-tolerance")
	return t.Add(TextCell("Typed percentages may miss 100 by, %"), NumCell(f.Number, RuleExact).Named(toleranceName), TextCell(f.Source+" (facts.csv, row "+f.Key+")"))
}
