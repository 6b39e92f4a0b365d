package recalc

import (
	"gallipot/dossier/document"
	"gallipot/dossier/words"
)

// tableChanged is the table that tells whether an input was changed, by its ID.
const tableChanged = "recalc-changed"

// ChangedAt is the anchor of the cell that counts the groups of figures that were changed.
const ChangedAt = "recalc-changed-count"

// controls are the columns whose sum tells a change: inputs, and what follows from them.
// Contents always add up to 100, so that their squares are added; the plain sum serves
// columns that may hold words.
var controls = []struct {
	what, table, column string
	words               bool
}{
	{"Highest contents", TableMost, "worst", false}, {"Typical contents", TableTypical, "worst", false},
	{"Lowest contents", TableLeast, "worst", false}, {"Limits of the annexes", TableLimits, "limit", false},
	{"Certificates", tableCertificates, "limit", false}, {"Fragrance Standards", tableStandards, "limit", false},
	{"Thresholds of concern", tableThreshold, "limit", false}, {"Thresholds of declaration", tableThresholds, "limit", false},
	{"Doses", TableMargins, "sed", true}, {"Internal points of departure", TableMargins, "sys", true},
	{"Targets", TableMargins, "target", false}, {"Doses of all products together", tableAggregate, "sed", true},
}

// changed holds a sum over each group of figures against that of the pack, so
// that sheets which do not follow can say that they no longer do.
func (m *model) changed(sections []*document.Section) *document.Table {
	t := &document.Table{ID: tableChanged, Title: "Changed since the pack was made?", SheetName: guideSheet,
		Columns: []document.Column{{Head: "What", Fixed: true, Weight: 1.4}, numbers("now", "Now", ""),
			numbers("pack", "In the pack", ""), {Key: "same", Head: "Same?"}}}
	for _, x := range controls {
		of := tableOf(sections, x.table)
		if of == nil || len(of.Rows) == 0 {
			continue
		}
		sum := 0.0
		for i := range of.Rows {
			n := figureIn(of, i, x.column)
			if !x.words {
				n *= n
			}
			sum += n
		}
		all := "{" + x.table + "!" + x.column + "}"
		formula := "SUMPRODUCT(" + all + "," + all + ")"
		if x.words {
			formula = "SUM(" + all + ")"
		}
		pack := document.FloatCell(sum, 17) // all digits that a float has
		t.Add(document.TextCell(x.what), pack.Computed(formula), pack,
			document.TextCell("same").Computed("IF(ABS({now}-{pack})<={pack}*"+tiny+`,"same","differs")`))
	}
	t.Total(document.TextCell("Groups that differ"), document.IntCell(0).
		Computed(`COUNTIF({same@0:`+words.Itoa(len(t.Rows)-1)+`},"differs")`).At(ChangedAt), document.BlankCell(), document.BlankCell())
	return t.Note("Control sums of the figures, of contents and bounds their squares: a changed input alters at least one of them. On sheets without formulas the figures and verdicts of the pack give way to the word \"changed\" once something differs.")
}

// figureIn is the figure of a row of data in the column with a key; 0 where there is none.
func figureIn(t *document.Table, row int, key string) float64 {
	for i, col := range t.Columns {
		if col.Key != key || t.Rows[row].Kind != document.RowData {
			continue
		}
		switch c := t.Rows[row].Cells[i]; c.Kind {
		case document.CellFloat:
			return c.Float
		case document.CellNum:
			return c.Num.Float()
		}
	}
	return 0
}
