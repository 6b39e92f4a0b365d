package printed

import (
	"errors"

	"gallipot/dossier/assess"
	"gallipot/dossier/bench/frame"
	"gallipot/dossier/calendar"
	"gallipot/dossier/cost"
	"gallipot/dossier/document"
	"gallipot/dossier/stock"
	"gallipot/dossier/words"
	"gallipot/ingredients/exact"
)

// due lists what is due, a year ahead.
func due(v *frame.Visit) error {
	day := v.Shot.Options.Date
	list := calendar.Of(v.Workshop(), assessed(v), day)
	doc := calendar.Document(v.Workshop(), list, day, day.AddYears(1))
	if v.Field("pdf") != "" {
		return sendPDF(v, doc, "due.pdf")
	}
	body, err := inside(v, doc)
	if err != nil {
		return err
	}
	return v.Show(frame.Page{Title: "What is due", Place: "dates",
		Crumb: &frame.Link{Href: "/dates", Text: "Dates"}, Template: "printed",
		Data: map[string]any{"Body": body, "PDF": "/dates/list?pdf=1"}})
}

// inStock shows what is left of each lot, or what to order.
func inStock(v *frame.Visit) error {
	books := stock.Of(v.Workshop(), v.Shot.Options.Date)
	order := v.Field("order") != ""
	doc, pdf := books.Document(""), "/stock/list?pdf=1"
	if order {
		doc, pdf = books.OrderDocument(), "/stock/list?order=1&pdf=1"
	}
	if v.Field("pdf") != "" {
		return sendPDF(v, doc, "stock.pdf")
	}
	body, err := inside(v, doc)
	if err != nil {
		return err
	}
	return v.Show(frame.Page{Title: "Stock as printed", Place: "stock",
		Crumb: &frame.Link{Href: "/stock", Text: "Stock"}, Template: "printed",
		Data: map[string]any{"Body": body, "PDF": pdf, "About": "Stock",
			"Choices": []choice{{"/stock/list", "What is left", !order}, {"/stock/list?order=1", "What to order",
				order}}}})
}

// costs is what a pack of each variant costs, or why that is not known.
func costs(v *frame.Visit, a *assess.Assessment) (*document.Document, error) {
	packs, err := cost.Of(v.Workshop(), a, stock.Of(v.Workshop(), v.Shot.Options.Date))
	var unknown *exact.ValueError
	if !errors.As(err, &unknown) {
		return cost.Document(v.Workshop(), packs, v.Shot.Options.Date), err
	}
	d := &document.Document{Title: "Cost of a pack", Language: "en-GB", Date: v.Shot.Options.Date,
		NoContents: true}
	d.AddSection("cost", "A pack").Add(document.Para(words.UpperFirst(unknown.What)+"."),
		document.Para(words.UpperFirst(unknown.Fix)+"."))
	return d, nil
}
