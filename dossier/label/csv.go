package label

import (
	"encoding/csv"
	"io"
	"strings"

	"gallipot/calc/labelling"
	"gallipot/dossier/words"
)

// labelColumns are the fields of a label for a label printer, in order.
var labelColumns = []string{
	"product", "variant", "market", "name", "function", "quantity", "figures_mm", "estimated_sign_mm",
	"period_after_opening", "best_before",
	"batch", "precautions", "directions", "storage", "ingredients", "responsible_person", "origin", "proof",
}

// WriteCSV writes labels as a table for a label printer: a row each, under
// one line of names. What is stamped later is empty; what is missing stands in
// square brackets. The last column says that it is a proof.
//
// A cell that a spreadsheet would take for a formula gets an apostrophe in front.
// Errors: those of w.
func WriteCSV(w io.Writer, labels []*ProductLabel) error {
	out := csv.NewWriter(w)
	if err := out.Write(labelColumns); err != nil {
		return err
	}
	for _, l := range labels {
		row := l.csvRow()
		for i, cell := range row {
			row[i] = words.Cell(cell)
		}
		if err := out.Write(row); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}

func (l *ProductLabel) csvRow() []string {
	var figures, sign string
	if l.FigureMM != nil {
		figures = l.FigureMM.Exact()
	}
	if l.EMarkMM != nil {
		sign = l.EMarkMM.Exact()
	}
	text := func(kind labelling.LabelItemKind, sep string) string { return l.Texts(kind, sep) }
	return []string{
		l.A.Product.ID, l.Variant.ID, l.marketNames(), text(labelling.ItemName, " "), text(labelling.ItemFunction,
			" "), text(labelling.ItemQuantity, " "), figures, sign,
		text(labelling.ItemPAO, " "), text(labelling.ItemDate, " "), text(labelling.ItemBatch,
			" "), text(labelling.ItemPrecaution, " "), text(labelling.ItemDirections, " "),
		text(labelling.ItemStorage, " "), text(labelling.ItemIngredients,
			" "), l.personTexts(), text(labelling.ItemOrigin, " "), LabelProof,
	}
}

// Texts joins the texts of the items of a kind, without those left open.
func (l *ProductLabel) Texts(kind labelling.LabelItemKind, sep string) string {
	var parts []string
	for _, i := range l.All(kind) {
		if i.Text != "" && i.State != labelling.LabelOpen {
			parts = append(parts, i.Text)
		}
	}
	return strings.Join(parts, sep)
}

// personTexts are the responsible persons, each with its market where there are
// several.
func (l *ProductLabel) personTexts() string {
	var parts []string
	for _, i := range l.All(labelling.ItemPerson) {
		parts = append(parts, i.Line())
	}
	return strings.Join(parts, "; ")
}
